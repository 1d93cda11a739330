package linear

import (
	"context"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/exact"
	"breakbook/models/parallel"
)

// addsUpWithin is the share of the total by which sums of squares may miss it in rounding.
const addsUpWithin = 1e-9

// Anova computes the analysis of variance of a fit. A source's sum of squares is the
// squared length of the rotated response along the directions the source adds to those
// of the terms it is adjusted for, never a difference of two sums; its degrees of freedom
// are the number of these directions. Marginal adjustment after Nelder (1977), J. R.
// Statist. Soc. A 140; EachLast is Yates's (1934) weighted squares of means. Through zero
// everything is about zero. Errors are *Error or ctx's own.
func (f *Fit) Anova(ctx context.Context, a Adjustment) (_ *Anova, err error) {
	defer parallel.Catch(&err)
	matrix, factor := &f.Matrix, f.factor
	if a == EachLast {
		if matrix, factor, err = f.sumToZero(ctx); err != nil {
			return nil, err
		}
	}
	total := f.N - 1
	if matrix.Model.ThroughZero {
		total++
	}
	out := &Anova{ResidualDF: f.DF, ResidualSS: f.RSS, ResidualMS: f.rss.Div(exact.Of(f.DF)).Float(),
		TotalDF: float64(total), TotalSS: f.TSS}
	sum, whole := f.rss, true
	for t := range matrix.Model.Terms {
		before, own := split(matrix, a, t)
		basis := factor.basis(ctx, factor.columnOfR, before, own)
		var ss exact.DD
		for _, u := range basis {
			along := exact.Dot(u, factor.rotated)
			ss = ss.Add(along.Mul(along))
		}
		df := len(basis)
		ss = ss.MulFloat(1 / (factor.yScale * factor.yScale))
		sum, whole = sum.Add(ss), whole && df > 0
		out.Sources = append(out.Sources, f.source(t, ss, df, len(own)-df))
	}
	out.AddsUp = whole && math.Abs(sum.Sub(f.tss).Hi) <= addsUpWithin*f.TSS
	return out, nil
}

// source makes the row of a term; a sum of squares that is rounding is 0.
func (f *Fit) source(t int, ss exact.DD, df, lost int) Source {
	nan := math.NaN()
	if df == 0 {
		return Source{t, nan, nan, nan, nan, nan, nan, nan, true, lost}
	}
	if ss.Hi <= f.rounding {
		ss = exact.DD{}
	}
	ms := ss.Div(exact.Of(float64(df)))
	ratio := ms.Div(f.rss.Div(exact.Of(f.DF))).Float()
	return Source{
		Term: t, DF: float64(df), SS: ss.Float(), MS: ms.Float(), F: ratio,
		P: dist.FTail(ratio, float64(df), f.DF), Against: f.DF, Share: ss.Div(f.tss).Float(), Lost: lost,
	}
}

// split lists the columns a term is adjusted for and its own.
func split(m *design.Matrix, a Adjustment, t int) (before, own []int) {
	terms := m.Model.Terms
	for j, label := range m.Labels {
		switch s := label.Term; {
		case s == t:
			own = append(own, j)
		case s < 0,
			a == Sequential && s < t,
			a == Marginal && !design.Contains(terms[s], terms[t]),
			a == EachLast:
			before = append(before, j)
		}
	}
	return before, own
}

// columnOfR is column j of R, zero below its diagonal.
func (f *factor) columnOfR(j int) []exact.DD {
	v := make([]exact.DD, len(f.r))
	for i := 0; i <= j; i++ {
		v[i] = f.r[i][j]
	}
	return v
}

// basis is the orthonormal directions that the columns own add to the columns before:
// orthogonalisation in double-double, each twice (Giraud et al. 2005, Numer. Math. 101).
func (f *factor) basis(ctx context.Context, column func(int) []exact.DD, before, own []int) [][]exact.DD {
	var basis [][]exact.DD
	others := 0
	for k, j := range append(slices.Clone(before), own...) {
		parallel.Look(ctx)
		v := column(j)
		for range 2 {
			for _, u := range basis {
				along := exact.Dot(u, v)
				for i := range v {
					v[i] = v[i].Sub(u[i].Mul(along))
				}
			}
		}
		length := exact.Dot(v, v).Sqrt()
		if !(length.Hi > dependentBelow*f.length[j]) || f.length[j] == 0 {
			continue
		}
		for i := range v {
			v[i] = v[i].Div(length)
		}
		basis = append(basis, v)
		if k < len(before) {
			others++
		}
	}
	return basis[others:]
}

// sumToZero is the fit's model with its levels coded to sum to zero. Both codings span
// the same space only where what is left of a combined term without one of its
// categories is a term too.
func (f *Fit) sumToZero(ctx context.Context) (*design.Matrix, *factor, error) {
	m := f.Matrix.Model
	for t, term := range m.Terms {
		for k, part := range term.Factors {
			if len(term.Factors) == 1 || !m.Variables[part.Variable].IsCategory() {
				continue
			}
			rest := design.Term{Factors: slices.Delete(slices.Clone(term.Factors), k, k+1)}
			same := func(o design.Term) bool { return len(o.Factors) == len(rest.Factors) && covers(o, rest) }
			if !slices.ContainsFunc(m.Terms, same) {
				e := because("parts-missing", f.N, len(f.Matrix.Labels))
				e.Term = t
				return nil, nil, e
			}
		}
	}
	matrix, err := design.Spell(ctx, len(f.Response), m, design.SumToZero)
	if err != nil {
		return nil, nil, Taken(err)
	}
	old := f.factor.table
	table := newTable(ctx, matrix.Columns, matrix.Low, old.yHi, old.yLo, m.Weights)
	return matrix, table.factorise(ctx, !m.ThroughZero), nil
}

// covers reports whether every factor of b is one of a's.
func covers(a, b design.Term) bool {
	return !slices.ContainsFunc(b.Factors, func(f design.Factor) bool { return !slices.Contains(a.Factors, f) })
}
