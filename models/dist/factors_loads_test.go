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
		if math.Abs(got-want[i]) > 1e-6 {
			t.Errorf("load %d is %g, want %g", i, got, want[i])
		}
	}
}
