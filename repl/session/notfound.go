package session

import (
	"errors"
	"slices"
	"strings"

	"breakbook/models/likelihood"
	"breakbook/repl/page"
)

// NotFound is what has an interval that could not be found: the fit stands, and the interval is empty.
type NotFound []string

// Of lets an interval, or a probability, that was not found pass, and remembers whose it is.
func (u *NotFound) Of(name string, err error) error {
	if !errors.Is(err, likelihood.ErrNoRange) {
		return err
	}
	if !slices.Contains(*u, name) {
		*u = append(*u, name)
	}
	return nil
}

func (u NotFound) Cautions() []page.Sentence {
	if len(u) == 0 {
		return nil
	}
	return []page.Sentence{page.Say("The interval of " + strings.Join(u, "; ") + " was not found: the likelihood " +
		"could not be followed that far. It is left empty; the other figures are not affected.")}
}
