package dist

import (
	"math"
	"testing"
)

// With the sd known, an interval of ± critical lies inside ± limit where |Z| is below their
// difference: the normal areas of Abramowitz & Stegun (1964), table 26.1, and its 97.5 % point.
func TestInsideChanceWithTheSpreadKnown(t *testing.T) {
	for _, c := range []struct{ limit, critical, want float64 }{
		{3, 2, 0.682689492137086},
		{3.5, 1.5, 0.954499736103642},
		{1.959963984540054 + 1.25, 1.25, 0.95},
		{2, 2, 0},
		{1, 2, 0},
		{0, 2, 0},
		{-1, 2, 0},
	} {
		if got := InsideChance(c.limit, c.critical, math.Inf(1)); !(math.Abs(got-c.want) <= 2e-15) {
			t.Errorf("limit %g, critical %g: got %.16g, want %.16g", c.limit, c.critical, got, c.want)
		}
	}
}

// No true difference passes for certain, and a chance outside (0, 1) is none.
func TestNoncentralityOfNoChance(t *testing.T) {
	for _, chance := range []float64{-0.5, 0, 1, 1.5, math.NaN()} {
		if got := NoncentralityFor(chance, 2, 10); !math.IsNaN(got) {
			t.Errorf("chance %g: got %g, want none", chance, got)
		}
	}
}
