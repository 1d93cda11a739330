package place

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/dist"
	"breakbook/models/halving"
)

// Mixture is what is known of a figure whose place of change is left open: at each place a t distribution
// about the estimate there, with the share of that place. The shares sum to one.
type Mixture []Part

// Part is the figure at one place.
type Part struct{ Share, Value, SE, DF float64 }

// below is the chance of the figure to be at most x.
func (m Mixture) below(x float64) float64 {
	sum := 0.0
	for _, p := range m {
		switch {
		case p.SE > 0:
			sum += p.Share * distuv.StudentsT{Mu: p.Value, Sigma: p.SE, Nu: p.DF}.CDF(x)
		case x >= p.Value:
			sum += p.Share
		}
	}
	return sum
}

// Quantile is the figure that has the share p of the mixture at or below it; 0 < p < 1.
func (m Mixture) Quantile(p float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, part := range m {
		at := part.Value + dist.TQuantile(p, part.DF)*part.SE
		low, high = min(low, at), max(high, at)
	}
	if !(low < high) {
		return low
	}
	const rounds = 40
	_, at := halving.Between(low, high, rounds, func(x float64) bool { return m.below(x) >= p })
	return at
}

// Interval is the middle of the mixture with that share of it.
func (m Mixture) Interval(confidence float64) (low, high float64) {
	return m.Quantile((1 - confidence) / 2), m.Quantile((1 + confidence) / 2)
}
