package mixed

import (
	"math"

	"breakbook/models/lists"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// differentiate fills the derivatives. det is K of the determinant: that of the likelihood,
// or without the terms for the full one.
func (p *parts) differentiate(x *point, det *mat.SymDense) {
	k := len(p.groups)
	first := p.traces(x, det)
	x.first = first
	x.residuals = p.blockResiduals(x)
	x.squares = p.quadratics(x)
	x.slopes = make([]float64, k)
	own := make([]float64, k)
	for a, residuals := range x.residuals {
		own[a] = floats.Dot(residuals, residuals)
		x.slopes[a] = first[a] - p.freedom*own[a]/x.rss
	}
	x.observed, x.expected = mat.NewSymDense(k, nil), mat.NewSymDense(k, nil)
	for a := range k {
		for b := range a + 1 {
			trace := x.traces.At(a, b)
			x.observed.SetSym(a, b, p.freedom*(2*x.squares.At(a, b)/x.rss-own[a]*own[b]/(x.rss*x.rss))-trace)
			x.expected.SetSym(a, b, trace-first[a]*first[b]/p.freedom)
		}
	}
}

// meeting is J = (I − KC) over the other blocks' columns, so that Z₁'PZ = E·J and Z'PZ = C·J.
func (p *parts) meeting(x *point, k *mat.SymDense) *mat.Dense {
	m := k.SymmetricDim()
	c := x.inner.SliceSym(0, m).(*mat.SymDense)
	var kc mat.Dense
	kc.Mul(k, c)
	j := mat.NewDense(m, p.others, nil)
	for a := range m {
		for b := range p.others {
			j.Set(a, b, -kc.At(a, b))
		}
	}
	for b := range p.others {
		j.Set(b, b, 1+j.At(b, b))
	}
	return j
}

// traces returns tr(PG_a) and fills tr(PG_aPG_b), P being that of k. Z₁'PZ₁ is a diagonal
// less E·K·E', of which no more than the size of K is ever formed.
func (p *parts) traces(x *point, k *mat.SymDense) (first []float64) {
	x.traces = mat.NewSymDense(len(p.groups), nil)
	first = make([]float64, len(p.groups))
	theta := x.ratios[0]
	diagonal := make([]float64, len(p.size))
	for j, d := range p.size {
		diagonal[j] = d / (1 + theta*d)
		first[0] += diagonal[j]
	}
	second := floats.Dot(diagonal, diagonal)
	if k == nil {
		x.traces.SetSym(0, 0, second)
		return first
	}
	m := k.SymmetricDim()
	e := x.outer.Slice(0, len(p.size), 0, m).(*mat.Dense)
	var ek, ks, ksks mat.Dense
	ek.Mul(e, k)
	for j := range p.size {
		g := floats.Dot(ek.RawRowView(j), e.RawRowView(j))
		first[0] -= g
		second -= 2 * diagonal[j] * g
	}
	s := mat.NewSymDense(m, nil)
	s.SymOuterK(1, e.T())
	ks.Mul(k, s)
	ksks.Mul(&ks, &ks)
	x.traces.SetSym(0, 0, second+mat.Trace(&ksks))
	if p.others == 0 {
		return first
	}
	j := p.meeting(x, k)
	var sj, cj mat.Dense
	sj.Mul(s, j)
	cj.Mul(x.inner.SliceSym(0, m), j)
	for a := range p.from {
		for l := p.from[a]; l < p.to[a]; l++ {
			first[a+1] += cj.At(l, l)
			along := 0.0
			for i := range m {
				along += j.At(i, l) * sj.At(i, l)
			}
			x.traces.SetSym(0, a+1, x.traces.At(0, a+1)+along)
			for b := range a + 1 {
				sum := 0.0
				for i := p.from[b]; i < p.to[b]; i++ {
					sum += cj.At(i, l) * cj.At(i, l)
				}
				x.traces.SetSym(a+1, b+1, x.traces.At(a+1, b+1)+sum)
			}
		}
	}
	return first
}

// blockResiduals is Z_k'Py by grouping.
func (p *parts) blockResiduals(x *point) [][]float64 {
	out := make([][]float64, len(p.groups))
	out[0] = make([]float64, len(p.size))
	for j := range out[0] {
		line := x.outer.RawRowView(j)
		out[0][j] = line[p.width] - floats.Dot(x.shift, line[:p.width])
	}
	for k, from := range p.from {
		for j := from; j < p.to[k]; j++ {
			sum := x.inner.At(j, p.width)
			for l, v := range x.shift {
				sum -= x.inner.At(j, l) * v
			}
			out[k+1] = append(out[k+1], sum)
		}
	}
	return out
}

// quadratics are y'PG_aPG_bPy.
func (p *parts) quadratics(x *point) *mat.SymDense {
	out := mat.NewSymDense(len(p.groups), nil)
	toward := make([]float64, p.width) // E'Z₁'Py
	sum := 0.0
	for j, s := range x.residuals[0] {
		line := x.outer.RawRowView(j)
		for c := range toward {
			toward[c] += s * line[c]
		}
		sum += s * s * p.size[j] / (1 + x.ratios[0]*p.size[j])
	}
	out.SetSym(0, 0, sum-floats.Dot(toward, times(x.solved, toward)))
	if p.others == 0 {
		return out
	}
	j := p.meeting(x, x.solved)
	var cj mat.Dense
	cj.Mul(x.inner.SliceSym(0, p.width), j)
	for a, residuals := range x.residuals[1:] {
		for l, s := range residuals {
			column := p.from[a] + l
			along := 0.0
			for i, v := range toward {
				along += v * j.At(i, column)
			}
			out.SetSym(0, a+1, out.At(0, a+1)+along*s)
			for b := range a + 1 {
				for i, r := range x.residuals[b+1] {
					out.SetSym(a+1, b+1, out.At(a+1, b+1)+s*r*cj.At(p.from[b]+i, column))
				}
			}
		}
	}
	return out
}

// information is the inverse of the observed information about Sigma² and the ratios at
// the largest likelihood: their asymptotic covariance.
func (p *parts) information(x *point) ([][]float64, error) {
	k := len(p.groups)
	variance := x.rss / p.freedom
	info := mat.NewSymDense(k+1, nil)
	info.SetSym(0, 0, p.freedom/(2*variance*variance))
	for a := range k {
		info.SetSym(0, a+1, floats.Dot(x.residuals[a], x.residuals[a])/(2*variance*variance))
		for b := range a + 1 {
			info.SetSym(a+1, b+1, x.squares.At(a, b)/variance-x.traces.At(a, b)/2)
		}
	}
	return inverted(info)
}

// inverted is the inverse of an information matrix, its rows brought to one size first.
func inverted(info *mat.SymDense) ([][]float64, error) {
	k := info.SymmetricDim()
	scale := lists.Made(k, func(a int) float64 { return math.Sqrt(info.At(a, a)) })
	for a := range k {
		for b := range a + 1 {
			info.SetSym(a, b, info.At(a, b)/(scale[a]*scale[b]))
		}
	}
	var c mat.Cholesky
	inverse := mat.NewSymDense(k, nil)
	if !c.Factorize(info) || c.InverseTo(inverse) != nil {
		return nil, &Error{"blocks-alike", -1, -1}
	}
	out := make([][]float64, k)
	for a := range out {
		for b := range k {
			out[a] = append(out[a], inverse.At(a, b)/(scale[a]*scale[b]))
		}
	}
	return out, nil
}
