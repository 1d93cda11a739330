package compare

import (
	"context"
	"math"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// Groups makes Means from raw values, one slice a level, with one common variance.
// Errors are *Error: "too-few-levels", "too-few-specimens", "all-equal", "no-spread",
// "not-a-number", or ctx's own.
func Groups(ctx context.Context, values [][]float64) (_ Means, err error) {
	defer parallel.Catch(&err)
	if err := check(ctx, values); err != nil {
		return Means{}, err
	}
	k := len(values)
	m := Means{Mean: make([]float64, k), Cov: make([][]float64, k), N: make([]float64, k)}
	squares := 0.0
	for i, level := range values {
		mean, ss := meanAndSquares(ctx, level)
		m.Mean[i], m.N[i] = mean, float64(len(level))
		m.DF += m.N[i] - 1
		squares += ss
	}
	for i := range m.Cov {
		m.Cov[i] = make([]float64, k)
		m.Cov[i][i] = squares / m.DF / m.N[i]
	}
	return m, nil
}

// meanAndSquares is the mean and the sum of squares about it, in two passes with the
// second pass's remainder taken into both (Chan, Golub & LeVeque 1983, equation 1.7).
// Values are measured from the first, so that many leading digits in common do no harm. It is
// parallel.Stopped where ctx ends.
func meanAndSquares(ctx context.Context, values []float64) (mean, squares float64) {
	n := float64(len(values))
	for i, v := range values {
		parallel.LookAt(ctx, i)
		mean += (v - values[0]) / n
	}
	rest := 0.0
	for i, v := range values {
		parallel.LookAt(ctx, i)
		d := v - values[0] - mean
		rest += d
		squares += d * d
	}
	return values[0] + (mean + rest/n), squares - rest*rest/n
}

// check finds what keeps raw values from being compared. It is parallel.Stopped where ctx ends.
func check(ctx context.Context, values [][]float64) error {
	if len(values) < 2 {
		return &Error{"too-few-levels", -1}
	}
	most, alike, same := 0, true, true
	for i, level := range values {
		if len(level) == 0 {
			return &Error{"too-few-specimens", i}
		}
		most = max(most, len(level))
		for row, v := range level {
			parallel.LookAt(ctx, row)
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return &Error{"not-a-number", i}
			}
			alike = alike && v == level[0]
			same = same && v == values[0][0]
		}
	}
	switch {
	case most < 2:
		return &Error{"too-few-specimens", -1}
	case same:
		return &Error{"all-equal", -1}
	case alike:
		return &Error{"no-spread", -1}
	}
	return nil
}

// Overall is the one-way analysis of variance of raw groups.
type Overall struct{ F, DF1, DF2, P float64 }

// OneWay tests whether all levels share one mean: the fit of the values on their level.
// Errors as Groups, or ctx's own.
func OneWay(ctx context.Context, values [][]float64) (_ Overall, err error) {
	defer parallel.Catch(&err)
	if err := check(ctx, values); err != nil {
		return Overall{}, err
	}
	level := design.Variable{Levels: make([]string, len(values))}
	n := 0
	for _, group := range values {
		n += len(group)
	}
	all := make([]float64, 0, n)
	level.Codes = make([]int, 0, n)
	for i, group := range values {
		parallel.Look(ctx)
		all = append(all, group...)
		for at := range group {
			parallel.LookAt(ctx, at)
			level.Codes = append(level.Codes, i)
		}
	}
	fit, err := linear.Solve(ctx, all, design.Model{
		Variables: []design.Variable{level},
		Terms:     []design.Term{{Factors: []design.Factor{{Variable: 0}}}},
	})
	if err != nil {
		return Overall{}, err
	}
	return Overall{F: fit.F, DF1: fit.FDF1, DF2: fit.FDF2, P: fit.P}, nil
}
