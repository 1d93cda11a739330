package dist

import (
	"math"
	"testing"
)

// Below zero, with a mean farther below: mpmath 1.2.1 with 30 digits, in pieces of 1/8 of s, of
// the density of s times the normal chance of mu − t·s.
func TestNoncentralTFarBelow(t *testing.T) {
	for _, c := range []struct{ t, df, mu, want float64 }{
		{-10, 1, -60, 2.36929316628469516577e-9},
		{-3, 4, -40, 1.78372912319168909946e-105},
		{-2.5, 30, -12, 9.85718069491534770169e-20},
	} {
		if got := NoncentralTTail(c.t, c.df, c.mu); !(relative(got, c.want) <= 1e-12) {
			t.Errorf("t %g, df %g, mu %g: got %.16g, want %.16g", c.t, c.df, c.mu, got, c.want)
		}
	}
}

// An effect of a million spreads and more is sure to show: the chance that it does not is
// below Φ(−mu/2) + P(s > mu/2t), which is no double beside 1.
func TestNoncentralTailsOfHugeEffects(t *testing.T) {
	for _, mu := range []float64{1e6, 1e9, 1e15, 1e150} {
		for _, df := range []float64{2, 5, 40, math.Inf(1)} {
			if got := NoncentralTTail(4, df, mu); got != 1 {
				t.Errorf("t 4, df %g, mu %g: %g", df, mu, got)
			}
			if got := NoncentralTTail(-4, df, mu); got != 1 {
				t.Errorf("t -4, df %g, mu %g: %g", df, mu, got)
			}
			if got := NoncentralTTail(4, df, -mu); got != 0 {
				t.Errorf("t 4, df %g, mu %g: %g", df, -mu, got)
			}
			if got := NoncentralFTail(4, 3, df, mu*mu); got != 1 {
				t.Errorf("F 4, df %g, ncp %g: %g", df, mu*mu, got)
			}
		}
	}
}

// What is called sure is 1 by the sums as well: scipy 1.10.1, nct.sf and ncf.sf, give 1 to
// 16 digits at the first row; the others are where the bound begins to hold.
func TestSureIsSure(t *testing.T) {
	for _, c := range []struct {
		t, df, mu float64
		want      bool
	}{{2, 5, 300, true}, {2, 5, 17, false}, {2, 40, 17.5, true}, {9, 40, 17.5, false}, {-1, 1, 17.5, true},
		{-1, 1, 16, false}, {1, 1, -100, false}} {
		if got := sure(c.t, c.df, c.mu); got != c.want {
			t.Errorf("%v: %v", c, got)
		}
	}
}
