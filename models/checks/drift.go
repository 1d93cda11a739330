package checks

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// Drift tests whether the response drifts with an order of the specimens, one number each, beside the terms of a fit:
// the t of the order were it one more term, by the residuals and the part of the order that the terms do not account
// for (Frisch and Waugh 1933, Econometrica 1, 387–401). So what the terms take of a drift, since levels were tested
// one after the other, is seen too. Errors (*Error): "no-freedom-left"; "nothing-varies" where the terms account for
// the order whole; the context's.
func Drift(ctx context.Context, f *linear.Fit, order []float64) (_ Test, err error) {
	defer parallel.Catch(&err)
	residuals, specimens := WeightedResiduals(ctx, f)
	df := float64(len(specimens) - f.Rank() - 1)
	if df < 1 {
		return Test{}, &Error{"no-freedom-left", len(specimens)}
	}
	rows, orderResiduals := f.Rows(ctx), make([]float64, len(specimens))
	taken := make([]float64, len(rows[specimens[0]]))
	whole, middle := 0.0, 0.0
	for _, i := range specimens {
		middle += order[i] / float64(len(specimens))
	}
	for k, i := range specimens {
		parallel.LookAt(ctx, k)
		root := math.Sqrt(f.Weight(i))
		orderResiduals[k] = root * (order[i] - middle)
		whole += orderResiduals[k] * orderResiduals[k]
		floats.AddScaled(taken, root*orderResiduals[k], rows[i])
	}
	for k, i := range specimens {
		parallel.LookAt(ctx, k)
		orderResiduals[k] -= math.Sqrt(f.Weight(i)) * floats.Dot(taken, rows[i])
	}
	zz := floats.Dot(orderResiduals, orderResiduals)
	if !(zz > 1e-20*whole) {
		return Test{}, &Error{"nothing-varies", len(specimens)}
	}
	slope := floats.Dot(orderResiduals, residuals) / zz
	rest := math.Max(0, floats.Dot(residuals, residuals)-slope*slope*zz)
	t := slope / math.Sqrt(rest/df/zz)
	return Test{Statistic: t, DF: df, P: dist.TwoSidedT(t, df)}, nil
}
