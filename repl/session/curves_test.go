package session

import (
	"math"
	"testing"
)

// The sd of 2, 4 and 9 about their mean 5 is √((9 + 1 + 16)/2), by hand; a value that is missing counts for none.
func TestSpreadOf(t *testing.T) {
	if got, want := SpreadOf([]float64{2, math.NaN(), 4, 9}), math.Sqrt(13); math.Abs(got-want) > 1e-12 {
		t.Errorf("%g, want %g", got, want)
	}
	for _, few := range [][]float64{nil, {3}, {math.NaN(), 3}} {
		if got := SpreadOf(few); !math.IsNaN(got) {
			t.Errorf("%v spread by %g", few, got)
		}
	}
}
