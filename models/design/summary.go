package design

import (
	"context"
	"math"

	"breakbook/models/exact"
	"breakbook/models/parallel"
)

// checkLengths finds variables and weights that do not have one value a specimen.
func checkLengths(n int, model Model) error {
	for v, x := range model.Variables {
		if max(len(x.Numbers), len(x.Codes)) != n {
			return &Error{"uneven-lengths", -1, v, -1}
		}
	}
	if model.Weights != nil && len(model.Weights) != n {
		return &Error{"uneven-lengths", -1, -1, -1}
	}
	for i, w := range model.Weights {
		if !finite(w) || w < 0 {
			return &Error{"bad-weight", -1, -1, i}
		}
	}
	return nil
}

// summarise fills the mean of every number variable and the present levels of every category.
func (m *Matrix) summarise(ctx context.Context) error {
	m.Centre = constant(ctx, len(m.Model.Variables), math.NaN())
	m.mean = make([]exact.DD, len(m.Model.Variables))
	m.Present = make([][]int, len(m.Model.Variables))
	return parallel.All(ctx, len(m.Model.Variables), func(ctx context.Context, v int) (err error) {
		if m.Model.Variables[v].IsCategory() {
			m.Present[v], err = m.presentLevels(ctx, v)
		} else {
			m.mean[v], err = m.weightedMean(ctx, v)
			m.Centre[v] = m.mean[v].Float()
		}
		return err
	})
}

func (m *Matrix) presentLevels(ctx context.Context, v int) ([]int, error) {
	x := m.Model.Variables[v]
	seen := make([]bool, len(x.Levels))
	for i, code := range x.Codes {
		parallel.LookAt(ctx, i)
		if m.Model.Weight(i) == 0 {
			continue
		}
		if code < 0 || code >= len(seen) {
			return nil, &Error{"unknown-level", -1, v, i}
		}
		seen[code] = true
	}
	present := []int{}
	for level, yes := range seen {
		if yes {
			present = append(present, level)
		}
	}
	return present, nil
}

// weightedMean carries the rounding errors of products and sums along (Ogita, Rump and
// Oishi 2005, algorithm 5.3).
func (m *Matrix) weightedMean(ctx context.Context, v int) (exact.DD, error) {
	var sum, low, weights, lowWeights float64
	for i, x := range m.Model.Variables[v].Numbers {
		parallel.LookAt(ctx, i)
		w := m.Model.Weight(i)
		if w == 0 {
			continue
		}
		if !finite(x) {
			return exact.DD{}, &Error{"not-a-number", -1, v, i}
		}
		p, e := exact.TwoProd(w, x)
		s, f := exact.TwoSum(sum, p)
		sum, low = s, low+(e+f)
		s, f = exact.TwoSum(weights, w)
		weights, lowWeights = s, lowWeights+f
	}
	sum, low = exact.TwoSum(sum, low)
	weights, lowWeights = exact.TwoSum(weights, lowWeights)
	return exact.DD{Hi: sum, Lo: low}.Div(exact.DD{Hi: weights, Lo: lowWeights}), nil
}

// checkTerms finds categories with one level and number columns with one value.
func (m *Matrix) checkTerms() error {
	for t, term := range m.Model.Terms {
		for _, f := range term.Factors {
			x := m.Model.Variables[f.Variable]
			switch {
			case f.Function.IsChange() && !f.Placed:
				return &Error{"no-place", t, f.Variable, -1}
			case x.IsCategory() && len(m.Present[f.Variable]) < 2:
				return &Error{"one-level", t, f.Variable, -1}
			case !x.IsCategory() && !m.Model.ThroughZero && !m.varies(f.Variable):
				return &Error{"nothing-varies", t, f.Variable, -1}
			}
		}
	}
	return nil
}

func (m *Matrix) varies(v int) bool {
	first, any := 0.0, false
	for i, x := range m.Model.Variables[v].Numbers {
		switch {
		case m.Model.Weight(i) == 0:
		case !any:
			first, any = x, true
		case x != first:
			return true
		}
	}
	return false
}
