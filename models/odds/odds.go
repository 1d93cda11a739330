// Package odds fits what the chance of a way of breaking goes with: log odds that are linear
// in the columns of a design, of one mode against the rest or of all modes at once.
package odds

import (
	"context"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/dist"
	"breakbook/models/likelihood"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
)

// Sample is the specimens: a design of independent columns, the baseline of ones first, and
// the mode each ended in, 0 to Modes − 1, every mode with a specimen. Mode 0 is the one the
// others are compared with.
type Sample struct {
	Columns [][]float64
	Mode    []int
	Modes   int
}

// Fit is the fitted log odds.
type Fit struct {
	N             int
	Coefficients  [][]float64 // by mode less one, by column
	Separated     bool        // some combination of the columns parts the modes: Firth's penalty was used
	LogLikelihood float64     // without the penalty
	DF            int         // coefficients beside the baselines
	P             float64     // of all of them, by the (penalised) likelihood ratio; NaN where there are none

	Ratios
	cov mat.SymDense
}

// Ratios are the likelihood ratios that columns are tested by.
type Ratios struct {
	model *model
	peak  *likelihood.Peak
}

// Estimate is a log odds, or a difference of log odds, with its profile interval.
type Estimate struct {
	Value, SE float64 // SE by Fisher's information at the estimate
	Range     verdict.Range
	P         float64 // likelihood ratio against zero
}

var (
	// ErrOneMode says that all specimens ended in one mode.
	ErrOneMode = errors.New("all specimens ended in one mode")
	// ErrNoPeak says that the likelihood has no peak that could be reached.
	ErrNoPeak = errors.New("the likelihood has no peak that could be reached")
)

// Solve fits the log odds by maximum likelihood (Cox 1958; several modes at once: McFadden 1974).
// Where the columns part the modes there is no peak, which linear programming settles where the
// climb leaves some specimen without a chance, and half the log determinant of the information
// is added (Firth 1993; Heinze & Schemper 2002). Errors are ErrOneMode, ErrNoPeak and ctx's own.
func Solve(ctx context.Context, s Sample) (*Fit, error) {
	f, err := Bare(ctx, s)
	if err != nil || f.DF == 0 {
		return f, err
	}
	all := lists.Made(len(s.Columns)-1, func(c int) int { return c + 1 })
	if f.P, err = f.Without(ctx, all); err != nil {
		return nil, err
	}
	return f, nil
}

// Bare is Solve without the probability of all columns, a fit of its own: for many fits that are not asked for it.
func Bare(ctx context.Context, s Sample) (_ *Fit, err error) {
	defer parallel.Catch(&err)
	if s.Modes < 2 {
		return nil, ErrOneMode
	}
	m := newModel(ctx, s)
	start := make([]float64, m.Size())
	peak, err := likelihood.Maximise(ctx, m, start)
	if err != nil {
		return nil, err
	}
	if m.parts(ctx, peak.Theta) && m.mayBeSeparated(ctx) {
		m.penalised = true
		if peak, err = likelihood.Maximise(ctx, m, start); err != nil {
			return nil, err
		}
	}
	if !peak.Converged {
		return nil, ErrNoPeak
	}
	m.peaked = true
	d := len(s.Columns)
	f := &Fit{N: len(s.Mode), Separated: m.penalised, DF: (d - 1) * (s.Modes - 1), P: math.NaN(),
		Ratios: Ratios{m, peak}}
	for a := range s.Modes - 1 {
		f.Coefficients = append(f.Coefficients, peak.Theta[a*d:(a+1)*d])
	}
	info := mat.NewSymDense(m.Size(), nil)
	f.LogLikelihood, _ = m.likelihood(ctx, peak.Theta, make([]float64, m.Size()), info)
	var root mat.Cholesky
	if !root.Factorize(info) {
		return nil, ErrNoPeak
	}
	if err := root.InverseTo(&f.cov); err != nil && f.cov.IsEmpty() {
		return nil, ErrNoPeak
	}
	return f, nil
}

