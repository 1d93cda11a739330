package dist

import (
	"math"

	"breakbook/models/halving"
)

// FPoint is the F on d1 and d2 degrees of freedom that is exceeded with chance tail: the
// inverse of FTail. NaN for a tail outside (0, 1) or degrees of freedom not positive.
func FPoint(tail, d1, d2 float64) float64 {
	if !(tail > 0 && tail < 1) || !(d1 > 0) || !(d2 > 0) {
		return math.NaN()
	}
	above := func(x float64) float64 { return tail - FTail(math.Exp(x), d1, d2) }
	low, high := -1.0, 1.0
	for above(low) > 0 {
		low *= 2
	}
	for above(high) < 0 {
		high *= 2
	}
	return math.Exp(halving.Root(above, low, high, near))
}
