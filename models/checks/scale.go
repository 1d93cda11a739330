package checks

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/dist"
	"breakbook/models/linear"
)

// OtherScale is the probability under which the others speak for a scale of their own, by which an odd specimen is then
// judged. It is larger than that of a doubt: an odd specimen is told where nothing else explains it.
const OtherScale = 0.1

// logsSuit is by how much larger the ln likelihood of the others has to be with logarithms for these to be their scale:
// half the upper 10 % point of chi-square with one degree of freedom, as for the power 0 against 1 of Box and Cox
// (1964, Journal of the Royal Statistical Society B 26).
const logsSuit = 1.353

// OddStill is the probability of the odd specimen of a fit by the scale that the others scatter on, never below its
// own: by the spread of its level, where levels scatter unalike, and by logarithms, where these suit the others
// better. It is n times the chance of one t, as that of Oddest. The error is ctx's own.
func OddStill(ctx context.Context, f *linear.Fit, odd Odd, unalike bool) (p float64, err error) {
	p = odd.P
	if unalike {
		p = math.Max(p, oddInLevel(f, odd.Specimen))
	}
	byLogs, err := oddByLogs(ctx, f, odd.Specimen)
	return math.Max(p, byLogs), err
}

// oddInLevel is the probability of a specimen by the others of its level, the largest over the categories of the fit;
// 0 where no level tells.
func oddInLevel(f *linear.Fit, specimen int) (p float64) {
	for _, v := range f.Matrix.Model.Variables {
		if !v.IsCategory() {
			continue
		}
		var others []float64
		for i, code := range v.Codes {
			if w := f.Weight(i); w > 0 && i != specimen && code == v.Codes[specimen] {
				others = append(others, math.Sqrt(w)*f.Residuals[i])
			}
		}
		m := float64(len(others))
		if m < 2 {
			continue
		}
		mean, sd := stat.MeanStdDev(others, nil)
		t := (math.Sqrt(f.Weight(specimen))*f.Residuals[specimen] - mean) / (sd * math.Sqrt(1+1/m))
		p = math.Max(p, math.Min(1, float64(f.N)*dist.TwoSidedT(t, m-1)))
	}
	return p
}

// oddByLogs is the probability of a specimen in the same fit of the logarithms; 0 where these do not suit the others
// clearly better, or do not exist.
func oddByLogs(ctx context.Context, f *linear.Fit, specimen int) (p float64, err error) {
	logs, sum := make([]float64, len(f.Response)), 0.0
	for i, y := range f.Response {
		if !(y > 0) || f.Weight(i) != 1 {
			return 0, nil
		}
		if logs[i] = math.Log(y); i != specimen {
			sum += logs[i]
		}
	}
	by, err := linear.Solve(ctx, logs, f.Matrix.Model)
	if unfit := (*linear.Error)(nil); errors.As(err, &unfit) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	others := func(f *linear.Fit) float64 { // their residual sum of squares, were they fitted alone
		return f.RSS - f.Residuals[specimen]*f.Residuals[specimen]/(1-f.Leverage[specimen])
	}
	n := float64(f.N - 1)
	if !(n/2*math.Log(others(f)/others(by))-sum > logsSuit) {
		return 0, nil
	}
	t := deleted(standardised(by, specimen), by.DF)
	return math.Min(1, float64(f.N)*dist.TwoSidedT(t, by.DF-1)), nil
}
