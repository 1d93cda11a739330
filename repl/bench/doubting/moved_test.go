package doubting

import (
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/say"
	"breakbook/repl/session"
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

// Of a difference the estimate moves, and a longer interval is none; where the interval is the answer its ends do. It
// stays where they move by no more than a tenth of it.
func TestShifted(t *testing.T) {
	gap := func(low, high float64, alone bool) say.Gap {
		return say.Gap{Value: (low + high) / 2, Range: verdict.Range{Low: low, High: high}, Alone: alone}
	}
	for _, c := range []struct {
		name     string
		was, now say.Gap
		moves    bool // by more than half of its interval
		stays    bool
	}{
		{"a difference, less sure", gap(-10, 10, false), gap(-30, 30, false), false, true},
		{"a difference, moved", gap(-10, 10, false), gap(1, 21, false), true, true},
		{"an interval twice as long and more", gap(90, 110, true), gap(79, 121, true), true, false},
		{"half as long again", gap(90, 110, true), gap(85, 115, true), false, false},
		{"an eighth longer", gap(90, 110, true), gap(89, 111.5, true), false, true},
		{"shorter by as much", gap(90, 110, true), gap(91, 108.5, true), false, true},
		{"of one end only", gap(90, 110, true), gap(90, 121, true), true, false},
	} {
		if got := shifted(c.was, c.now) > 1; got != c.moves {
			t.Errorf("%s: moves %v", c.name, got)
		}
		was := session.Untested(nil, nil, nil, []session.Answer{{Key: "a", Gap: c.was}})
		q := &inquiry{k: &session.Call{Analysis: was.Analysis}}
		if c.was.Alone && q.words(c.now) != "" {
			t.Errorf("%s: has the answer %q", c.name, q.words(c.now))
		}
		if got := q.stay([]session.Answer{{Key: "a", Gap: c.now}}); got != c.stays {
			t.Errorf("%s: stays %v", c.name, got)
		}
	}
}
