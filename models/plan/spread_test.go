package plan

import (
	"math"
	"testing"
)

// Both limits of an sd of 1: √(df/χ²) with scipy 1.10.1's chi2.isf(confidence, df).
func TestHighSpreadHasBothLimits(t *testing.T) {
	for _, c := range []struct{ df, confidence, chi float64 }{
		{14, 0.975, 5.628726103029732},
		{14, 0.80, 9.467327986878423},
		{14, 0.025, 26.118948045037371},
		{2, 0.001, 13.815510557964274},
		{100, 0.0001, 161.31865695904756},
	} {
		want := math.Sqrt(c.df / c.chi)
		if got := HighSpread(1, c.df, c.confidence); !(math.Abs(got-want) <= 1e-12*want) {
			t.Errorf("df %g, confidence %g: %.15g, want %.15g", c.df, c.confidence, got, want)
		}
	}
}
