package kernel

import (
	"errors"
	"slices"
	"strings"

	"breakbook/models/likelihood"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// unfound is what has a range that could not be found: the fit stands, and the range is empty.
type unfound []string

// of lets a range, or a probability, that was not found pass, and remembers whose it is.
func (u *unfound) of(name string, err error) error {
	if !errors.Is(err, likelihood.ErrNoRange) {
		return err
	}
	if !slices.Contains(*u, name) {
		*u = append(*u, name)
	}
	return nil
}

func (u unfound) cautions() []page.Sentence {
	if len(u) == 0 {
		return nil
	}
	return []page.Sentence{say.RangeNotFound(strings.Join(u, "; "))}
}
