package doubting

import (
	"math"
	"testing"
)

func TestPileUp(t *testing.T) {
	for _, c := range []struct {
		ties, n int
		p       float64
		want    bool
	}{
		{3, 30, 0.0009, true}, {3, 31, 0.0009, false}, {2, 8, 0.0001, false}, {4, 40, 0.0009, true},
		{4, 41, 0.0009, false}, {3, 30, 0.001, false}, {5, 5, math.NaN(), false},
	} {
		if got := pileUp(c.ties, c.n, c.p); got != c.want {
			t.Errorf("%d of %d at the largest, p %g: %v", c.ties, c.n, c.p, got)
		}
	}
}
