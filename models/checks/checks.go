// Package checks asks whether a fit's residuals behave as its intervals take them to:
// near a normal shape, with one spread, without an odd specimen, without a bend that the
// terms miss, and not depending on single specimens. A plain sample is a fit with no terms,
// and levels of a category are a fit on it.
package checks

import (
	"context"
	"fmt"
	"math"

	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// Test is one test of a fit's residuals. DF2 is NaN where the statistic has none.
type Test struct {
	Statistic, DF, DF2, P float64
}

// Error says why a check cannot be made. Codes: "too-few-specimens", "too-many-specimens",
// "all-equal" (there are no residuals, or they do not vary), "no-freedom-left",
// "nothing-varies" (what it is compared with does not), "not-a-number".
type Error struct {
	Code string
	N    int // specimens
}

func (e *Error) Error() string { return fmt.Sprintf("%s (%d specimens)", e.Code, e.N) }

// WeightedResiduals are the residuals of the specimens with weight, each times the root of its
// weight so that all have one spread, with the index of each. It is parallel.Stopped where ctx ends.
func WeightedResiduals(ctx context.Context, f *linear.Fit) (values []float64, specimens []int) {
	values, specimens = make([]float64, 0, len(f.Residuals)), make([]int, 0, len(f.Residuals))
	for i, e := range f.Residuals {
		parallel.LookAt(ctx, i)
		if w := f.Weight(i); w != 0 {
			values = append(values, math.Sqrt(w)*e)
			specimens = append(specimens, i)
		}
	}
	return values, specimens
}

// SpreadAgainstFit tests whether the spread changes with what is expected: the F test of
// the line through the squared residuals against the fitted values (Koenker 1981,
// J. Econometrics 17, whose statistic n·R² is this one's before the usual F form), on 1
// and n − 2 degrees of freedom.
func SpreadAgainstFit(ctx context.Context, f *linear.Fit) (_ Test, err error) {
	defer parallel.Catch(&err)
	residuals, specimens := WeightedResiduals(ctx, f)
	n := float64(len(residuals))
	if n < 3 {
		return Test{}, &Error{"too-few-specimens", len(residuals)}
	}
	var meanX, meanY float64
	for k, i := range specimens {
		meanX += f.Fitted[i] / n
		meanY += residuals[k] * residuals[k] / n
	}
	var sxx, sxy, syy float64
	for k, i := range specimens {
		dx, dy := f.Fitted[i]-meanX, residuals[k]*residuals[k]-meanY
		sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
	}
	size := meanX*meanX + sxx/n
	switch {
	case !(sxx > 1e-24*size*n):
		return Test{}, &Error{"nothing-varies", len(residuals)}
	case !(syy > 1e-24*meanY*meanY*n):
		return Test{}, &Error{"all-equal", len(residuals)}
	}
	r2 := sxy * sxy / (sxx * syy)
	t := Test{Statistic: r2 / (1 - r2) * (n - 2), DF: 1, DF2: n - 2}
	t.P = dist.FTail(t.Statistic, t.DF, t.DF2)
	return t, nil
}
