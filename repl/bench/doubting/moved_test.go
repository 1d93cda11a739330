package doubting

import (
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/say"
)

// An answer changed since its estimate moved, and not since its interval grew longer alone.
func TestFarEnough(t *testing.T) {
	const differs, cannot, none, less = verdict.Differs, verdict.CannotTell, verdict.NoDifferenceWorth,
		verdict.DiffersLessThanWorth
	gap := func(value, half float64, a verdict.Answer) say.Gap {
		return say.Gap{Value: value, Range: verdict.Range{Low: value - half, High: value + half}, Answer: a}
	}
	for _, c := range []struct {
		name     string
		was, now say.Gap
		want     bool
	}{
		{"moved to nothing, as sure as before", gap(10, 8, differs), gap(3, 8, cannot), true},
		{"as large, only less sure", gap(10, 8, differs), gap(10, 11, cannot), false},
		{"smaller, and less sure than would have done", gap(10, 8, differs), gap(8, 12, cannot), false},
		{"moved below nothing", gap(1, 9, none), gap(-12, 8, differs), true},
		{"out of the size worth having, as sure as before", gap(0, 9, none), gap(6, 9, cannot), true},
		{"out of it, only less sure", gap(0, 9, none), gap(6, 10, cannot), false},
		{"out of it from a small difference", gap(3, 2, less), gap(1.9, 2, cannot), true},
		{"still within it", gap(0, 9, none), gap(2, 8, none), false},
	} {
		if got := farEnough(c.was, c.now); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A tenth of itself, by which an estimate has to move, is no matter of its sign.
func TestByTenth(t *testing.T) {
	for _, c := range []struct {
		was, now float64
		want     bool
	}{{50, 54.9, false}, {50, 55.1, true}, {-50, -44.9, true}, {-50, -45.1, false}, {2, -2, true}} {
		if got := byTenth(say.Gap{Value: c.was}, say.Gap{Value: c.now}); got != c.want {
			t.Errorf("%v to %v: %v", c.was, c.now, got)
		}
	}
}
