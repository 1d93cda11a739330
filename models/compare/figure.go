package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/parallel"
)

// WithFigure makes Means of which the first is a figure that is known, the others the
// means of raw levels (one will do): with Against(ctx, m, 0, o) each mean is compared with
// the figure, one level by Student's t, several by the largest of unrelated t values with
// one sd (the studentised maximum modulus), or, with own spreads, by Šidák's inequality.
// Errors as Groups and Uneven; "no-spread" for a level with own spread whose values are all
// the same; or ctx's own.
func WithFigure(ctx context.Context, values [][]float64, figure float64, own bool) (_ Means, err error) {
	defer parallel.Catch(&err)
	if err := checkFigure(ctx, values, own); err != nil {
		return Means{}, err
	}
	if own {
		return ownSpreads(ctx, values, []float64{figure})
	}
	k := len(values) + 1
	m := Means{Mean: make([]float64, k), Cov: square(k), N: make([]float64, k)}
	m.Mean[0], m.N[0] = figure, math.Inf(1)
	squares := 0.0
	for g, level := range values {
		mean, ss := meanAndSquares(ctx, level)
		m.Mean[g+1], m.N[g+1] = mean, float64(len(level))
		m.DF += m.N[g+1] - 1
		squares += ss
	}
	for i := 1; i < k; i++ {
		m.Cov[i][i] = squares / m.DF / m.N[i]
	}
	return m, nil
}

// checkFigure finds what keeps levels from being compared with a figure.
func checkFigure(ctx context.Context, values [][]float64, own bool) error {
	most, alike := 0, true
	for i, level := range values {
		most = max(most, len(level))
		same := true
		for row, v := range level {
			parallel.LookAt(ctx, row)
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return &Error{"not-a-number", i}
			}
			same = same && v == level[0]
		}
		switch {
		case len(level) == 0:
			return &Error{"too-few-specimens", i}
		case own && len(level) < 2:
			return &Error{"alone", i}
		case own && same:
			return &Error{"no-spread", i}
		}
		alike = alike && same
	}
	switch {
	case most < 2:
		return &Error{"too-few-specimens", -1}
	case alike:
		return &Error{"no-spread", -1}
	}
	return nil
}

// OverallFigure tests whether every level of Means made by WithFigure with one common
// spread has the figure as its mean: F on as many degrees of freedom as levels, t² for one.
func OverallFigure(m Means) Overall {
	o := Overall{DF1: float64(len(m.Mean) - 1), DF2: m.DF}
	for i := 1; i < len(m.Mean); i++ {
		d := m.Mean[i] - m.Mean[0]
		o.F += d * d / m.Cov[i][i] / o.DF1
	}
	o.P = dist.FTail(o.F, o.DF1, o.DF2)
	return o
}
