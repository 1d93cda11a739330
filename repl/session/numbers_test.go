package session

import (
	"testing"
)

// 48 °F is 8.888… °C: told to a thousandth of the range, not to the last digit.
func TestEndsOfARangeAreWrittenShort(t *testing.T) {
	for _, c := range []struct{ x, lo, hi, want float64 }{
		{8.88888888888889, 8.88888888888889, 21.7, 8.89}, {563, 563, 745, 563}, {0.00123456, 0.001, 0.0016, 0.0012346},
		{1e6 + 0.5, 0, 1e6 + 0.5, 1e6 + 0.5},
	} {
		if got := Seen(c.x, c.lo, c.hi, "degC").Value; got != c.want {
			t.Errorf("%g of %g to %g is told as %g, want %g", c.x, c.lo, c.hi, got, c.want)
		}
	}
}
