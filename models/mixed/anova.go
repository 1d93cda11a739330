package mixed

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// Anova tests each term by Satterthwaite's F (Fai and Cornelius 1996, J. Statist. Comput.
// Simul. 54): Wald's F, its denominator from the degrees of freedom of its independent parts.
// Each term is adjusted as Fit.Anova adjusts it, in the metric of generalised least squares.
// Sums of squares and shares are NaN. Sequential is refused: *linear.Error "no-order".
func (f *Fit) Anova(ctx context.Context, a linear.Adjustment) (_ *linear.Anova, err error) {
	defer parallel.Catch(&err)
	if a == linear.Sequential {
		return nil, &linear.Error{Code: "no-order", Term: -1, N: f.N, P: f.Rank(), Variable: -1, Specimen: -1}
	}
	directions, err := f.Directions(ctx, a, f.metric())
	if err != nil {
		return nil, err
	}
	nan := math.NaN()
	out := &linear.Anova{ResidualDF: f.DF, ResidualSS: nan, ResidualMS: f.Sigma * f.Sigma, TotalDF: nan, TotalSS: nan,
		AddsUp: true}
	for t, rows := range directions {
		s := linear.Source{Term: t, DF: float64(len(rows)), SS: nan, MS: nan, Share: nan}
		if len(rows) == 0 {
			s.DF, s.F, s.P, s.Against, s.Untestable = nan, nan, nan, nan, true
		} else {
			s.F, s.Against, s.P = f.test(ctx, rows)
		}
		out.Sources = append(out.Sources, s)
	}
	return out, nil
}

// metric is the triangle U with U'U = X'V⁻¹X·Sigma² in coordinates; nil without blocks.
func (f *Fit) metric() [][]float64 {
	if f.at == nil {
		return nil
	}
	p := len(f.Coefficients)
	covariance := mat.NewSymDense(p, nil)
	for a := range p {
		for b := range a + 1 {
			covariance.SetSym(a, b, f.at.solved.At(f.parts.others+a, f.parts.others+b))
		}
	}
	var c, inverse mat.Cholesky
	precision := mat.NewSymDense(p, nil)
	if !c.Factorize(covariance) || c.InverseTo(precision) != nil || !inverse.Factorize(precision) {
		return nil
	}
	var u mat.TriDense
	inverse.UTo(&u)
	out := make([][]float64, p)
	for a := range out {
		out[a] = make([]float64, p)
		for b := a; b < p; b++ {
			out[a][b] = u.At(a, b)
		}
	}
	return out
}

// test is the F that combinations given in coordinates are all zero, with its second
// degrees of freedom. The independent parts are those of the combinations made orthonormal
// in coordinates, so that they do not depend on how levels are ordered or numbers scaled.
func (f *Fit) test(ctx context.Context, rows [][]float64) (ratio, against, p float64) {
	var span design.Span
	for _, row := range rows {
		span.Add(ctx, row)
	}
	rows = span.Directions
	q := len(rows)
	covariance := mat.NewSymDense(q, nil)
	for i := range rows {
		for j := range i + 1 {
			covariance.SetSym(i, j, f.between(rows[i], rows[j]))
		}
	}
	var e mat.EigenSym
	if !e.Factorize(covariance, true) {
		return math.NaN(), math.NaN(), math.NaN()
	}
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	dfs := make([]float64, q)
	for a := range q {
		t := make([]float64, len(rows[0]))
		for i, row := range rows {
			for c, v := range row {
				t[c] += vectors.At(i, a) * v
			}
		}
		variance, df := f.spread(t, false)
		value := f.Value(t) + floats.Dot(t, f.shift())
		ratio += value * value / variance / float64(q)
		dfs[a] = df
	}
	against = denominator(dfs)
	return ratio, against, dist.FTail(ratio, float64(q), against)
}

// denominator is ν with ν/(ν−2) the mean of F's parts' ν_i/(ν_i−2): 2E/(E−q) with E their
// sum, parts of 2 or fewer degrees of freedom left out of it. Where that leaves too
// little, it is the smallest.
func denominator(dfs []float64) float64 {
	sum, excess := 0.0, 0.0
	for _, v := range dfs {
		if v > 2 {
			sum += v / (v - 2)
			excess += 2 / (v - 2)
		} else {
			excess--
		}
	}
	if len(dfs) == 1 || !(excess > 0) {
		return slices.Min(dfs)
	}
	return 2 * sum / excess
}
