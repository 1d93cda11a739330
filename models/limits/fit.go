package limits

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/checks"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// OfFit works out the limit of joints for which the coefficients of a least-squares fit have
// these weights (as linear.Fit.Weights gives them, and the combination can be estimated), of
// specimens that share blocks where two have the same code (nil: each counts by itself). For
// Lognormal the fit's response is a logarithm. Ranked is not for it.
//
// Without blocks it is exact: expected − √h·t·Sigma with h the variance of what is expected over
// Sigma², and t the noncentral t's point with noncentrality z/√h (Krishnamoorthy and Mathew 2009,
// Statistical Tolerance Regions, 3.2). In blocks, see curve.
func OfFit(ctx context.Context, f *linear.Fit, weights []float64, blocks []int, o Options) (_ Limit, err error) {
	defer parallel.Catch(&err)
	if !o.valid() {
		return Limit{}, &Error{"share"}
	}
	if blocks != nil && len(blocks) != len(f.Response) {
		return Limit{}, &Error{"uneven-lengths"}
	}
	e, _ := f.Combination(ctx, weights)
	l := Limit{N: f.N, Mean: e.Value, SD: f.Sigma, Between: math.NaN()}
	residuals, _ := checks.WeightedResiduals(ctx, f)
	l.ShapeP = bell(residuals)
	if o.Method == Normal && !(l.Mean > 0) {
		return Limit{}, &Error{"not-positive"}
	}
	z := mathext.NormalQuantile(o.Exceeded)
	t := f.Coordinates(weights)
	if blocks == nil {
		h := floats.Dot(t, t)
		l.SDUsed, l.K = o.floored(l.Mean, l.SD), factor(h, f.DF, o.Exceeded, o.Confidence)
		l.pivot = independent(l.Mean, l.SDUsed, h, f.DF, z)
		return l.finished(o, factor(h, f.DF, o.Exceeded, 1-o.Confidence)), nil
	}
	rows := f.Rows(ctx)
	used := make([]int, 0, len(rows))
	for i, row := range rows {
		parallel.LookAt(ctx, i)
		if row != nil {
			used = append(used, blocks[i])
		}
	}
	codes, count := numbered(ctx, used)
	l.Blocks = count
	m := &nest{size: make([]float64, count), residuals: make([]float64, count), rows: make([][]float64, count), n: f.N,
		rank: f.Rank(), rss: f.RSS, at: l.Mean, t: t}
	for b := range m.rows {
		m.rows[b] = make([]float64, len(t))
	}
	at := 0
	for i, row := range rows {
		parallel.LookAt(ctx, i)
		if row == nil {
			continue
		}
		b, w := codes[at], f.Weight(i)
		at++
		m.size[b] += w
		m.residuals[b] += w * f.Residuals[i]
		floats.AddScaled(m.rows[b], w, row)
	}
	if err := l.inBlocks(ctx, m, o); err != nil {
		return Limit{}, err
	}
	return l.finished(o, (l.Mean-l.pivot.at(o.Confidence))/l.SDUsed), nil
}

// factor is the k of the limit expected − k·Sigma where what is expected has the variance
// h·Sigma², and Sigma² df degrees of freedom.
func factor(h, df, exceeded, confidence float64) float64 {
	z := mathext.NormalQuantile(exceeded)
	if root := math.Sqrt(h); root > 1e-6 {
		return root * dist.NoncentralTPoint(1-confidence, df, z/root)
	}
	chance := 1 - confidence
	if z < 0 {
		chance = confidence
	}
	return z * math.Sqrt(df/distuv.ChiSquared{K: df}.Quantile(chance))
}
