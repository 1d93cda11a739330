package mixed

import (
	"math"
	"slices"

	"breakbook/models/lists"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// point is the profile likelihood at one set of variance ratios, Sigma² profiled out. With
// H₁ = W⁻¹ + θ₁Z₁Z₁', whose inverse is known, the inner columns become C = [Z, Q, e]'H₁⁻¹[Z, Q, e]
// and what is left to solve, Henderson's equations of the other blocks and the terms, has
// their size: K = (C + Θ⁻¹)⁻¹, Θ⁻¹ zero for the terms. With E = Z₁'H₁⁻¹[Z, Q, e],
// P = H₁⁻¹ − H₁⁻¹[Z, Q]K[Z, Q]'H₁⁻¹ and y'Py follow. Derivatives are those of Harville (1977),
// J. Amer. Statist. Assoc. 72, section 5.
type point struct {
	ratios   []float64     // by grouping
	deviance float64       // −2 log likelihood less what does not depend on the ratios
	rss      float64       // y'Py
	inner    *mat.SymDense // C
	outer    *mat.Dense    // E
	solved   *mat.SymDense // K
	shift    []float64     // predicted shifts of the other blocks, then of the coordinates

	residuals [][]float64   // Z_k'Py by grouping
	slopes    []float64     // of the deviance
	observed  *mat.SymDense // its second derivatives
	expected  *mat.SymDense // what is expected of them, never negative
	first     []float64     // tr(PG_a), G = ZZ'
	traces    *mat.SymDense // tr(PG_aPG_b)
	squares   *mat.SymDense // y'PG_aPG_bPy
}

// exactBelow is the share of the least-squares residual sum of squares below which what
// the blocks leave is rounding.
const exactBelow = 1e-13

// at works the likelihood out; derivatives too where asked for.
func (p *parts) at(ratios []float64, derivatives bool) (*point, error) {
	exact := &Error{"nothing-left-over", -1, -1}
	x := &point{ratios: ratios}
	logs := p.eliminate(x)
	var logDet float64
	var ok bool
	if x.solved, logDet, ok = p.solve(x, p.width); !ok {
		return nil, exact
	}
	toward := lists.Made(p.width, func(j int) float64 { return x.inner.At(j, p.width) })
	x.shift = times(x.solved, toward)
	x.rss = x.inner.At(p.width, p.width) - floats.Dot(toward, x.shift)
	if !(x.rss > exactBelow*p.rss) {
		return nil, exact
	}
	det := x.solved
	if p.full {
		if det, logDet, ok = p.solve(x, p.others); !ok {
			return nil, exact
		}
	}
	x.deviance = logs + logDet + p.freedom*math.Log(x.rss)
	if derivatives {
		p.differentiate(x, det)
	}
	return x, nil
}

// eliminate takes the first blocks out of the inner columns; it returns ln|I + θ₁Z₁'WZ₁|.
func (p *parts) eliminate(x *point) (logs float64) {
	theta := x.ratios[0]
	q, m := p.cross.Dims()
	x.outer = mat.NewDense(q, m, nil)
	weighted := mat.NewDense(q, m, nil)
	for j, d := range p.size {
		h := 1 / (1 + theta*d)
		logs += math.Log1p(theta * d)
		line, out, heavy := p.cross.RawRowView(j), x.outer.RawRowView(j), weighted.RawRowView(j)
		for c, v := range line {
			out[c] = h * v
			heavy[c] = math.Sqrt(theta*h) * v
		}
	}
	x.inner = mat.NewSymDense(m, nil)
	x.inner.SymOuterK(-1, weighted.T())
	x.inner.AddSym(x.inner, p.inner)
	return logs
}

// solve is (C + Θ⁻¹)⁻¹ of the first m inner columns and the log determinant of I + ΛCΛ, with
// Λ the root of the ratios and 1 for the terms.
func (p *parts) solve(x *point, m int) (*mat.SymDense, float64, bool) {
	if m == 0 {
		return nil, 0, true
	}
	root := slices.Repeat([]float64{1}, m)
	for k, from := range p.from {
		for j := from; j < p.to[k]; j++ {
			root[j] = math.Sqrt(x.ratios[k+1])
		}
	}
	a := mat.NewSymDense(m, nil)
	for j := range m {
		for l := range j + 1 {
			a.SetSym(j, l, root[j]*x.inner.At(j, l)*root[l])
		}
		if j < p.others {
			a.SetSym(j, j, 1+a.At(j, j))
		}
	}
	var c mat.Cholesky
	inverse := mat.NewSymDense(m, nil)
	if !c.Factorize(a) || c.InverseTo(inverse) != nil {
		return nil, 0, false
	}
	for j := range m {
		for l := range j + 1 {
			inverse.SetSym(j, l, root[j]*inverse.At(j, l)*root[l])
		}
	}
	return inverse, c.LogDet(), true
}

func times(m *mat.SymDense, v []float64) []float64 {
	out := mat.NewVecDense(len(v), nil)
	out.MulVec(m, mat.NewVecDense(len(v), v))
	return out.RawVector().Data
}
