package doubting

import (
	"testing"

	"breakbook/repl/say"
)

// A plan is another one where its number moves by more than a tenth, or its chance by more than 10 percentage points.
func TestPlanMoved(t *testing.T) {
	plan := func(n int, chance float64) say.Gap {
		return say.Gap{Alone: true, Probability: chance, Enough: say.Enough{N: n}}
	}
	for _, c := range []struct {
		name     string
		was, now say.Gap
		want     bool
	}{
		{"a tenth more", plan(40, 0.80), plan(44, 0.80), false},
		{"more than that", plan(40, 0.80), plan(46, 0.81), true},
		{"fewer", plan(40, 0.80), plan(34, 0.81), true},
		{"as many, with nearly the chance", plan(40, 0.80), plan(40, 0.71), false},
		{"as many, with less chance", plan(40, 0.80), plan(40, 0.69), true},
	} {
		if got := shifted(c.was, c.now) > 1; got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A spread is typed in three digits.
func TestThreeDigits(t *testing.T) {
	for x, want := range map[float64]float64{746.5404: 747, 0.0123456: 0.0123, 77.49078: 77.5, 12345: 12300, 8: 8} {
		if got := threeDigits(x); got != want {
			t.Errorf("%v: %v, want %v", x, got, want)
		}
	}
}
