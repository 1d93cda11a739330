package linear

import (
	"context"
	"slices"

	"breakbook/models/exact"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// A fit's coordinates are those of an orthonormal basis Q = X·R⁻¹ of what its columns
// span (QᵀWQ = I): in them the least-squares estimates are uncorrelated, each with variance
// Sigma². A dependent column has coordinate 0. Other methods work in them, so that they
// keep the digits of the factorisation.

// Rank is the number of independent columns.
func (f *Fit) Rank() int { return f.factor.rank }

// Parameters is how many figures the fit has: the rank, the sd, and every place that was searched for.
func (f *Fit) Parameters() int { return f.factor.rank + 1 + f.Matrix.Model.Searched }

// Coordinates of a combination of coefficients, R⁻ᵀw: its variance is Sigma² times their
// sum of squares. The combination must be one that can be estimated.
func (f *Fit) Coordinates(w []float64) []float64 { return narrowed(f.turn(widen(w))) }

// Rows are the coordinates of every specimen, the rows of Q; nil for a specimen of weight 0.
// It looks at ctx.
func (f *Fit) Rows(ctx context.Context) [][]float64 { return f.factor.rows(ctx) }

func (f *factor) rows(ctx context.Context) [][]float64 {
	t, p := f.table, len(f.r)
	rows := make([][]float64, t.n)
	raw, made := newRow(p), newRow(p)
	for i := range rows {
		parallel.LookAt(ctx, i)
		if t.weight(i) == 0 {
			continue
		}
		t.gather(raw, i)
		made.times(raw, f.inverse)
		rows[i] = slices.Clone(made.hi[:p])
	}
	return rows
}

// Directions lists for every term, in coordinates, the independent combinations that its
// test is about: what its columns add to those of the terms it is adjusted for. Where
// estimates are not least squares', metric is an upper triangle U with UᵀU the inverse of
// their covariance in coordinates (nil: the identity); terms that contain the term are
// then left out in that metric. The combinations of a term are orthonormal in UᵀU.
// Errors as Anova.
func (f *Fit) Directions(ctx context.Context, a Adjustment, metric [][]float64) (_ [][][]float64, err error) {
	defer parallel.Catch(&err)
	matrix, factor, column := &f.Matrix, f.factor, f.factor.columnOfR
	if a == EachLast {
		if matrix, factor, err = f.sumToZero(ctx); err != nil {
			return nil, err
		}
		turn := f.turnFrom(ctx, factor)
		column = func(j int) []exact.DD { return turn.times(factor.columnOfR(j)) }
	}
	own := column
	if metric != nil {
		u := dense(lists.Mapped(metric, widen))
		own = func(j int) []exact.DD { return u.times(column(j)) }
	}
	out := make([][][]float64, len(matrix.Model.Terms))
	for t := range out {
		before, columns := split(matrix, a, t)
		for _, u := range factor.basis(ctx, own, before, columns) {
			out[t] = append(out[t], back(metric, narrowed(u)))
		}
	}
	return out, nil
}

// Overall is the combinations that are zero when nothing but the baseline is: one a
// coordinate.
func (f *Fit) Overall() [][]float64 {
	var out [][]float64
	for j := range f.factor.r {
		if f.factor.dependent[j] || j == 0 && !f.Matrix.Model.ThroughZero {
			continue
		}
		unit := make([]float64, len(f.factor.r))
		unit[j] = 1
		out = append(out, unit)
	}
	return out
}

// Value is a combination given in coordinates, the baseline taking no part in it.
func (f *Fit) Value(t []float64) float64 {
	var sum exact.DD
	for j, v := range t {
		sum = sum.Add(f.factor.rotated[j].MulFloat(v))
	}
	return sum.MulFloat(1 / f.factor.yScale).Float()
}

// turnFrom is QᵀWQ₂: what takes coordinates of another coding's factor to this fit's.
func (f *Fit) turnFrom(ctx context.Context, other *factor) dense {
	mine, theirs := f.factor.rows(ctx), other.rows(ctx)
	turn := lists.Made(len(f.factor.r), func(j int) []exact.DD { return make([]exact.DD, len(other.r)) })
	for i, q := range mine {
		w := f.factor.weight(i)
		for j, v := range q {
			for k, u := range theirs[i] {
				turn[j][k] = turn[j][k].AddFloat(w * v * u)
			}
		}
	}
	return turn
}

// dense is a matrix by rows.
type dense [][]exact.DD

func (m dense) times(v []exact.DD) []exact.DD {
	return lists.Mapped(m, func(row []exact.DD) exact.DD { return exact.Dot(row, v) })
}

func narrowed(v []exact.DD) []float64 {
	return lists.Mapped(v, exact.DD.Float)
}

// back is Uᵀu; u itself where U is nil.
func back(metric [][]float64, u []float64) []float64 {
	if metric == nil {
		return u
	}
	out := make([]float64, len(u))
	for i, row := range metric {
		for j, v := range row {
			out[j] += v * u[i]
		}
	}
	return out
}

// Weight of a specimen in the fit.
func (f *Fit) Weight(i int) float64 { return f.Matrix.Model.Weight(i) }
