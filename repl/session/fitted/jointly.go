package fitted

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/repl/session"
)

// Jointly is the F test that several combinations of coefficients are all zero, of which those that
// follow from the others are left out (the general linear hypothesis: Searle 1971, from memory), by
// the fewest degrees of freedom that one of them has. ok is false where it cannot be made.
func (f *Fit) Jointly(ctx context.Context, contrasts [][]float64) (t compare.Overall, ok bool) {
	var span design.Span
	var weights [][]float64
	var values []float64
	t.DF2 = math.Inf(1)
	for _, w := range contrasts {
		if _, added := span.Add(ctx, w); !added {
			continue
		}
		e, ok := f.Combination(ctx, w)
		if !ok {
			return t, false
		}
		weights, values, t.DF2 = append(weights, w), append(values, e.Value), min(t.DF2, e.DF)
	}
	q := len(weights)
	if q == 0 {
		return t, false
	}
	cov := mat.NewSymDense(q, nil)
	for i, row := range f.Covariance(weights) {
		for j := range i + 1 {
			cov.SetSym(i, j, row[j])
		}
	}
	var c mat.Cholesky
	var solved mat.VecDense
	d := mat.NewVecDense(q, values)
	if !c.Factorize(cov) || c.SolveVecTo(&solved, d) != nil {
		return t, false
	}
	t.DF1 = float64(q)
	t.F = mat.Dot(d, &solved) / t.DF1
	t.P = dist.FTail(t.F, t.DF1, t.DF2)
	return t, true
}

// TogetherOf is the probability of all terms that hold a number together, that of a place found over all places and
// adjusted for the two where there are other terms (Bonferroni); NaN where it cannot be tested.
func (f *Fit) TogetherOf(ctx context.Context, variable int) float64 {
	found := f.Change != nil && f.Change.Variable == variable
	var of [][]float64
	for j, c := range f.Coefficients {
		if c.Label.Term < 0 || c.Dependent || found && c.Label.Term == f.Change.Term ||
			!holds(f.Model().Terms[c.Label.Term], map[int]float64{variable: 0}) {
			continue
		}
		w := make([]float64, len(f.Coefficients))
		w[j] = 1
		of = append(of, w)
	}
	t, ok := f.Jointly(ctx, of)
	switch {
	case found && ok:
		return min(1, 2*min(t.P, f.Change.P))
	case found:
		return f.Change.P
	case ok:
		return t.P
	}
	return math.NaN()
}

// Contrasts are the differences of each setting's levels from its first.
func (l *Levels) Contrasts() [][]float64 {
	var out [][]float64
	first := 0
	for i, one := range l.Levels {
		if one.Within != l.Levels[first].Within {
			first = i
		}
		if i != first {
			w := slices.Clone(one.Weights)
			floats.Sub(w, l.Levels[first].Weights)
			out = append(out, w)
		}
	}
	return out
}

// TestFactor is the test that a factor does nothing: within no setting of those it is combined with, and
// by none of the terms that are its own, as a bend is. ok is false where one term tells it all, or where it
// cannot be tested.
func TestFactor(k *session.Call, f *Fit, variable int) (t compare.Overall, ok bool, err error) {
	partners, err := PartnersOf(k, f, variable, k.Confidence())
	if err != nil {
		return t, false, err
	}
	contrasts := f.own(variable)
	if len(partners.Settings) == 0 && len(contrasts) == 0 {
		return t, false, nil
	}
	v := f.Model().Variables[variable]
	if v.IsCategory() {
		l, ok := f.LevelsOf(k.Context, variable, partners)
		if !ok {
			return t, false, nil
		}
		t, ok = f.Jointly(k.Context, l.Contrasts())
		return t, ok, nil
	}
	lo, hi := session.MinMax(v.Numbers)
	for _, w := range partners.Settings {
		up, can := f.Weights(w.At(linear.Point{Numbers: map[int]float64{variable: hi}}))
		down, also := f.Weights(w.At(linear.Point{Numbers: map[int]float64{variable: lo}}))
		if can && also {
			floats.Sub(up, down)
			contrasts = append(contrasts, up)
		}
	}
	t, ok = f.Jointly(k.Context, contrasts)
	return t, ok, nil
}

// own are the coefficients of the terms that are of a variable alone, each as a combination, where there
// are several such terms: the straight part of a number and its bend. None where there is one term.
func (f *Fit) own(variable int) [][]float64 {
	m := f.Model()
	terms := 0
	for _, t := range m.Terms {
		if len(t.Factors) == 1 && t.Factors[0].Variable == variable {
			terms++
		}
	}
	if terms < 2 {
		return nil
	}
	var out [][]float64
	for j, c := range f.Coefficients {
		if c.Label.Term < 0 || c.Dependent {
			continue
		}
		if t := m.Terms[c.Label.Term]; len(t.Factors) == 1 && t.Factors[0].Variable == variable {
			w := make([]float64, len(f.Coefficients))
			w[j] = 1
			out = append(out, w)
		}
	}
	return out
}
