// Package strength fits the strength of one way of breaking where other ways, or the end of
// the test, cut specimens short: their loads are only lower bounds. Loads go in as they
// are; effects are on ln load.
package strength

import (
	"context"
	"fmt"
	"math"

	"breakbook/models/dist"
	"breakbook/models/likelihood"
	"breakbook/models/parallel"
)

// Distribution is how ln load scatters about its place.
type Distribution uint8

const (
	Weibull   Distribution = iota // the place is ln of the 63.2 % load
	Lognormal                     // the place is ln of the median
)

// Name is the distribution's word in the language.
func (d Distribution) Name() string { return [...]string{"weibull", "lognormal"}[d] }

// Sample is one load a specimen, whether the way of breaking in question ended its test
// (else the load is a lower bound), and the columns of the design, none dependent on others.
type Sample struct {
	Load    []float64
	Ended   []bool
	Columns [][]float64
}

// Error says why a sample cannot be fitted. Codes: "uneven-lengths", "not-positive" (a load
// that is not above zero), "too-few-breaks" (no more breaks than columns), "all-equal" (the
// columns account for every break exactly), "not-converged".
type Error struct {
	Code     string
	Specimen int // or -1
	Breaks   int
	Columns  int
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s (specimen %d; %d breaks, %d columns)", e.Code, e.Specimen, e.Breaks, e.Columns)
}

// Fit is a fitted accelerated-failure model, ln load = columns·coefficients + spread·error,
// by maximum likelihood with right-censored loads (Kalbfleisch & Prentice 2002, 3.2 and 3.6).
type Fit struct {
	Distribution    Distribution
	N               int
	Ended, CutShort int
	Coefficients    []float64
	Spread          float64 // of the error on the ln scale: 1/shape for Weibull, the sd for log-normal
	LogLikelihood   float64 // on the load's own scale
	AICc            float64 // the spread counts as a parameter; NaN where n ≤ parameters + 1
	Steps           int     // of Newton's method
	Converged       bool

	peak   *likelihood.Peak
	middle float64   // what ln load was measured from
	unit   []float64 // what each column was divided by
}

// Estimate is a quantity with its profile interval. Value is infinite and SE NaN where the
// likelihood keeps rising the further it goes; an endless side of the interval is infinite.
type Estimate = likelihood.Profile

// Solve fits the sample. The likelihood is taken in coefficients ÷ spread and 1 ÷ spread, in
// which it is concave for both distributions (Burridge 1981, J. R. Statist. Soc. B 43;
// Olsen 1978, Econometrica 46), so Newton's method finds its one peak. The start is a
// single spread about the middle. Errors are *Error and ctx's own.
func Solve(ctx context.Context, s Sample, d Distribution) (_ *Fit, err error) {
	defer parallel.Catch(&err)
	if err := s.check(); err != nil {
		return nil, err
	}
	f := &Fit{Distribution: d, N: len(s.Load)}
	m := newModel(ctx, s, d)
	f.middle, f.unit, f.Ended = m.middle, m.unit, m.ended
	f.CutShort = f.N - f.Ended
	peak, err := likelihood.Maximise(ctx, m, m.start())
	if err != nil {
		return nil, err
	}
	tau := peak.Theta[len(s.Columns)]
	switch e := (&Error{Specimen: -1, Breaks: f.Ended, Columns: len(s.Columns)}); {
	case tau > mostPrecise, !peak.Converged && tau > mostPrecise/1e3:
		e.Code = "all-equal"
		return nil, e
	case !peak.Converged:
		e.Code = "not-converged"
		return nil, e
	}
	f.peak, f.Steps, f.Converged = peak, peak.Steps, peak.Converged
	f.Spread = 1 / tau
	f.Coefficients = make([]float64, len(s.Columns))
	for j := range f.Coefficients {
		f.Coefficients[j] = peak.Theta[j] / tau / f.unit[j]
		if m.constant(j) {
			f.Coefficients[j] += f.middle / m.columns[j][0] / f.unit[j]
		}
	}
	f.LogLikelihood = peak.Value + m.ownScale
	n, k := float64(f.N), float64(len(s.Columns)+1)
	f.AICc = math.NaN()
	if n > k+1 {
		f.AICc = -2*f.LogLikelihood + 2*k + 2*k*(k+1)/(n-k-1)
	}
	return f, nil
}

