package session

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"

	"breakbook/models/likelihood"
)

// An interval that was not found is remembered by name, once, and is no failure; any other error is.
func TestRangesNotFoundAreNoFailure(t *testing.T) {
	var u NotFound
	if len(u.Cautions()) != 0 {
		t.Error("a caution with nothing to say")
	}
	for _, name := range []string{"density", "pins: pair", "density"} {
		if err := u.Of(name, fmt.Errorf("profile: %w", likelihood.ErrNoRange)); err != nil {
			t.Errorf("%s fails: %v", name, err)
		}
	}
	if want := (NotFound{"density", "pins: pair"}); !slices.Equal(u, want) {
		t.Errorf("remembered %v, want %v", u, want)
	}
	if len(u.Cautions()) != 1 {
		t.Errorf("%d cautions, want one", len(u.Cautions()))
	}
	if err := u.Of("pins: four", context.Canceled); !errors.Is(err, context.Canceled) || len(u) != 2 {
		t.Errorf("an interrupt became %v, with %v", err, u)
	}
	if u.Of("pins: four", nil) != nil || len(u) != 2 {
		t.Errorf("an interval that was found is remembered: %v", u)
	}
}
