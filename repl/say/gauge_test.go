package say

import (
	"math"
	"testing"
)

// Rounding to steps of h adds h²/12 to a variance (textbook): an sd of 10 grows by 1 % at a step of 4.91.
func TestStepMeans(t *testing.T) {
	for _, c := range []struct {
		step, sd float64
		want     string
	}{
		{4.9, 10, "too fine to matter"},
		{4.92, 10, "coarse: rounding alone widens the spread by more than 1 %"},
		{0.49, 1, "too fine to matter"},
		{0.5, 1, "coarse: rounding alone widens the spread by more than 1 %"},
		{1, 0, ""},
		{math.NaN(), 10, "no step is to be seen"},
	} {
		if got := StepMeans(c.step, c.sd); got != c.want {
			t.Errorf("a step of %g at an sd of %g: %q, want %q", c.step, c.sd, got, c.want)
		}
	}
}
