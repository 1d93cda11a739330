package mixed

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/parallel"
)

// finish fills the figures of the embedded fit.
func (f *Fit) finish(ctx context.Context, p *parts) {
	rows := f.Rows(ctx)
	f.variances(p)
	shift, blocks := f.shift(), f.blockShifts()
	f.Fitted, f.Residuals = slices.Clone(f.Fitted), slices.Clone(f.Residuals)
	f.RSS = 0
	for i, q := range rows {
		if q == nil {
			continue
		}
		residual := f.Residuals[i] - floats.Dot(q, shift)
		f.RSS += f.Weight(i) * residual * residual
		f.Residuals[i] = residual - blocks[i]
		f.Fitted[i] = f.Response[i] - f.Residuals[i]
	}
	f.Explained = 1 - f.RSS/f.TSS
	f.ExplainedAdjusted, f.ExplainedUnseen, f.AICc = math.NaN(), math.NaN(), math.NaN()
	f.likelihood(p)
	f.Restate(ctx, f)
	f.F, f.FDF2, f.P = math.NaN(), math.NaN(), math.NaN()
	if overall := f.Overall(); len(overall) > 0 {
		f.F, f.FDF2, f.P = f.test(ctx, overall)
	}
}

// blockShifts is the sum of the blocks' predicted shifts for every specimen.
func (f *Fit) blockShifts() []float64 {
	sum := make([]float64, len(f.Response))
	if f.at == nil {
		return sum
	}
	for i := range sum {
		if f.Weight(i) == 0 {
			continue
		}
		sum[i] = f.at.ratios[0] * f.at.residuals[0][f.parts.groups[0].codes[i]]
		for k, g := range f.parts.groups[1:] {
			sum[i] += f.at.shift[f.parts.from[k]+g.codes[i]]
		}
	}
	return sum
}

// ResidualShares are the variances of the residuals over Sigma² (over the weight, where there is one): what the terms
// and the blocks' shifts leave of each specimen, 1 less its leverage in both. NaN for a specimen of weight 0. The
// residual of a specimen over its share is how far it lies from what all others let expect of it.
func (f *Fit) ResidualShares(ctx context.Context) []float64 {
	out := make([]float64, len(f.Response))
	for i, row := range f.Rows(ctx) {
		parallel.LookAt(ctx, i)
		switch {
		case row == nil:
			out[i] = math.NaN()
			continue
		case f.at == nil:
			out[i] = 1 - f.Leverage[i]
			continue
		}
		w, theta, block := f.Weight(i), f.at.ratios[0], f.parts.groups[0].codes[i]
		inner := make([]float64, f.parts.width)
		for k, g := range f.parts.groups[1:] {
			inner[f.parts.from[k]+g.codes[i]] = 1
		}
		copy(inner[f.parts.others:], row)
		floats.AddScaled(inner, -theta, f.at.outer.RawRowView(block)[:f.parts.width])
		taken := theta/(1+theta*f.parts.size[block]) + floats.Dot(inner, times(f.at.solved, inner))
		out[i] = 1 - w*taken
	}
	return out
}

func (f *Fit) likelihood(p *parts) {
	deviance := p.constant
	if f.at != nil {
		deviance += f.at.deviance - p.freedom*math.Log(f.at.rss)
	}
	quadratic := p.freedom // y'Py over Sigma², where Sigma² is at its best
	if f.known > 0 {
		quadratic = f.at.rss / (f.Sigma * f.Sigma)
	}
	deviance += p.freedom*math.Log(2*math.Pi*f.Sigma*f.Sigma) + quadratic
	f.LogLikelihood = -deviance / 2
	k := float64(f.Rank() + 1)
	if f.at != nil && f.known == 0 {
		k += float64(len(f.at.ratios))
	}
	if f.criterion == Full && float64(f.N) > k+1 {
		f.AICc = deviance + 2*k + 2*k*(k+1)/(float64(f.N)-k-1)
	}
}
