package dist

import (
	"math"
	"testing"
)

// Handbook 7.2.6.3 (NIST/SEMATECH e-Handbook): the point a noncentral t on 42 degrees of
// freedom with noncentrality 8.4037 (1.2815515655446 times the root of 43) passes with
// chance 0.01 is printed as 12.28834; recomputed there to 12.288335567763.
func TestNoncentralTPointPublished(t *testing.T) {
	const z90 = 1.2815515655446004
	if got := NoncentralTPoint(0.01, 42, z90*math.Sqrt(43)); !(relative(got, 12.288335567763) <= 1e-12) {
		t.Errorf("got %.15g", got)
	}
}

// The point is where the tail is what was asked for, on both sides and far out.
func TestNoncentralTPointUndoesTheTail(t *testing.T) {
	for _, df := range []float64{1, 2, 7.5, 60, 1000} {
		for _, mu := range []float64{-12, -1, 0, 0.3, 40} {
			for _, tail := range []float64{1e-6, 0.05, 0.25, 0.5, 0.99} {
				x := NoncentralTPoint(tail, df, mu)
				if got := NoncentralTTail(x, df, mu); !(math.Abs(got-tail) <= 1e-12) {
					t.Errorf("df %g, mu %g: the tail at the point of %g is %g", df, mu, tail, got)
				}
			}
		}
	}
	for _, bad := range [][3]float64{{0, 5, 1}, {1, 5, 1}, {0.5, 0, 1}, {0.5, 5, math.Inf(1)}, {math.NaN(), 5, 1}} {
		if got := NoncentralTPoint(bad[0], bad[1], bad[2]); !math.IsNaN(got) {
			t.Errorf("%v: %g", bad, got)
		}
	}
}
