package dist

import (
	"slices"
	"testing"
)

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{
		{[]float64{7}, 7},
		{[]float64{3, 1}, 2},
		{[]float64{9, 1, 4}, 4},
		{[]float64{10, 2, 4, 3}, 3.5},
		{[]float64{5, 5, 1, 5}, 5},
		{[]float64{1e308, 1.5e308}, 1.25e308}, // their sum is past the largest number
	} {
		before := slices.Clone(c.values)
		if got := Median(t.Context(), c.values); got != c.want {
			t.Errorf("the median of %v is %v, want %v", c.values, got, c.want)
		}
		if !slices.Equal(before, c.values) {
			t.Errorf("the median changed its values from %v to %v", before, c.values)
		}
	}
}
