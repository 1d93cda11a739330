package kernel

import (
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/linear"
)

// levelMeans are the means of a category's levels on the same footing, ready to compare,
// with the index of each level; ok is false where they cannot be estimated.
func (f *fitted) levelMeans(variable int) (m compare.Means, levels []int, ok bool) {
	v := f.model().Variables[variable]
	n := make([]float64, len(v.Levels))
	for _, c := range v.Codes {
		n[c]++
	}
	var weights [][]float64
	for l := range v.Levels {
		if n[l] == 0 {
			continue
		}
		w, ok := f.Weights(linear.Point{Levels: map[int]int{variable: l}})
		if !ok {
			return m, nil, false
		}
		e, ok := f.Combination(w)
		if !ok {
			return m, nil, false
		}
		weights = append(weights, w)
		levels = append(levels, l)
		m.Mean = append(m.Mean, e.Value)
		m.N = append(m.N, n[l])
	}
	m.Cov = f.Covariance(weights)
	m.DF = f.DF
	for i := range m.Cov {
		if math.IsNaN(m.Cov[i][i]) {
			return m, levels, false
		}
	}
	if f.way.blocks != nil {
		m.PairDF = f.pairDF(weights)
	}
	return m, levels, len(levels) > 1
}

// pairDF is the degrees of freedom of the difference of each two combinations.
func (f *fitted) pairDF(weights [][]float64) [][]float64 {
	out := make([][]float64, len(weights))
	for i := range out {
		out[i] = make([]float64, len(weights))
		for j := range i {
			d := slices.Clone(weights[i])
			for c, v := range weights[j] {
				d[c] -= v
			}
			e, _ := f.Combination(d)
			out[i][j], out[j][i] = e.DF, e.DF
		}
	}
	return out
}

// levelEstimates are the means of a category's levels on the same footing.
func (f *fitted) levelEstimates(variable int) []linear.Estimate {
	var out []linear.Estimate
	for _, l := range f.Matrix.Present[variable] {
		w, _ := f.Weights(linear.Point{Levels: map[int]int{variable: l}})
		e, _ := f.Combination(w)
		out = append(out, e)
	}
	return out
}
