package dist

import (
	"math"
	"testing"
)

// Correlations that are products of loads lead back to these loads.
func TestNearestLoadsOfProducts(t *testing.T) {
	want := []float64{0.9, 0.5, 0.3, 0.7}
	r := make([][]float64, len(want))
	for i := range r {
		r[i] = make([]float64, len(want))
		for j := range r[i] {
			r[i][j] = want[i] * want[j]
		}
	}
	for i, got := range nearestLoads(r) {
		if !(math.Abs(got-want[i]) <= 1e-6) {
			t.Errorf("load %d is %g, want %g", i, got, want[i])
		}
	}
}

// With endless degrees of freedom t is the normal distribution (Abramowitz and Stegun, table 26.2: 1.95996 39845).
func TestTQuantileWithoutEnd(t *testing.T) {
	for _, c := range [][2]float64{{0.975, 1.959963985}, {0.025, -1.959963985}, {0.6, 0.253347103}} {
		if got := TQuantile(c[0], math.Inf(1)); !(math.Abs(got-c[1]) <= 1e-9) {
			t.Errorf("at %g: %.9f, want %.9f", c[0], got, c[1])
		}
	}
}
