package linear

import (
	"context"
	"math"

	"breakbook/models/exact"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

const (
	// dependentBelow is the share of its own centred length below which what is left of
	// a column counts as nothing.
	dependentBelow = 1e-11
	// constantBelow is the share of its length below which a column's centred length is
	// rounding: the column is a constant.
	constantBelow = 1e-13
	// sureBelow is the condition number up to which one factorisation from cross products
	// in double-double is good beyond float64: its relative error is about 1e-29·κ².
	sureBelow = 1e5
	// inCombination is the share of a column's length below which another column's part in
	// it, or a difference of weights, is rounding.
	inCombination = 1e-8
	// mostRounds is far more rounds than a matrix can need: each squares the digits gained.
	mostRounds = 6
)

// square is a square matrix by rows; the ones here are upper triangles.
type square [][]exact.DD

func newSquare(p int) square {
	cells := make([]exact.DD, p*p)
	return lists.Made(p, func(i int) []exact.DD { return cells[i*p : (i+1)*p] })
}

// factor is the orthogonal factorisation X = Q·R of a table's scaled columns, taken in
// their order, without Q. A column that depends on those before it gets no row in R.
type factor struct {
	*table
	dependent []bool
	length    []float64  // of each scaled column about its mean; of the first column, and through zero, its own
	r         square     // rows of dependent columns are zero
	inverse   square     // of r over the independent columns; columns of dependent ones are zero
	rotated   []exact.DD // Qᵀy
	rank      int
	kappa     float64      // bounds the condition number of the scaled columns, each at length one
	parts     [][]exact.DD // of a dependent column: the combination of scaled columns that it is; else nil
}

// factorise works out R by Cholesky factorisation of the cross products in double-double,
// and repeats it on X·R⁻¹ until that is well conditioned, so that what R loses to the
// columns' condition is won back (Yamamoto, Nakatsukasa, Yanagisawa and Fukaya 2015,
// ETNA 44, "CholeskyQR2"; doubled precision after Yamazaki, Tomov and Dongarra 2015,
// SIAM J. Sci. Comput. 37). baseline says that the first column is the constant.
func (t *table) factorise(ctx context.Context, baseline bool) *factor {
	p := len(t.hi)
	f := &factor{table: t}
	products := t.products(ctx, nil)
	f.measure(products, baseline)
	var base, back square // the table worked on is X·base, and back is base⁻¹
	for round := 1; ; round++ {
		part := f.cholesky(ctx, products, base)
		f.r = part
		if back != nil {
			f.r = part.times(back)
		}
		f.inverse = f.r.invert(ctx, f.dependent)
		condition := f.condition(ctx, part)
		if round == 1 {
			f.kappa = condition
		}
		if round == mostRounds || condition < sureBelow {
			f.nameDependent()
			return f
		}
		base = newSquare(p)
		for i := range base {
			copy(base[i], f.inverse[i])
			if f.dependent[i] {
				base[i][i] = exact.Of(1)
			}
		}
		back = base.invert(ctx, make([]bool, p))
		products = t.products(ctx, base)
	}
}

// measure notes the centred length of every column.
func (f *factor) measure(products square, baseline bool) {
	f.length = make([]float64, len(f.hi))
	for j := range f.length {
		about := products[j][j]
		if baseline && j > 0 {
			mean := products[0][j]
			about = about.Sub(mean.Mul(mean).Div(products[0][0]))
			if about.Hi <= constantBelow*constantBelow*products[j][j].Hi {
				about = exact.DD{}
			}
		}
		f.length[j] = math.Sqrt(about.Hi)
	}
}

// cholesky factorises cross products of X·base (base nil: X) in place of the columns'
// order, noting dependent columns, and leaves the rotated response in f.rotated.
func (f *factor) cholesky(ctx context.Context, products, base square) square {
	p := len(f.hi)
	r := newSquare(p)
	f.dependent, f.rotated, f.rank = make([]bool, p), make([]exact.DD, p), 0
	for j := range p {
		parallel.Look(ctx)
		remaining := products[j][j].Hi
		if base != nil { // measured in the column itself
			remaining /= base[j][j].Hi * base[j][j].Hi
		}
		if limit := dependentBelow * f.length[j]; !(remaining > limit*limit) || f.length[j] == 0 {
			f.dependent[j] = true
			continue
		}
		f.rank++
		pivot := products[j][j].Sqrt()
		for k := j; k < p; k++ {
			r[j][k] = products[j][k].Div(pivot)
		}
		f.rotated[j] = products[j][p].Div(pivot)
		for i := j + 1; i < p; i++ {
			line := products[i]
			for k := i; k < p; k++ {
				line[k] = line[k].Sub(r[j][i].Mul(r[j][k]))
			}
			line[p] = line[p].Sub(r[j][i].Mul(f.rotated[j]))
		}
	}
	return r
}

// condition is √rank times the Frobenius norm of the inverse of part with its columns
// scaled to length one: at least its condition number over √rank.
func (f *factor) condition(ctx context.Context, part square) float64 {
	inverse := part.invert(ctx, f.dependent)
	sum := 0.0
	for j := range part {
		length := 0.0
		for i := 0; i <= j; i++ {
			length += part[i][j].Hi * part[i][j].Hi
		}
		for k := j; k < len(part); k++ {
			sum += inverse[j][k].Hi * inverse[j][k].Hi * length
		}
	}
	return math.Sqrt(sum * float64(f.rank))
}

// times is the product of two upper triangles.
func (m square) times(b square) square {
	product := newSquare(len(m))
	for i := range m {
		for k := i; k < len(m); k++ {
			if m[i][k].Hi == 0 {
				continue
			}
			for j := k; j < len(m); j++ {
				product[i][j] = product[i][j].Add(m[i][k].Mul(b[k][j]))
			}
		}
	}
	return product
}

// invert is the inverse of an upper triangle over the columns not skipped; the rows and
// columns of those skipped are zero.
func (m square) invert(ctx context.Context, skip []bool) square {
	p := len(m)
	inverse := newSquare(p)
	for i := p - 1; i >= 0; i-- {
		parallel.Look(ctx)
		if skip[i] {
			continue
		}
		line := inverse[i]
		for k := i + 1; k < p; k++ {
			if skip[k] {
				continue
			}
			for j := k; j < p; j++ {
				line[j] = line[j].Sub(m[i][k].Mul(inverse[k][j]))
			}
		}
		for j := i + 1; j < p; j++ {
			line[j] = line[j].Div(m[i][i])
		}
		line[i] = exact.Of(1).Div(m[i][i])
	}
	return inverse
}

// solution is the coefficient of every scaled column, zero for a dependent one.
func (f *factor) solution() []exact.DD {
	return lists.Made(len(f.r), func(i int) exact.DD { return exact.Dot(f.inverse[i], f.rotated) })
}

// nameDependent works out which combination of independent columns a dependent one is;
// a part too small for its column to matter is rounding and taken as 0.
func (f *factor) nameDependent() {
	f.parts = make([][]exact.DD, len(f.r))
	for d, dependent := range f.dependent {
		if !dependent {
			continue
		}
		f.parts[d] = make([]exact.DD, len(f.r))
		for i := range d {
			for k := i; k < d; k++ {
				f.parts[d][i] = f.parts[d][i].Add(f.inverse[i][k].Mul(f.r[k][d]))
			}
			constant := f.length[d] == 0 && i > 0
			if constant || math.Abs(f.parts[d][i].Hi)*f.length[i] <= inCombination*f.length[d] {
				f.parts[d][i] = exact.DD{}
			}
		}
	}
}
