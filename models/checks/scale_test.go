package checks

import (
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
)

// TestOddStill counts over invented series of two kinds of joint how often a specimen is odd at 1 %, by the one spread
// of all and by the scale that the others scatter on: where nothing is wrong the second is at most as often, and where
// the loads scatter unalike, or as logarithms do, a third as often or less; planted slips are found as often but for
// one in twenty.
func TestOddStill(t *testing.T) {
	const series = 400
	for _, c := range []struct {
		name     string
		sd       [2]float64 // of each kind, of loads of 400 and 440
		logs     bool       // sd is of logarithms
		slip     float64    // what one load is multiplied by
		low, top float64    // of how often the second finds one, as a share of the first
	}{
		{"nothing wrong", [2]float64{60, 60}, false, 1, 0, 1},
		{"unalike", [2]float64{10, 88}, false, 1, 0, 1.0 / 3},
		{"logarithms", [2]float64{0.7, 0.7}, true, 1, 0, 1.0 / 3},
		{"ten times", [2]float64{60, 60}, false, 10, 0.95, 1},
		{"a tenth", [2]float64{60, 60}, false, 0.1, 0.95, 1},
		{"pounds", [2]float64{60, 60}, false, 2.2046, 0.95, 1},
		{"ten times, unalike", [2]float64{20, 60}, false, 10, 0.95, 1},
	} {
		once, still := 0, 0
		for seed := range uint64(series) {
			r := rand.New(rand.NewPCG(seed, 7))
			n := 12 + 2*r.IntN(15)
			kind, y := make([]int, n), make([]float64, n)
			for i := range y {
				kind[i] = i % 2
				mean, off := 400+40*float64(kind[i]), c.sd[kind[i]]*r.NormFloat64()
				if y[i] = mean + off; c.logs {
					y[i] = mean * math.Exp(off)
				}
			}
			y[r.IntN(n)] *= c.slip
			f, err := linear.Solve(t.Context(), y, design.Model{
				Variables: []design.Variable{{Name: "pins", Codes: kind, Levels: []string{"none", "pair"}}},
				Terms:     []design.Term{{Factors: []design.Factor{{Variable: 0}}}}})
			if err != nil {
				t.Fatal(err)
			}
			odd, err := Oddest(f, 0.01)
			if err != nil {
				t.Fatal(err)
			}
			if !(odd.P < 0.01) {
				continue
			}
			once++
			residuals := make([][]float64, 2)
			for i, k := range kind {
				if i != odd.Specimen {
					residuals[k] = append(residuals[k], f.Residuals[i])
				}
			}
			spread, err := compare.BrownForsythe(t.Context(), residuals)
			if err != nil {
				t.Fatal(err)
			}
			p, err := OddStill(t.Context(), f, odd, spread.P < OtherScale)
			if err != nil {
				t.Fatal(err)
			}
			if p < odd.P {
				t.Errorf("%s %d: p is %v and was %v", c.name, seed, p, odd.P)
			}
			if p < 0.01 {
				still++
			}
		}
		t.Logf("%s: odd in %d of %d series, still in %d", c.name, once, series, still)
		if share := float64(still) / float64(once); share < c.low || share > c.top {
			t.Errorf("%s: odd in %d of %d series, still in %d", c.name, once, series, still)
		}
	}
}
