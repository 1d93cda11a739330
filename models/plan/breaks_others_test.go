package plan_test

import (
	"math"
	"testing"

	"breakbook/models/plan"
	"breakbook/models/strength"
)

// A plan for three levels of uneven number with another column, where what else ends a test has places, effects and a
// spread of its own: Fisher's expected information of every specimen integrated by scipy 1.10.1 (quad over the break
// and over what ends the test), inverted by numpy 1.24.2, the chance by scipy's noncentral chi-square at 0.05 over
// three pairs, of the pair it is smallest for. The program takes what ends tests at a hundred quantiles, and steps of
// 0.01.
func TestBreaksWithOtherColumns(t *testing.T) {
	x := []float64{-1.5, -0.4, 0.3, 1.2, -0.9, 0.1, 0.8, 1.9, -1.1, -0.2, 0.9, 1.4}
	b := plan.Breaks{Level: []int{0, 0, 0, 1, 1, 1, 1, 1, 2, 2, 2, 2}, Levels: 3, Others: [][]float64{x},
		Effect: []float64{0, 0.12, 0.05}, Spread: 0.15, OtherEffect: []float64{0.02, -0.05, 0.1}, OtherSpread: 0.22,
		Delta: 0.1, Confidence: 0.95, Wanted: 0.8}
	for _, v := range x {
		b.Place, b.OtherPlace = append(b.Place, 6+0.05*v), append(b.OtherPlace, 6.15-0.08*v)
	}
	for _, c := range []struct {
		d                            strength.Distribution
		first, second, least         int
		seen, chanceOf40, detectable float64
	}{
		{strength.Weibull, 1, 2, 152, 0.46298953837, 0.23192102255, 0.23304611},
		{strength.Lognormal, 1, 0, 97, 0.50224516517, 0.37982529747, 0.16112673},
	} {
		b.Distribution = c.d
		seen, first, second, err := b.Seen()
		if err != nil || first != c.first || second != c.second || !(math.Abs(seen-c.seen) <= 5e-4) {
			t.Errorf("%s: levels %d and %d, a share of %.6f, want %d and %d, %.6f (%v)", c.d.Name(), first, second,
				seen, c.first, c.second, c.seen, err)
		}
		s, err := b.At(40)
		if err != nil || s.N != 120 || !(math.Abs(s.Chance-c.chanceOf40) <= 5e-4) || s.Pair != s.Chance ||
			!math.IsNaN(s.Overall) || !(math.Abs(s.Detectable-c.detectable) <= 5e-4) {
			t.Errorf("%s: %+v, want a chance of %.6f and %.6f detectable (%v)", c.d.Name(), s, c.chanceOf40,
				c.detectable, err)
		}
		if s, err := b.Least(); err != nil || s.PerLevel != c.least {
			t.Errorf("%s: %d of each, want %d (%v)", c.d.Name(), s.PerLevel, c.least, err)
		}
	}
}
