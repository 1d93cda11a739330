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

// Reason is why there is no limit, though one was asked for.
type Reason uint8

const (
	Given       Reason = iota // there is one
	FewForRanks               // too few specimens for ranks
	SharedRanks               // ranks take specimens as independent, and these share blocks
	OneBlock                  // all specimens are of one block, so nothing shows how blocks differ
	BelowZero                 // by Normal it would lie at zero or below
	OddShape                  // the shape speaks against the method
)

// Limit is a characteristic value. For Lognormal, Mean, SD and SDUsed are those of the
// natural logarithms. K and SDUsed are NaN for Ranked. Upper is the same quantile's limit from
// above with that confidence. In blocks, Mean and SD are of a joint of a new block, and K is
// what their pivot makes it: (Mean − limit) / SD. Value and Upper are NaN where None says why.
type Limit struct {
	N            int
	Blocks       int // that specimens share; 0 where each counts by itself
	Mean, SD     float64
	SDUsed       float64 // SD, or the floor where that is larger
	K            float64
	Value, Upper float64
	Rank         int     // of Value among the loads, the lowest 1; 0 for the other methods
	Between      float64 // the blocks' share of a joint's variance; NaN without blocks
	ShapeP       float64 // of the test of the shape that the method assumes; NaN where there is none
	None         Reason

	pivot pivot  // of the load, or its logarithm, that the share exceeds; nil for Ranked
	curve *curve // of specimens that share blocks, and are not all alike
	met   []int  // the codes of those blocks, in order
}

// Error says why nothing can be worked out. Codes: "too-few-specimens" (under Fewest),
// "not-a-number", "not-positive" (a mean, or for Lognormal a value, of zero or less),
// "share" (an option is not between 0 and 1), "uneven-lengths" (of values and blocks); of a
// joint of a fit also "one-block" and "each-its-own" (the blocks cannot be told from the terms,
// or from the specimens).
type Error struct{ Code string }

func (e *Error) Error() string { return e.Code }

// Of works out the limit of values, which share blocks where two have the same code (nil: each
// counts by itself); it is left by parallel.Look where ctx ends.
//
// Each by itself, k is exact (Factor). In blocks it comes from the generalised pivotal quantity
// of the one-way random model (Krishnamoorthy and Mathew 2009, 5.3, for blocks of one size;
// for others the ratio of the variances is Wald's, see curve).
func Of(ctx context.Context, values []float64, blocks []int, o Options) (Limit, error) {
	switch {
	case !o.valid():
		return Limit{}, &Error{"share"}
	case len(values) < Fewest:
		return Limit{}, &Error{"too-few-specimens"}
	case blocks != nil && len(blocks) != len(values):
		return Limit{}, &Error{"uneven-lengths"}
	}
	v := slices.Clone(values)
	for i, x := range v {
		parallel.LookAt(ctx, i)
		switch {
		case math.IsNaN(x) || math.IsInf(x, 0):
			return Limit{}, &Error{"not-a-number"}
		case o.Method == Lognormal && x <= 0:
			return Limit{}, &Error{"not-positive"}
		case o.Method == Lognormal:
			v[i] = math.Log(x)
		}
	}
	l := Limit{N: len(v), Between: math.NaN(), ShapeP: math.NaN()}
	l.Mean, l.SD = stat.MeanStdDev(v, nil)
	if o.Method == Normal && l.Mean <= 0 {
		return Limit{}, &Error{"not-positive"}
	}
	if blocks != nil {
		met := slices.Clone(blocks)
		parallel.Sort(ctx, met)
		l.met = slices.Clone(slices.Compact(met))
		if blocks, l.Blocks = numbered(ctx, blocks); l.Blocks == l.N {
			blocks, l.Blocks = nil, 0
		}
	}
	if o.Method == Ranked {
		if l.Blocks > 0 {
			return l.without(SharedRanks), nil
		}
		return ranked(ctx, l, v, o), nil
	}
	if l.Blocks == 1 {
		l.SD = math.NaN()
		return l.without(OneBlock), nil
	}
	z := mathext.NormalQuantile(o.Exceeded)
	if l.Blocks == 0 {
		l.ShapeP = bell(v)
		l.SDUsed = o.floored(l.Mean, l.SD)
		l.K, l.pivot = Factor(l.N, o.Exceeded, o.Confidence), independent(l.Mean, l.SDUsed, 1/float64(l.N),
			float64(l.N-1), z)
		return l.finished(o, Factor(l.N, o.Exceeded, 1-o.Confidence)), nil
	}
	if err := l.inBlocks(ctx, ofMean(ctx, v, l.Mean, blocks, l.Blocks), o); err != nil {
		return Limit{}, err
	}
	l.ShapeP = shape(v, blocks, l.Blocks, l.Between)
	return l.finished(o, (l.Mean-l.pivot.at(o.Confidence))/l.SDUsed), nil
}

