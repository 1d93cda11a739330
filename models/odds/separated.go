package odds

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// mayBeSeparated asks by linear programming whether some combination of the columns parts the
// modes, at most with ties, so that the likelihood has no peak (Albert & Anderson 1984). With a
// row z for each specimen and each mode l it did not end in, z·θ being how much its own mode's
// linear value stands above that of l, there is no such θ exactly where some λ ≥ 1 has
// Σ λz = 0 (Stiemke 1915): a feasibility problem with as many equations as coefficients.
// Where the program fails on rounding it says so too: the climb has the last word.
func (m *model) mayBeSeparated() bool {
	rows := m.contrasts()
	size := m.Size()
	if len(rows) <= size { // as many rows as it takes to span, and none to spare
		return true
	}
	a := mat.NewDense(size, len(rows), nil)
	b := make([]float64, size)
	for j, z := range rows {
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
	cost := make([]float64, n)
	for i := range cost {
		cost[i] = 1
	}
	_, _, err := lp.Simplex(cost, a, b, 1e-10, nil)
	return err == nil || errors.Is(err, lp.ErrUnbounded)
}

// contrasts are the rows z, equal ones once, each column measured by its largest value.
func (m *model) contrasts() [][]float64 {
	d := len(m.Columns)
	scale := make([]float64, d)
	for c := range scale {
		scale[c] = m.largest(c)
	}
	seen := map[string]bool{}
	var out [][]float64
	for i, y := range m.Mode {
		for l := range m.Modes {
			if l == y {
				continue
			}
			z := make([]float64, m.Size())
			var id []byte
			for c, column := range m.Columns {
				x := column[i] / scale[c]
				if y > 0 {
					z[(y-1)*d+c] = x
				}
				if l > 0 {
					z[(l-1)*d+c] = -x
				}
			}
			for _, x := range z {
				bits := math.Float64bits(x + 0) // −0 is 0
				for shift := 0; shift < 64; shift += 8 {
					id = append(id, byte(bits>>shift))
				}
			}
			if !seen[string(id)] {
				seen[string(id)] = true
				out = append(out, z)
			}
		}
	}
	return out
}

// certain is the chance of another mode, of that and its own, under which a specimen counts as
// parted from it: a climb without a peak stops only past it.
const certain = 1e-7

// parts tells whether θ leaves some specimen without a chance of some other mode.
func (m *model) parts(theta []float64) bool {
	eta := make([]float64, m.Modes) // of mode 0 too: always zero
	for i, y := range m.Mode {
		m.linear(theta, i, eta[1:])
		for l := range m.Modes {
			if l != y && eta[l]-eta[y] < math.Log(certain) {
				return true
			}
		}
	}
	return false
}