// mostPrecise is 1 ÷ spread beyond which a fit has run away to an exact one: no load is
// read to a ten-millionth of itself. A climb that has not come to its end at a ten-thousandth
// is on its way there, held up by the rounding of columns that are all but dependent.
const mostPrecise = 1e7

func (s Sample) check() error {
	breaks := 0
	for _, c := range s.Columns {
		if len(c) != len(s.Load) {
			return &Error{Code: "uneven-lengths", Specimen: -1}
		}
	}
	if len(s.Ended) != len(s.Load) {
		return &Error{Code: "uneven-lengths", Specimen: -1}
	}
	for i, y := range s.Load {
		if !(y > 0) || math.IsInf(y, 1) {
			return &Error{Code: "not-positive", Specimen: i}
		}
		if s.Ended[i] {
			breaks++
		}
	}
	if breaks <= len(s.Columns) {
		return &Error{Code: "too-few-breaks", Specimen: -1, Breaks: breaks, Columns: len(s.Columns)}
	}
	return nil
}

// Standard is the distribution's own quantile, of spread 1 about 0.
func (d Distribution) Standard(p float64) float64 {
	if d == Weibull {
		return math.Log(-math.Log1p(-p))
	}
	return dist.TQuantile(p, math.Inf(1))
}

// Above is the share above z, for spread 1 about 0.
func (d Distribution) Above(z float64) float64 { return math.Exp(d.at(z, false).ln) }

// farthest is how far on the ln scale an interval is followed: a factor of 10^43 in load.
const farthest = 100

// quantity is weights·coefficients + spread·shift as a ratio of forms of the parameters.
func (f *Fit) quantity(weights []float64, shift, reach float64) likelihood.Quantity {
	k := len(f.Coefficients)
	q := likelihood.Quantity{Top: make([]float64, k+1), Bottom: make([]float64, k+1), Shift: shift, Reach: reach}
	for j, w := range weights {
		q.Top[j] = w / f.unit[j]
	}
	q.Bottom[k] = 1
	return q
}

// Quantile is ln of the load that a share p of specimens breaks below, at a place in the
// design whose columns are weights, with its profile interval.
func (f *Fit) Quantile(ctx context.Context, weights []float64, p, confidence float64) (Estimate, error) {
	e, err := f.peak.Profile(ctx, f.quantity(weights, f.Distribution.Standard(p), farthest), confidence)
	return f.lifted(e), err
}

// Location is the distribution's own place, weights·coefficients: ln of the 63.2 % load for
// Weibull, of the median for log-normal. Weights must hold the baseline.
func (f *Fit) Location(ctx context.Context, weights []float64, confidence float64) (Estimate, error) {
	e, err := f.peak.Profile(ctx, f.quantity(weights, 0, farthest), confidence)
	return f.lifted(e), err
}

// lifted takes an estimate back to ln load itself.
func (f *Fit) lifted(e Estimate) Estimate {
	e.Value += f.middle
	e.Range.Low += f.middle
	e.Range.High += f.middle
	return e
}

// Difference is weights·coefficients on the ln scale, such as one place less another, with
// its profile interval. It must not hold the baseline column.
func (f *Fit) Difference(ctx context.Context, weights []float64, confidence float64) (Estimate, error) {
	return f.peak.Profile(ctx, f.quantity(weights, 0, f.reach(weights)), confidence)
}

// reach is farthest in the weights' own measure: columns of usual size, added up.
func (f *Fit) reach(weights []float64) float64 {
	sum := 0.0
	for j, w := range weights {
		sum += math.Abs(w) / f.unit[j]
	}
	return farthest * sum
}

// Chance is the likelihood ratio probability of Difference, were the truth zero.
func (f *Fit) Chance(ctx context.Context, weights []float64) (float64, error) {
	return f.peak.Chance(ctx, f.quantity(weights, 0, f.reach(weights)), 0)
}
