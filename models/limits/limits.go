// Package limits works out characteristic values: the load that all but a small share of
// joints exceed, said with a stated confidence, on the normal, the log-normal or no
// distribution.
package limits

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/dist"
	"breakbook/models/parallel"
)

// Method is what is assumed of how the loads scatter.
type Method uint8

const (
	Normal Method = iota
	Lognormal
	Ranked // nothing: order statistics
)

// Name is the method in the words of the language.
func (m Method) Name() string { return [...]string{"normal", "lognormal", "ranked"}[m] }

// Fewest is the smallest number of specimens of a limit (EN 14358, as catalogued).
const Fewest = 3

// LeastSpread is the floor on the sd: a share of the mean, or the sd of the logarithms
// (EN 14358, from memory).
const LeastSpread = 0.05

// Options of a limit; both are shares between 0 and 1.
type Options struct {
	Exceeded   float64 // what share of joints exceeds the value: 0.95
	Confidence float64 // of the statement: 0.75
	Method     Method
}

// Limit is a characteristic value. For Lognormal, Mean, SD and SDUsed are those of the
// natural logarithms. K and SDUsed are NaN for Ranked; Value is NaN where there are too few
// specimens for ranks. Upper is the same quantile's limit from above with that confidence.
type Limit struct {
	N            int
	Mean, SD     float64
	SDUsed       float64 // SD, or the floor where that is larger
	K            float64
	Value, Upper float64
	Rank         int // of Value among the loads, the lowest 1; 0 for the other methods
}

// Error says why there is no limit. Codes: "too-few-specimens" (under Fewest),
// "not-a-number", "not-positive" (a mean, or for Lognormal a value, of zero or less),
// "share" (an option is not between 0 and 1).
type Error struct{ Code string }

func (e *Error) Error() string { return e.Code }

// Of works out the limit of values; it is left by parallel.Look where ctx ends.
func Of(ctx context.Context, values []float64, o Options) (Limit, error) {
	if !(o.Exceeded > 0 && o.Exceeded < 1) || !(o.Confidence > 0 && o.Confidence < 1) {
		return Limit{}, &Error{"share"}
	}
	if len(values) < Fewest {
		return Limit{}, &Error{"too-few-specimens"}
	}
	v := slices.Clone(values)
	for i, x := range v {
		switch {
		case math.IsNaN(x) || math.IsInf(x, 0):
			return Limit{}, &Error{"not-a-number"}
		case o.Method == Lognormal && x <= 0:
			return Limit{}, &Error{"not-positive"}
		case o.Method == Lognormal:
			v[i] = math.Log(x)
		}
	}
	l := Limit{N: len(v)}
	l.Mean, l.SD = stat.MeanStdDev(v, nil)
	if o.Method == Ranked {
		return ranked(ctx, l, v, o), nil
	}
	if o.Method == Normal && l.Mean <= 0 {
		return Limit{}, &Error{"not-positive"}
	}
	floor := LeastSpread
	if o.Method == Normal {
		floor *= l.Mean
	}
	l.SDUsed = math.Max(l.SD, floor)
	l.K = Factor(l.N, o.Exceeded, o.Confidence)
	l.Value = l.Mean - l.K*l.SDUsed
	l.Upper = l.Mean - Factor(l.N, o.Exceeded, 1-o.Confidence)*l.SDUsed
	if o.Method == Lognormal {
		l.Value, l.Upper = math.Exp(l.Value), math.Exp(l.Upper)
	}
	return l, nil
}

// Factor is the k of the limit mean − k·sd of n normal values that a share exceeded of all
// joints exceeds, with that confidence: the noncentral t point with noncentrality z·√n,
// over √n (Johnson & Welch 1940; NIST/SEMATECH e-Handbook 7.2.6.3). NaN for n under 2.
func Factor(n int, exceeded, confidence float64) float64 {
	root := math.Sqrt(float64(n))
	return dist.NoncentralTPoint(1-confidence, float64(n-1), mathext.NormalQuantile(exceeded)*root) / root
}

// ranked takes the highest load that so many joints exceed with that confidence whatever
// their distribution: the number below the quantile is binomial (Wilks 1941).
func ranked(ctx context.Context, l Limit, v []float64, o Options) Limit {
	parallel.Sort(ctx, v)
	below := distuv.Binomial{N: float64(l.N), P: 1 - o.Exceeded}
	l.SDUsed, l.K, l.Value, l.Upper = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	for r := l.N; r >= 1; r-- {
		parallel.LookAt(ctx, r)
		atLeast := 1 - below.CDF(float64(r-1))
		if atLeast <= 1-o.Confidence {
			l.Upper = v[r-1]
		}
		if atLeast >= o.Confidence {
			l.Value, l.Rank = v[r-1], r
			break
		}
	}
	return l
}

// FewestRanked is the smallest number of specimens for which ranks give a limit: the lowest
// of n loads is below the quantile with chance 1 − exceededⁿ.
func FewestRanked(exceeded, confidence float64) int {
	return int(math.Ceil(math.Log1p(-confidence) / math.Log(exceeded)))
}
