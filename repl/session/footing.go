package session

import (
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/mixed"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// FactorOfFit finds the levels of a category in an earlier fit.
func (k *Call) FactorOfFit(of phrase.LevelsOfFit, uneven bool) (*Fit, int, compare.Means, *Family, error) {
	f, err := k.FitNamed(of.Fit)
	if err != nil {
		return nil, 0, compare.Means{}, nil, err
	}
	if uneven {
		if f, err = f.unevenly(k.Context); err != nil {
			return nil, 0, compare.Means{}, nil, err
		}
	}
	ref := of.A
	variable := slices.Index(f.Columns(), ref.Column)
	if variable < 0 || !f.Model().Variables[variable].IsCategory() {
		return nil, 0, compare.Means{}, nil, &page.Problem{Code: "not-in-fit", At: ref.At,
			Message: ref.Column + " is not among the categories of this fit", Hint: "show results"}
	}
	m, present, ok := f.LevelMeans(variable)
	if p := f.aloneProblem(ref.At); !ok && p != nil {
		return nil, 0, compare.Means{}, nil, p
	}
	if !ok {
		p := &page.Problem{Code: "not-estimable", At: ref.At,
			Message: "the levels of " + ref.Column + " cannot be compared with the other factors held equal: " +
				"in these specimens they changed together with other terms of the fit",
			Hint: "fit without the terms that the fit left out"}
		if slices.ContainsFunc(f.Model().Terms, func(t design.Term) bool { return len(t.Factors) > 1 }) {
			p.Message = "the levels of " + ref.Column + " cannot be compared with the other factors held equal: " +
				"some combinations of levels have no specimen"
			p.Hint = "fit without together(…), or leave out the level that was never combined"
		}
		return nil, 0, compare.Means{}, nil, p
	}
	return f, variable, m, f.Family(variable, present), nil
}

// LevelMeans are the means of a category's levels with the other factors held equal, ready to compare,
// with the index of each level; ok is false where they cannot be estimated.
func (f *Fit) LevelMeans(variable int) (m compare.Means, levels []int, ok bool) {
	v := f.Model().Variables[variable]
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
	if f.Method.Blocks != nil {
		m.PairDF = f.pairDF(weights)
		if name, blocks := f.Between(variable); name != "" {
			m.Blocks = f.blocksOf(variable, levels, blocks)
		}
	}
	return m, levels, len(levels) > 1
}

// Between is the column of blocks that these variables lie between, each of its blocks being of one
// value of each, with the block of every specimen: of several the one with the fewest blocks. It is
// "" where they vary within blocks, or where blocks were found not to differ.
func (f *Fit) Between(variables ...int) (name string, blocks []int) {
	by, ok := f.Estimator.(*mixed.Fit)
	if !ok || len(variables) == 0 {
		return "", nil
	}
	for i, ref := range f.Method.Blocks {
		codes := by.Blocks[i].Codes
		if by.Components[i].SD > 0 && f.oneValue(variables, codes) &&
			(blocks == nil || slices.Max(codes) < slices.Max(blocks)) {
			name, blocks = ref.Column.Column, codes
		}
	}
	return name, blocks
}

// oneValue reports whether every block is of one value of each of the variables.
func (f *Fit) oneValue(variables, blocks []int) bool {
	first := map[int]int{} // the first specimen of each block
	for i, b := range blocks {
		at, met := first[b]
		if !met {
			first[b] = i
			continue
		}
		for _, v := range variables {
			if of := f.Model().Variables[v]; of.IsCategory() && of.Codes[i] != of.Codes[at] ||
				!of.IsCategory() && of.Numbers[i] != of.Numbers[at] {
				return false
			}
		}
	}
	return true
}

// blocksOf is how many blocks each level has.
func (f *Fit) blocksOf(variable int, levels, blocks []int) []float64 {
	out := make([]float64, len(levels))
	met := map[int]bool{}
	for i, b := range blocks {
		if !met[b] {
			met[b] = true
			out[slices.Index(levels, f.Model().Variables[variable].Codes[i])]++
		}
	}
	return out
}

// pairDF is the degrees of freedom of the difference of each two combinations.
func (f *Fit) pairDF(weights [][]float64) [][]float64 {
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

// LevelEstimates are the means of a category's levels with the other factors held equal.
func (f *Fit) LevelEstimates(variable int) []linear.Estimate {
	var out []linear.Estimate
	for _, l := range f.Matrix.Present[variable] {
		w, _ := f.Weights(linear.Point{Levels: map[int]int{variable: l}})
		e, _ := f.Combination(w)
		out = append(out, e)
	}
	return out
}
