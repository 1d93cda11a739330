package plan

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"breakbook/models/dist"
	"breakbook/models/limits"
)

// Limit plans how close a characteristic value comes to what it estimates: by how much of
// it the limit mean − k·sd may fall short.
type Limit struct {
	Levels               int
	Mean, SD, HighSD     float64 // HighSD is NaN where SD is no estimate
	Within               float64 // a share of the true quantile
	Exceeded, Confidence float64 // of the characteristic value
	Wanted               float64
}

func (l Limit) check() error {
	switch {
	case l.Levels < 1:
		return &Error{"too-few-levels"}
	case !(l.SD > 0) || math.IsInf(l.SD, 0):
		return &Error{"no-spread"}
	case !between(l.Exceeded) || !between(l.Confidence) || !between(l.Wanted):
		return &Error{"share"}
	case !between(l.Within) || !(l.quantile(l.SD) > 0):
		return &Error{"no-difference"}
	}
	return nil
}

func (l Limit) quantile(sd float64) float64 {
	return l.Mean - mathext.NormalQuantile(l.Exceeded)*sd
}

// At is what n specimens a level give. Chance is that of a limit no more than Within below
// the true quantile: (x̄ − c)/s passes k, a noncentral t with noncentrality √n(μ − c)/σ
// (Johnson & Welch 1940). Detectable is the shortfall, in the load's unit, with the wanted
// chance. Overall and Pair are NaN.
func (l Limit) At(n int) (Size, error) {
	if err := l.check(); err != nil {
		return Size{}, err
	}
	if n < limits.Fewest {
		return Size{}, &Error{"too-few-specimens"}
	}
	nan := math.NaN()
	k := limits.Factor(n, l.Exceeded, l.Confidence)
	s := Size{PerLevel: n, N: n * l.Levels, Overall: nan, Pair: nan, ChanceHighSpread: nan,
		Chance: l.chance(n, k, l.SD, l.Within*l.quantile(l.SD))}
	if q := l.quantile(l.HighSD); q > 0 {
		s.ChanceHighSpread = l.chance(n, k, l.HighSD, l.Within*q)
	}
	s.Detectable = l.SD * least(l.Wanted, func(d float64) float64 { return l.chance(n, k, l.SD, d*l.SD) })
	return s, nil
}

// chance is that of a limit no more than short below the quantile.
func (l Limit) chance(n int, k, sd, short float64) float64 {
	root := math.Sqrt(float64(n))
	return dist.NoncentralTTail(k*root, float64(n-1), root*(mathext.NormalQuantile(l.Exceeded)+short/sd))
}

// Least is the smallest size whose Chance is the wanted one or more.
func (l Limit) Least() (Size, error) {
	if err := l.check(); err != nil {
		return Size{}, err
	}
	n, ok := leastWhole(func(n int) bool {
		n = max(n, limits.Fewest)
		return l.chance(n, limits.Factor(n, l.Exceeded, l.Confidence), l.SD, l.Within*l.quantile(l.SD)) >= l.Wanted
	})
	if !ok {
		return Size{}, &Error{"out-of-reach"}
	}
	return l.At(max(n, limits.Fewest))
}