// Without is the probability of columns (never the first, which is the baseline) by the likelihood ratio of
// the fit with their coefficients at zero; of a penalised fit by the penalised one, the penalty still that of
// the whole model (Heinze & Schemper 2002). Errors are ErrNoPeak and ctx's own.
func (f Ratios) Without(ctx context.Context, columns []int) (_ float64, err error) {
	defer parallel.Catch(&err)
	r := &restricted{model: f.model}
	var start []float64
	for i := range f.model.Size() {
		if c := i % f.model.columns; !slices.Contains(columns, c) {
			r.free, start = append(r.free, i), append(start, 0)
		}
	}
	less, err := likelihood.Maximise(ctx, r, start)
	switch {
	case err != nil:
		return math.NaN(), err
	case !less.Converged:
		return math.NaN(), ErrNoPeak
	}
	return dist.ChiSquareTail(math.Max(0, 2*(f.peak.Value-less.Value)), float64(f.model.Size()-len(r.free))), nil
}

// Penalised are the ratios of the likelihood with Firth's penalty, whether or not the columns part the modes.
// Of a few dozen specimens the plain ratio of columns that do nothing is under 0.05 in up to a tenth of series,
// and under 0.01 in three of a hundred; the penalised one keeps to both. Errors are ErrNoPeak and ctx's own.
func (f *Fit) Penalised(ctx context.Context) (Ratios, error) {
	m := *f.model
	m.penalised, m.peaked = true, true // the likelihood's own curvature leads there, as in Firth's scoring
	peak, err := likelihood.Maximise(ctx, &m, make([]float64, m.Size()))
	switch {
	case err != nil:
		return Ratios{}, err
	case !peak.Converged:
		return Ratios{}, ErrNoPeak
	}
	return Ratios{&m, peak}, nil
}

// Combination is w·β of one mode, 1 to Modes − 1, with its interval by the profile of the
// (penalised) likelihood (Venzon & Moolgavkar 1988; Heinze & Schemper 2002). Errors are ctx's own
// and likelihood.ErrNoRange, what could not be calculated being NaN.
func (f *Fit) Combination(ctx context.Context, mode int, w []float64, confidence float64) (Estimate, error) {
	e, q := f.estimate(mode, w)
	p, err := f.peak.Profile(ctx, q, confidence)
	if err != nil {
		return e, err
	}
	e.Range = p.Range
	e.P, err = f.peak.Chance(ctx, q, 0)
	return e, err
}

// Range is that of Combination at another confidence, without the rest.
func (f *Fit) Range(ctx context.Context, mode int, w []float64, confidence float64) (verdict.Range, error) {
	_, q := f.estimate(mode, w)
	p, err := f.peak.Profile(ctx, q, confidence)
	return p.Range, err
}

// estimate is what is known of w·β before its profile is followed, and w·β as a quantity.
func (f *Fit) estimate(mode int, w []float64) (Estimate, likelihood.Quantity) {
	q := likelihood.Quantity{Top: make([]float64, f.model.Size())}
	copy(q.Top[(mode-1)*len(w):], w)
	top := mat.NewVecDense(len(q.Top), q.Top)
	nan := math.NaN()
	e := Estimate{SE: math.Sqrt(mat.Inner(top, &f.cov, top)), Range: verdict.Range{Low: nan, High: nan}, P: nan}
	for j, x := range q.Top {
		e.Value += x * f.peak.Theta[j]
	}
	q.Reach = 200*e.SE + math.Abs(e.Value) // every interval of a peak ends well within it
	return e, q
}

// Chances are those of every mode, 0 first, at a row of the design.
func (f *Fit) Chances(row []float64) []float64 {
	eta, p := make([]float64, f.model.modes-1), make([]float64, f.model.modes)
	for a, beta := range f.Coefficients {
		for c, x := range row {
			eta[a] += beta[c] * x
		}
	}
	p[0] = math.Exp(-chances(eta, p[1:]))
	return p
}

// restricted is the model with every coefficient at zero but the free ones, the penalty still
// that of the whole model.
type restricted struct {
	*model
	free []int
}

// Size is the number of free coefficients.
func (r *restricted) Size() int { return len(r.free) }

// At is the whole model's.
func (r *restricted) At(ctx context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	all, g, c := make([]float64, r.model.Size()), make([]float64, r.model.Size()), mat.NewSymDense(r.model.Size(), nil)
	for i, at := range r.free {
		all[at] = theta[i]
	}
	value := r.model.At(ctx, all, g, c)
	for i, at := range r.free {
		gradient[i] = g[at]
		for j := i; j < len(r.free); j++ {
			curvature.SetSym(i, j, c.At(at, r.free[j]))
		}
	}
	return value
}
