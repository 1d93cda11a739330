package checks

import (
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
)

// Odd is the specimen that lies furthest from what the others say of it.
type Odd struct {
	Specimen int
	G        float64 // Grubbs's statistic: in a plain sample the distance from the mean over the sd
	Critical float64 // of G at the level asked
	P        float64 // two-sided, for the furthest of all the specimens
	Deleted  float64 // its residual in standard errors of its own prediction from the others, with its sign
	DF       float64 // of Deleted
}

// Oddest finds the odd specimen of a fit and tests it: Grubbs's two-sided test (1969,
// Technometrics 11), whose critical value is that of the t of the specimen predicted from
// the others at alpha/(2n) (Cook & Weisberg 1982, 2.2.2, for fits with terms). For a plain
// sample G is |y − ȳ|/s; with terms each residual is first divided by √((1 − leverage)·n/(n−1)),
// so that one level alone gives Grubbs's own. P is n times the chance of one t, exact
// where it is small and an upper bound elsewhere. Specimens alone on their level are passed
// over. Errors are *Error: "too-few-specimens", "no-freedom-left", "all-equal".
func Oddest(f *linear.Fit, alpha float64) (Odd, error) {
	n := float64(f.N)
	switch {
	case f.N < 3:
		return Odd{}, &Error{"too-few-specimens", f.N}
	case f.DF < 2:
		return Odd{}, &Error{"no-freedom-left", f.N}
	case !(f.Sigma > 0):
		return Odd{}, &Error{"all-equal", f.N}
	}
	most := Odd{Specimen: -1, DF: f.DF - 1}
	largest := -1.0
	for i := range f.Residuals {
		if r := standardised(f, i); math.Abs(r) > largest {
			largest, most.Specimen = math.Abs(r), i
			most.Deleted = deleted(r, f.DF)
		}
	}
	if most.Specimen < 0 {
		return Odd{}, &Error{"no-freedom-left", f.N}
	}
	most.G = largest * math.Sqrt((n-1)/n)
	most.Critical = GrubbsCritical(f.N, f.DF, alpha)
	most.P = math.Min(1, n*dist.TwoSidedT(most.Deleted, most.DF))
	return most, nil
}

// GrubbsCritical is what G passes with chance alpha in n specimens of which df are left
// over; n − 1 are in a plain sample, where it is Grubbs's two-sided critical value.
func GrubbsCritical(n int, df, alpha float64) float64 {
	t := dist.TQuantile(alpha/(2*float64(n)), df-1)
	return math.Sqrt((float64(n)-1)/float64(n)) * math.Sqrt(df) / math.Sqrt((df-1)/(t*t)+1)
}

// Several looks for up to most odd specimens at once, for one can hide another: the
// furthest is taken out, the rest fitted again, and so on; all up to the last that passes
// its own critical value are odd (Rosner 1983, Technometrics 25, for a plain sample; Paul &
// Fung 1991, Technometrics 33, for fits, from memory). It returns the steps made and how
// many of them are odd. Steps end early where the rest cannot be fitted. Errors as Oddest, of
// the first step, or ctx's own.
func Several(ctx context.Context, f *linear.Fit, most int, alpha float64) (steps []Odd, odd int, err error) {
	model := f.Matrix.Model
	for {
		step, err := Oddest(f, alpha)
		if err != nil && len(steps) == 0 {
			return nil, 0, err
		}
		if err != nil {
			break
		}
		if steps = append(steps, step); step.G > step.Critical {
			odd = len(steps)
		}
		if len(steps) == most {
			break
		}
		model = without(model, len(f.Response), step.Specimen)
		var unfit *linear.Error
		if f, err = linear.Solve(ctx, f.Response, model); errors.As(err, &unfit) {
			break
		}
		if err != nil {
			return nil, 0, err
		}
	}
	return steps, odd, nil
}

// without is the model with one specimen of n left out.
func without(m design.Model, n, specimen int) design.Model {
	if m.Weights = slices.Clone(m.Weights); m.Weights == nil {
		m.Weights = make([]float64, n)
		for i := range m.Weights {
			m.Weights[i] = 1
		}
	}
	m.Weights[specimen] = 0
	return m
}
