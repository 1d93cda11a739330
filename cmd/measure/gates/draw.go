package gates

import (
	"math"
	"math/rand/v2"
)

// source is the one randomness of a demo. Its draws are sums and halvings alone, so
// that every platform gives the same files.
type source struct{ *rand.Rand }

func newSource(seed, stream uint64) source { return source{rand.New(rand.NewPCG(seed, stream))} }

// bell draws from a bell curve with the given mean and sd: the sum of twelve uniform
// draws, which has sd 1 and no value further than six sds out.
func (s source) bell(mean, sd float64) float64 {
	sum := -6.0
	for range 12 {
		sum += s.Float64()
	}
	return mean + float64(sd*sum)
}

// between draws evenly from low to high.
func (s source) between(low, high float64) float64 {
	return low + float64((high-low)*s.Float64())
}

// toStep rounds x to whole steps, the way a gauge shows it; perUnit steps make one unit.
func toStep(x, perUnit float64) float64 { return math.Round(x*perUnit) / perUnit }
