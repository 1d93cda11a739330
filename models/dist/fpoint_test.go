package dist

import (
	"math"
	"testing"
)

// Printed in tables of the F distribution (5 % point of 3 and 20 degrees of freedom 3.10, of
// 1 and 10 4.96, from memory); the digits are scipy 1.10.1's f.isf.
func TestFPoint(t *testing.T) {
	for _, c := range [][4]float64{{0.05, 3, 20, 3.0983912121407795}, {0.05, 1, 10, 4.964602743730711}} {
		if got := FPoint(c[0], c[1], c[2]); !(relative(got, c[3]) <= 1e-11) {
			t.Errorf("%v: %.16g", c, got)
		}
	}
	for _, tail := range []float64{1e-8, 0.2, 0.999} {
		if got := FTail(FPoint(tail, 2.5, 7), 2.5, 7); !(math.Abs(got-tail) <= 1e-12) {
			t.Errorf("tail at the point of %g: %g", tail, got)
		}
	}
	for _, bad := range [][3]float64{{0, 1, 1}, {1, 1, 1}, {0.5, 0, 1}, {0.5, 1, math.NaN()}} {
		if !math.IsNaN(FPoint(bad[0], bad[1], bad[2])) {
			t.Errorf("%v gives a point", bad)
		}
	}
}