func (o Options) valid() bool {
	return o.Exceeded > 0 && o.Exceeded < 1 && o.Confidence > 0 && o.Confidence < 1
}

// floored is the sd that is used.
func (o Options) floored(mean, sd float64) float64 {
	if o.Method == Normal {
		return math.Max(sd, LeastSpread*mean)
	}
	return math.Max(sd, LeastSpread)
}

// inBlocks fills in the figures of specimens that share blocks. Specimens that are alike to the
// last digit leave the shares of the two variances open; they are then taken as if blocks alone
// made them differ, which gives the lowest limit.
func (l *Limit) inBlocks(ctx context.Context, m *nest, o Options) error {
	z := mathext.NormalQuantile(o.Exceeded)
	if !(m.rss > 0) {
		l.SD, l.SDUsed, l.Between = 0, o.floored(l.Mean, 0), math.NaN()
		l.K = Factor(l.Blocks, o.Exceeded, o.Confidence)
		l.pivot = independent(l.Mean, l.SDUsed, 1/float64(l.Blocks), float64(l.Blocks-1), z)
		return nil
	}
	c, err := newCurve(ctx, m)
	if err != nil {
		return err
	}
	l.curve = c
	l.Mean, l.SD, l.Between = c.estimate()
	if o.Method == Normal && l.Mean <= 0 {
		return &Error{"not-positive"}
	}
	p := c.pivot(z)
	l.SDUsed = o.floored(l.Mean, l.SD)
	l.K = (l.Mean - p.at(1-o.Confidence)) / l.SD
	l.pivot = p.scaled(l.Mean, l.SDUsed/l.SD)
	return nil
}

// finished is the limit with its value, unless there is a reason against one; upper is the k
// of the same quantile's limit from above.
func (l Limit) finished(o Options, upper float64) Limit {
	l.Value, l.Upper = l.Mean-l.K*l.SDUsed, l.Mean-upper*l.SDUsed
	if o.Method == Lognormal {
		l.Value, l.Upper = math.Exp(l.Value), math.Exp(l.Upper)
	}
	switch {
	case l.ShapeP < LeastShape:
		return l.without(OddShape)
	case !(l.Value > 0):
		return l.without(BelowZero)
	}
	return l
}

// without is the limit that does not exist.
func (l Limit) without(why Reason) Limit {
	l.None, l.Value, l.Upper = why, math.NaN(), math.NaN()
	if why <= OneBlock {
		l.SDUsed, l.K = math.NaN(), math.NaN()
	}
	return l
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
			return l
		}
	}
	return l.without(FewForRanks)
}

// FewestRanked is the smallest number of specimens for which ranks give a limit: the lowest
// of n loads is below the quantile with chance 1 − exceededⁿ.
func FewestRanked(exceeded, confidence float64) int {
	return int(math.Ceil(math.Log1p(-confidence) / math.Log(exceeded)))
}
