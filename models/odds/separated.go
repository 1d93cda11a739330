package odds

import (
	"context"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"breakbook/models/design"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// mayBeSeparated asks by linear programming whether some combination of the columns parts the
// modes, at most with ties, so that the likelihood has no peak (Albert & Anderson 1984). With a
// row z for each specimen and each mode l it did not end in, z·θ being how much its own mode's
// linear value stands above that of l, there is no such θ exactly where some λ ≥ 1 has
// Σ λz = 0 (Stiemke 1915): a feasibility problem with as many equations as coefficients.
// Where the program fails on rounding it says so too: the climb has the last word. Where
// some of the rows span all directions and have such a λ, all have: so a few, spread over all,
// are asked first. It is parallel.Stopped where ctx ends.
func (m *model) mayBeSeparated(ctx context.Context) bool {
	rows := m.contrasts(ctx)
	for few := fewRows * m.Size(); few < len(rows); few *= manyMore {
		some := lists.Made(few, func(i int) []float64 { return rows[i*len(rows)/few] })
		if spans(ctx, some) && !m.mayBeParted(ctx, some) {
			return false
		}
	}
	return m.mayBeParted(ctx, rows)
}

const (
	fewRows  = 50 // a coefficient, to ask first
	manyMore = 8  // times as many, while those have no λ
)

// spans tells whether rows leave no direction out.
func spans(ctx context.Context, rows [][]float64) bool {
	var span design.Span
	for _, z := range rows {
		if span.Add(ctx, z); len(span.Directions) == len(z) {
			return true
		}
	}
	return false
}

// mayBeParted is mayBeSeparated of these rows alone.
func (m *model) mayBeParted(ctx context.Context, rows [][]float64) bool {
	parallel.Look(ctx)
	size := m.Size()
	if len(rows) <= size { // as many rows as it takes to span, and none to spare
		return true
	}
	a := mat.NewDense(size, len(rows), nil)
	b := make([]float64, size)
	for j, z := range rows {
		parallel.LookAt(ctx, j)
		for i, x := range z {
			a.Set(i, j, x)
			b[i] -= x
		}
	}
	return !feasible(a, b)
}

// feasible tells whether a·μ = b has a solution μ ≥ 0.
func feasible(a *mat.Dense, b []float64) (is bool) {
	defer func() {
		if recover() != nil { // the library gives up on some ill-conditioned bases so
			is = false
		}
	}()
	_, n := a.Dims()
	cost := slices.Repeat([]float64{1}, n)
	_, _, err := lp.Simplex(cost, a, b, 1e-10, nil)
	return err == nil || errors.Is(err, lp.ErrUnbounded)
}

// contrasts are the rows z, equal ones once, each column measured by its largest value.
func (m *model) contrasts(ctx context.Context) [][]float64 {
	d := m.columns
	scale := lists.Made(d, func(c int) float64 { return m.largest(ctx, c) })
	seen := map[string]bool{}
	var out [][]float64
	for i, g := range m.patterns {
		parallel.LookAt(ctx, i)
		for y, n := range g.count {
			for l := range m.modes {
				if l == y || n == 0 {
					continue
				}
				z := make([]float64, m.Size())
				for c, x := range g.row {
					if y > 0 {
						z[(y-1)*d+c] = x / scale[c]
					}
					if l > 0 {
						z[(l-1)*d+c] = -x / scale[c]
					}
				}
				if id := string(bits(nil, z)); !seen[id] {
					seen[id] = true
					out = append(out, z)
				}
			}
		}
	}
	return out
}

// certain is the chance of another mode, of that and its own, under which a specimen counts as
// parted from it: a climb without a peak stops only past it.
const certain = 1e-7

// parts tells whether θ leaves some specimen without a chance of some other mode.
func (m *model) parts(ctx context.Context, theta []float64) bool {
	eta := make([]float64, m.modes) // of mode 0 too: always zero
	for i, g := range m.patterns {
		parallel.LookAt(ctx, i)
		m.linear(theta, g.row, eta[1:])
		for y, n := range g.count {
			for l := range m.modes {
				if l != y && n > 0 && eta[l]-eta[y] < math.Log(certain) {
					return true
				}
			}
		}
	}
	return false
}
