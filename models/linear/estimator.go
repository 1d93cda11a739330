package linear

import (
	"context"
	"math"

	"breakbook/models/dist"
)

// Estimator is a fitted linear model, by whatever method, as it is asked about its
// coefficients; weights are one a coefficient, as Fit.Weights gives them. Fit, Uneven and
// Resistant are, and so is a fit with random blocks.
type Estimator interface {
	// Combination estimates Σ w·coefficient; ok is false where it cannot be estimated,
	// and SE is NaN where the method has no standard error for it. One that takes long looks
	// at ctx (parallel.Look).
	Combination(ctx context.Context, w []float64) (e Estimate, ok bool)
	// Covariance of several combinations, one a row.
	Covariance(w [][]float64) [][]float64
	// Specimen is the same for one new specimen of weight 1: SE holds its own scatter too.
	Specimen(ctx context.Context, w []float64) (e Estimate, ok bool)
	// Anova tests every term; an *Error where the method has no such test.
	Anova(ctx context.Context, a Adjustment) (*Anova, error)
}

var _ = []Estimator{(*Fit)(nil), (*Uneven)(nil), (*Resistant)(nil)}

// Specimen is the estimate of Combination with the standard error of one new specimen
// of weight 1 about it: √(SE² + Sigma²).
func (f *Fit) Specimen(ctx context.Context, w []float64) (Estimate, bool) {
	e, ok := f.Combination(ctx, w)
	e.SE = math.Hypot(e.SE, f.Sigma)
	return e, ok
}

// Restate fills the coefficients, AtZero and their standard errors, t and p anew from
// another method's estimates, in a fit that belongs to that method.
func (f *Fit) Restate(ctx context.Context, by Estimator) {
	f.Coefficients = append([]Coefficient(nil), f.Coefficients...)
	w := make([]float64, len(f.Coefficients))
	for j := range f.Coefficients {
		c := &f.Coefficients[j]
		if c.Dependent {
			continue
		}
		w[j] = 1
		e, _ := by.Combination(ctx, w)
		w[j] = 0
		c.Estimate, c.SE, c.DF, c.T = e.Value, e.SE, e.DF, e.Value/e.SE
		c.P = dist.TwoSidedT(c.T, c.DF)
	}
	if zero, ok := f.zeroWeights(); ok {
		narrow := make([]float64, len(zero))
		for j, v := range zero {
			narrow[j] = v.Float()
		}
		e, _ := by.Combination(ctx, narrow)
		f.AtZero, f.AtZeroSE = e.Value, e.SE
	}
}

// without clears the figures that rest on least squares and its likelihood.
func (f *Fit) without() {
	nan := math.NaN()
	f.RSS, f.Explained, f.ExplainedAdjusted, f.ExplainedUnseen = nan, nan, nan, nan
	f.F, f.FDF1, f.FDF2, f.P = nan, nan, nan, nan
	f.LogLikelihood, f.AICc = nan, nan
}
