package dist

import (
	"math"

	"breakbook/models/halving"
)

// NoncentralTPoint is the t that a noncentral t with df degrees of freedom and noncentrality
// mu exceeds with chance tail: the inverse of NoncentralTTail. NaN for a tail outside
// (0, 1), a df that is not positive or a mu that is not finite.
func NoncentralTPoint(tail, df, mu float64) float64 {
	if !(tail > 0 && tail < 1) || !(df > 0) || math.IsNaN(mu) || math.IsInf(mu, 0) {
		return math.NaN()
	}
	above := func(t float64) float64 { return tail - NoncentralTTail(t, df, mu) }
	low, high := mu, mu
	for step := 1.0; above(low) > 0; step *= 2 {
		low -= step
	}
	for step := 1.0; above(high) < 0; step *= 2 {
		high += step
	}
	return halving.Root(above, low, high, near)
}
