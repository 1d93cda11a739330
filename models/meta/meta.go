// Package meta puts the results of several series together: whether they tell one story,
// and what they say jointly when each may have its own truth.
package meta

import (
	"fmt"
	"math"

	"breakbook/models/dist"
	"breakbook/models/halving"
	"breakbook/models/verdict"
)

// Series is what one series says: an estimate and its standard error, which is taken as
// known for how series differ.
type Series struct {
	Estimate, SE float64
	DF           float64 // of SE; 0 where it is not known: then as if SE were exact
}

// Own is the interval of the series alone.
func (s Series) Own(confidence float64) verdict.Range {
	return around(s.Estimate, s.SE, s.freedom(), confidence)
}

func (s Series) freedom() float64 {
	if s.DF > 0 {
		return s.DF
	}
	return math.Inf(1)
}

// Together is what all series say jointly, each a draw from a population of series with
// mean Mean and sd Between.
type Together struct {
	Between  float64   // sd between the series' true values (Paule & Mandel 1982)
	Weights  []float64 // share of each series in Mean; they sum to 1
	Mean, SE float64
	DF       float64       // of Mean: series − 1
	Range    verdict.Range // by t, at the confidence asked
	Ninety   verdict.Range // at 90 %
	P        float64       // of Mean against zero

	Q, QDF, QP float64 // Cochran's (1954) Q: do they differ by more than their own errors?

	// Fixed is the result if all series had one true value: weights 1/SE², the interval by t with
	// Satterthwaite's (1946) degrees of freedom, which for these weights are 1 / Σ(weight²/DF).
	FixedMean, FixedSE, FixedDF float64
	FixedRange, FixedNinety     verdict.Range
	FixedP                      float64 // of FixedMean against zero
	FixedWeights                []float64

	// AsOne says that the answer goes by Fixed: nothing speaks against one truth (Between is 0; of
	// two series, which cannot tell it, QP is at least 0.05), and Range would be wider than one
	// series alone.
	AsOne bool
}

// Answering is what the answer goes by: Mean, its interval, its 90 % interval and P, or Fixed's.
func (t *Together) Answering() (mean float64, at, ninety verdict.Range, p float64) {
	if t.AsOne {
		return t.FixedMean, t.FixedRange, t.FixedNinety, t.FixedP
	}
	return t.Mean, t.Range, t.Ninety, t.P
}

// Error says why series cannot be put together. Codes: "too-few-series" (one),
// "no-spread" (Series has no standard error above zero), "not-a-number".
type Error struct {
	Code   string
	Series int // or -1
}

func (e *Error) Error() string { return fmt.Sprintf("%s (series %d)", e.Code, e.Series) }

// Agree puts two or more series together: the variance between them by Paule and Mandel
// (1982, J. Res. Nat. Bur. Stand. 87), the standard error of their mean by Hartung and Knapp
// (2001, Statistics in Medicine 20) with its factor never below 1 (Röver, Knapp & Friede
// 2015), t with one degree of freedom less than series. At that variance the factor is never
// above 1 either: it is what the variance makes 1, or less where it is 0. Errors are *Error.
func Agree(series []Series, confidence float64) (*Together, error) {
	if len(series) < 2 {
		return nil, &Error{"too-few-series", -1}
	}
	for i, s := range series {
		switch {
		case math.IsNaN(s.Estimate + s.SE), math.IsInf(s.Estimate, 0), math.IsInf(s.SE, 0):
			return nil, &Error{"not-a-number", i}
		case !(s.SE > 0):
			return nil, &Error{"no-spread", i}
		}
	}
	k := float64(len(series))
	t := &Together{DF: k - 1, QDF: k - 1}
	fixed := weigh(series, 0)
	t.FixedMean, t.FixedWeights, t.FixedSE = fixed.mean, fixed.shares, 1/math.Sqrt(fixed.total)
	inverse := 0.0
	for i, s := range series {
		inverse += t.FixedWeights[i] * t.FixedWeights[i] / s.freedom()
	}
	t.FixedDF = 1 / inverse
	t.FixedRange = around(t.FixedMean, t.FixedSE, t.FixedDF, confidence)
	t.FixedNinety = around(t.FixedMean, t.FixedSE, t.FixedDF, 0.90)
	t.FixedP = dist.TwoSidedT(t.FixedMean/t.FixedSE, t.FixedDF)
	t.Q = fixed.q
	t.QP = dist.ChiSquareTail(t.Q, t.QDF)
	variance := between(series, k-1)
	t.Between = math.Sqrt(variance)
	random := weigh(series, variance)
	t.Mean, t.Weights = random.mean, random.shares
	t.SE = 1 / math.Sqrt(random.total)
	t.P = dist.TwoSidedT(t.Mean/t.SE, t.DF)
	t.Range = around(t.Mean, t.SE, t.DF, confidence)
	t.Ninety = around(t.Mean, t.SE, t.DF, 0.90)
	one := t.Between == 0 || len(series) == 2 && t.QP >= 0.05
	for _, s := range series {
		alone := s.Own(confidence)
		t.AsOne = t.AsOne || one && t.Range.High-t.Range.Low > alone.High-alone.Low
	}
	return t, nil
}

func around(mean, se, df, confidence float64) verdict.Range {
	half := dist.TQuantile(0.5+confidence/2, df) * se
	return verdict.Range{Low: mean - half, High: mean + half}
}

// weighed is the weighted mean of series at one variance between them.
type weighed struct {
	mean, total, q float64 // q: the weighted squares about the mean
	shares         []float64
}

func weigh(series []Series, variance float64) weighed {
	w := weighed{shares: make([]float64, len(series))}
	first := series[0].Estimate
	for i, s := range series {
		w.shares[i] = 1 / (s.SE*s.SE + variance)
		w.total += w.shares[i]
		w.mean += w.shares[i] * (s.Estimate - first)
	}
	w.mean = first + w.mean/w.total
	for i, s := range series {
		w.q += w.shares[i] * (s.Estimate - w.mean) * (s.Estimate - w.mean)
		w.shares[i] /= w.total
	}
	return w
}

// between is the variance at which the weighted squares come to df, 0 where they fall
// short of it with none: they fall as the variance grows, so halving finds it.
func between(series []Series, df float64) float64 {
	if weigh(series, 0).q <= df {
		return 0
	}
	low, high := halving.Beyond(0, series[0].SE*series[0].SE, math.Inf(1), 2000, func(x float64) bool {
		return !(weigh(series, x).q > df)
	})
	return (low + high) / 2
}

// Steps are what the first two, three, … series say jointly: what each one added.
// The last is Agree of them all. Errors as Agree.
func Steps(series []Series, confidence float64) ([]*Together, error) {
	var out []*Together
	for n := 2; n <= max(2, len(series)); n++ {
		t, err := Agree(series[:min(n, len(series))], confidence)
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}
