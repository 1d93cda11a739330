package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Uneven makes Means from raw values, one slice a level, each level with its own variance
// and each pair with the degrees of freedom of Welch (1947), equation 28. Errors are *Error:
// those of Groups, and "alone" for a level with one specimen; or they are ctx's own.
func Uneven(ctx context.Context, values [][]float64) (_ Means, err error) {
	defer parallel.Catch(&err)
	if err := check(ctx, values); err != nil {
		return Means{}, err
	}
	return ownSpreads(ctx, values, nil)
}

// ownSpreads are the means of levels with a variance each, after those of the figures known.
func ownSpreads(ctx context.Context, values [][]float64, figures []float64) (Means, error) {
	k := len(figures) + len(values)
	m := Means{Mean: make([]float64, k), Cov: square(k), N: make([]float64, k), PairDF: square(k), Own: true,
		DF: math.NaN()}
	for i, x := range figures {
		m.Mean[i], m.N[i] = x, math.Inf(1)
	}
	for g, level := range values {
		if len(level) < 2 {
			return Means{}, &Error{"alone", g}
		}
		i, n := len(figures)+g, float64(len(level))
		mean, ss := meanAndSquares(ctx, level)
		m.Mean[i], m.N[i], m.Cov[i][i] = mean, n, ss/(n-1)/n
	}
	for i := range k {
		parallel.Look(ctx)
		for j := range k {
			a, b := m.Cov[i][i], m.Cov[j][j]
			m.PairDF[i][j] = (a + b) * (a + b) / (a*a/(m.N[i]-1) + b*b/(m.N[j]-1))
		}
	}
	return m, nil
}

func square(k int) [][]float64 {
	return lists.Made(k, func(i int) []float64 { return make([]float64, k) })
}

// Welch tests whether all levels share one mean without taking their spreads as equal
// (Welch 1951, Biometrika 38, equations 20 to 23). All is NaN where a level has no spread.
// Errors as Uneven.
func Welch(ctx context.Context, values [][]float64) (Overall, error) {
	m, err := Uneven(ctx, values)
	if err != nil {
		return Overall{}, err
	}
	k := float64(len(values))
	weight, mean := 0.0, 0.0
	for i := range m.Mean {
		w := 1 / m.Cov[i][i]
		weight += w
		mean += w * (m.Mean[i] - m.Mean[0])
	}
	mean = m.Mean[0] + mean/weight
	between, rest := 0.0, 0.0
	for i := range m.Mean {
		w := 1 / m.Cov[i][i]
		between += w * (m.Mean[i] - mean) * (m.Mean[i] - mean)
		rest += (1 - w/weight) * (1 - w/weight) / (m.N[i] - 1)
	}
	o := Overall{DF1: k - 1, DF2: (k*k - 1) / (3 * rest)}
	o.F = between / (k - 1) / (1 + 2*(k-2)/(k*k-1)*rest)
	o.P = dist.FTail(o.F, o.DF1, o.DF2)
	if math.IsNaN(o.F) {
		o.DF2 = math.NaN()
	}
	return o, nil
}

// BrownForsythe tests whether all levels have one spread: the one-way F test of the
// distances from each level's median (Brown & Forsythe 1974). Levels of one specimen tell
// nothing of spread and are left out. Errors as Groups.
func BrownForsythe(ctx context.Context, values [][]float64) (_ Overall, err error) {
	defer parallel.Catch(&err)
	var away [][]float64
	for _, level := range values {
		if len(level) < 2 {
			continue
		}
		mid := dist.Median(ctx, level)
		d := make([]float64, len(level))
		for i, v := range level {
			parallel.LookAt(ctx, i)
			d[i] = math.Abs(v - mid)
		}
		away = append(away, d)
	}
	return OneWay(ctx, away)
}
