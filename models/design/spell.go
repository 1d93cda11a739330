package design

import (
	"context"
	"slices"

	"breakbook/models/exact"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Coding is how a category's levels become columns.
type Coding uint8

const (
	FromBaseline Coding = iota // a column for every level but the baseline: 1 on the level, else 0
	SumToZero                  // the same columns with −1 on the baseline level
)

// Spell turns a model of n specimens into its matrix. Category factors have one column
// for every present level but the first; a combined term has the products; a combination
// that no specimen has goes to Empty instead. ThroughZero there is no baseline column and
// the first term that is a plain category has a column for every level. With SumToZero a
// combination is left out only where its column would be all zeros. More columns than
// MostColumns are refused before one is made. Errors are *Error, or ctx's own.
func Spell(ctx context.Context, n int, model Model, coding Coding) (_ *Matrix, err error) {
	defer parallel.Catch(&err)
	if err := checkLengths(n, model); err != nil {
		return nil, err
	}
	m := &Matrix{Model: model}
	if err := m.summarise(ctx); err != nil {
		return nil, err
	}
	if err := m.checkTerms(); err != nil {
		return nil, err
	}
	whole := m.wholeCategory()
	if err := m.notTooWide(ctx, whole); err != nil {
		return nil, err
	}
	if !model.ThroughZero {
		m.Labels, m.Columns, m.Low = []Label{{Term: -1}}, [][]float64{constant(ctx, n, 1)}, [][]float64{nil}
	}
	terms := make([]spelling, len(model.Terms))
	err = parallel.All(ctx, len(terms), func(ctx context.Context, t int) (err error) {
		terms[t], err = m.spellTerm(ctx, t, n, coding, t == whole)
		return err
	})
	if err != nil {
		return nil, err
	}
	for _, s := range terms {
		m.Labels, m.Columns, m.Low = append(m.Labels, s.labels...), append(m.Columns, s.hi...), append(m.Low, s.lo...)
		m.Empty = append(m.Empty, s.empty...)
	}
	return m, nil
}

// spelling is the columns of one term, and its combinations that have none.
type spelling struct {
	labels, empty []Label
	hi, lo        [][]float64
}

// wholeCategory is the term that has a column for every level, or -1.
func (m *Matrix) wholeCategory() int {
	if m.Model.ThroughZero {
		for t, term := range m.Model.Terms {
			if len(term.Factors) == 1 && m.Model.Variables[term.Factors[0].Variable].IsCategory() {
				return t
			}
		}
	}
	return -1
}

// spellTerm makes the columns of one term, the levels of its last category running fastest.
func (m *Matrix) spellTerm(ctx context.Context, t, n int, coding Coding, whole bool) (s spelling, err error) {
	factors := m.Model.Terms[t].Factors
	hi, lo, err := m.numbers(ctx, t, n)
	if err != nil {
		return s, err
	}
	if !slices.ContainsFunc(factors, func(f Factor) bool { return m.Present[f.Variable] != nil }) {
		levels := slices.Repeat([]int{-1}, len(factors))
		s.add(Label{t, levels}, hi, lo)
		return s, nil
	}
	var occur map[int]bool // the combinations that do, where only those have a column
	if coding == FromBaseline || whole {
		occur = m.occurring(ctx, factors)
	}
	for _, levels := range lists.Combinations(m.choices(factors, whole)) {
		parallel.Look(ctx)
		if occur != nil && !occur[m.combined(factors, func(k int) int { return levels[k] })] {
			s.empty = append(s.empty, Label{t, levels})
			continue
		}
		signs, some := m.signs(ctx, factors, levels, n, coding, whole)
		label := Label{t, levels}
		if !some {
			s.empty = append(s.empty, label)
			continue
		}
		if lo == nil {
			s.add(label, signs, nil)
		} else {
			s.add(label, times(signs, hi), times(signs, lo))
		}
	}
	return s, nil
}

// numbers is the product of a term's number factors, high and low part; nil, nil for none.
func (m *Matrix) numbers(ctx context.Context, t, n int) (hi, lo []float64, err error) {
	for _, f := range m.Model.Terms[t].Factors {
		x := m.Model.Variables[f.Variable]
		if x.IsCategory() {
			continue
		}
		first := hi == nil
		if first {
			hi, lo = make([]float64, n), make([]float64, n)
		}
		if !m.Model.ThroughZero && !finite(f.raw(m.mean[f.Variable]).Hi) {
			return nil, nil, &Error{"not-a-number", t, f.Variable, m.undefined(f)}
		}
		at, plain := m.measured(f), f.Function == Identity && !m.Model.ThroughZero
		minus := m.mean[f.Variable].Neg()
		for i, value := range x.Numbers {
			parallel.LookAt(ctx, i)
			var z exact.DD
			if plain {
				z = minus.AddFloat(value)
			} else {
				z = at(exact.Of(value))
			}
			if !finite(z.Hi) && m.Model.Weight(i) != 0 {
				return nil, nil, &Error{"not-a-number", t, f.Variable, i}
			}
			if !first {
				z = z.Mul(exact.DD{Hi: hi[i], Lo: lo[i]})
			}
			hi[i], lo[i] = z.Hi, z.Lo
		}
	}
	return hi, lo, nil
}

// undefined is the first specimen a function does not exist for, or -1.
func (m *Matrix) undefined(f Factor) int {
	for i, x := range m.Model.Variables[f.Variable].Numbers {
		if m.Model.Weight(i) != 0 && !finite(f.raw(exact.Of(x)).Hi) {
			return i
		}
	}
	return -1
}

// signs is the product of the category factors' columns for one combination of levels
// (nil where the term has no category), and whether a specimen used has it.
func (m *Matrix) signs(ctx context.Context, factors []Factor, levels []int, n int, coding Coding,
	whole bool) (s []float64, some bool) {
	for k, f := range factors {
		present := m.Present[f.Variable]
		if present == nil {
			continue
		}
		if s == nil {
			s = constant(ctx, n, 1)
		}
		for i, code := range m.Model.Variables[f.Variable].Codes {
			parallel.LookAt(ctx, i)
			switch {
			case code == levels[k]:
			case coding == SumToZero && !whole && code == present[0]:
				s[i] = -s[i]
			default:
				s[i] = 0
			}
		}
	}
	if s == nil {
		return nil, true
	}
	for i, v := range s {
		if v != 0 && m.Model.Weight(i) != 0 {
			return s, true
		}
	}
	return s, false
}

func (s *spelling) add(l Label, hi, lo []float64) {
	s.labels, s.hi, s.lo = append(s.labels, l), append(s.hi, hi), append(s.lo, lo)
}

// times is signs·x elementwise; nil signs are all one.
func times(signs, x []float64) []float64 {
	if signs == nil {
		return x
	}
	product := make([]float64, len(x))
	for i, s := range signs {
		if s != 0 {
			product[i] = s * x[i]
		}
	}
	return product
}

func constant(ctx context.Context, n int, value float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		parallel.LookAt(ctx, i)
		x[i] = value
	}
	return x
}
