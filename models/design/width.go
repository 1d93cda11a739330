package design

import (
	"context"

	"breakbook/models/parallel"
)

const (
	// MostColumns bounds the memory and time of a fit; a category with more levels is a
	// list of names, no factor.
	MostColumns = 1500
	// mostCombined bounds the combinations of levels that a term is looked through for.
	mostCombined = 250_000
)

// notTooWide finds, before a column is made, a model with more columns than MostColumns: the
// levels of categories that occur, and their combinations that do. It is an *Error with code
// "too-many-columns", of the term with which they become too many. It is parallel.Stopped
// where ctx ends.
func (m *Matrix) notTooWide(ctx context.Context, whole int) error {
	columns := 1
	if m.Model.ThroughZero {
		columns = 0
	}
	for t, term := range m.Model.Terms {
		product := 1
		for _, c := range m.choices(term.Factors, t == whole) {
			if product *= len(c); product > mostCombined {
				return &Error{"too-many-columns", t, -1, -1}
			}
		}
		if columns+product > MostColumns && len(term.Factors) > 1 { // of one factor, all occur
			product = len(m.occurring(ctx, term.Factors))
		}
		if columns += product; columns > MostColumns {
			return &Error{"too-many-columns", t, -1, -1}
		}
	}
	return nil
}

// choices are the levels of each factor that have a column of their own; −1 for a number.
func (m *Matrix) choices(factors []Factor, whole bool) [][]int {
	choices := make([][]int, len(factors))
	for k, f := range factors {
		switch present := m.Present[f.Variable]; {
		case present == nil:
			choices[k] = []int{-1}
		case whole:
			choices[k] = present
		default:
			choices[k] = present[1:]
		}
	}
	return choices
}

// combined is a number for one level of each category of a term.
func (m *Matrix) combined(factors []Factor, level func(k int) int) int {
	id := 0
	for k, f := range factors {
		if m.Present[f.Variable] != nil {
			id = id*len(m.Model.Variables[f.Variable].Levels) + level(k)
		}
	}
	return id
}

// occurring are the combinations of levels other than the baselines (in a term of one factor the
// baseline too) that some specimen used has. It is parallel.Stopped where ctx ends.
func (m *Matrix) occurring(ctx context.Context, factors []Factor) map[int]bool {
	found := map[int]bool{}
	v := m.Model.Variables[0]
specimens:
	for i := range max(len(v.Numbers), len(v.Codes)) {
		parallel.LookAt(ctx, i)
		if m.Model.Weight(i) == 0 {
			continue
		}
		for _, f := range factors {
			if present := m.Present[f.Variable]; present != nil && len(factors) > 1 &&
				m.Model.Variables[f.Variable].Codes[i] == present[0] {
				continue specimens
			}
		}
		found[m.combined(factors, func(k int) int { return m.Model.Variables[factors[k].Variable].Codes[i] })] = true
	}
	return found
}
