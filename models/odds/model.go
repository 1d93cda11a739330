package odds

import (
	"context"
	"encoding/binary"
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/likelihood"
	"breakbook/models/parallel"
)

// model is the log likelihood of the modes (multinomial logit; with two modes the logistic
// model), θ holding the coefficients of mode 1, then of mode 2, …; mode 0 is the one the others
// are compared with. Penalised, half the log determinant of the information is added (Firth 1993).
type model struct {
	modes, columns int
	patterns       []pattern
	penalised      bool
	peaked         bool // the peak is known: along its profile the likelihood's own curvature will do
}

func newModel(ctx context.Context, s Sample) *model {
	return &model{modes: s.Modes, columns: len(s.Columns), patterns: patterns(ctx, s)}
}

// Size is the number of coefficients of all modes.
func (m *model) Size() int { return (m.modes - 1) * m.columns }

// At is the log likelihood with its derivatives. The curvature of the penalty is taken by
// central differences of its exact gradient; where the sum is no curvature of a peak, that of
// the likelihood alone leads the way.
func (m *model) At(ctx context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	value, p := m.likelihood(ctx, theta, gradient, curvature)
	if !m.penalised {
		return value
	}
	half, slope, ok := m.penalty(ctx, curvature, p)
	if !ok {
		return math.Inf(-1)
	}
	for j, s := range slope {
		gradient[j] += s
	}
	if !m.peaked {
		m.bend(ctx, theta, curvature)
	}
	return value + half
}

// bend takes the penalty's part off the curvature, by differences of its slope; the curvature stays as it is where
// these cannot be had or leave no peak.
func (m *model) bend(ctx context.Context, theta []float64, curvature *mat.SymDense) {
	bent := mat.NewSymDense(m.Size(), nil)
	bent.CopySym(curvature)
	moved := append([]float64(nil), theta...)
	for j := range theta {
		h := 1e-5 / m.largest(ctx, j%m.columns)
		moved[j] = theta[j] + h
		_, up, ok1 := m.penaltyAt(ctx, moved)
		moved[j] = theta[j] - h
		_, down, ok2 := m.penaltyAt(ctx, moved)
		moved[j] = theta[j]
		if !ok1 || !ok2 {
			return
		}
		for i := range j + 1 {
			bent.SetSym(i, j, bent.At(i, j)-(up[i]-down[i])/(2*h))
		}
	}
	if _, ok := likelihood.Factorise(bent); ok {
		curvature.CopySym(bent)
	}
}

// largest is the largest value of a column, its sign left out.
func (m *model) largest(ctx context.Context, column int) float64 {
	most := 0.0
	for i, p := range m.patterns {
		parallel.LookAt(ctx, i)
		most = math.Max(most, math.Abs(p.row[column]))
	}
	return most
}

// chances fills p with the chances of modes 1, 2, … for the linear values eta, and gives the
// log of the sum that norms them.
func chances(eta, p []float64) (norm float64) {
	top := 0.0
	for _, e := range eta {
		top = math.Max(top, e)
	}
	sum := exp(-top)
	for a, e := range eta {
		p[a] = exp(e - top)
		sum += p[a]
	}
	for a := range p {
		p[a] /= sum
	}
	return top + math.Log(sum)
}

// exp is e^x, at once where x is 0: of the largest linear value.
func exp(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Exp(x)
}

// linear fills eta with the linear values of a row.
func (m *model) linear(theta, row, eta []float64) {
	for a := range eta {
		eta[a] = 0
		for c, x := range row {
			eta[a] += theta[a*m.columns+c] * x
		}
	}
}

// likelihood is the log likelihood, and the chances of the patterns one after another; gradient and curvature are
// added to.
func (m *model) likelihood(ctx context.Context, theta, gradient []float64, curvature *mat.SymDense) (
	sum float64, all []float64) {
	d, others := m.columns, m.modes-1
	eta := make([]float64, others)
	all = make([]float64, len(m.patterns)*others)
	for i, g := range m.patterns {
		parallel.LookAt(ctx, i)
		m.linear(theta, g.row, eta)
		p := all[i*others : (i+1)*others]
		sum -= g.n * chances(eta, p)
		for a := range others {
			sum += g.count[a+1] * eta[a]
			miss := g.count[a+1] - g.n*p[a]
			for c, x := range g.row {
				gradient[a*d+c] += miss * x
			}
			for b := a; b < others; b++ {
				w := -p[a] * p[b]
				if a == b {
					w = p[a] * (1 - p[a])
				}
				m.addOuter(curvature, a, b, g.row, g.n*w)
			}
		}
	}
	return sum, all
}

// addOuter adds w times the outer product of a row to the block of two modes.
func (m *model) addOuter(to *mat.SymDense, a, b int, row []float64, w float64) {
	d, raw := m.columns, to.RawSymmetric() // its upper half
	for c, x := range row {
		if x == 0 {
			continue
		}
		first := 0
		if a == b {
			first = c
		}
		at := (a*d+c)*raw.Stride + b*d
		line := raw.Data[at : at+d]
		for e := first; e < d; e++ {
			line[e] += w * x * row[e]
		}
	}
}

// worstCondition is the condition number of the information beyond which there is no telling its inverse.
const worstCondition = 1e16

// penaltyAt is the penalty at any coefficients.
func (m *model) penaltyAt(ctx context.Context, theta []float64) (half float64, slope []float64, ok bool) {
	information := mat.NewSymDense(m.Size(), nil)
	_, p := m.likelihood(ctx, theta, make([]float64, m.Size()), information)
	return m.penalty(ctx, information, p)
}

// penalty is half the log determinant of Fisher's information, the curvature of the likelihood, where the chances are
// p, and its gradient: half the trace of the inverse information times its derivative.
func (m *model) penalty(ctx context.Context, information *mat.SymDense, p []float64) (half float64, slope []float64,
	ok bool) {
	root, ok := likelihood.Factorise(information)
	if !ok {
		return 0, nil, false
	}
	half = root.LogDet() / 2
	inverse, ok := root.Inverse()
	if !ok || !(mat.Norm(information, 1)*mat.Norm(inverse, 1) <= worstCondition) {
		return 0, nil, false
	}
	d, others := m.columns, m.modes-1
	slope = make([]float64, m.Size())
	spread := make([]float64, others*others)
	for i, g := range m.patterns {
		parallel.LookAt(ctx, i)
		for a := range others {
			for b := range others {
				spread[a*others+b] = m.spread(inverse, a, b, g.row)
			}
		}
		for k := range others {
			trace := 0.0
			for a := range others {
				for b := range others {
					trace += spread[a*others+b] * turned(p[i*others:(i+1)*others], a, b, k)
				}
			}
			for c, x := range g.row {
				slope[k*d+c] += g.n * trace / 2 * x
			}
		}
	}
	return half, slope, true
}

// spread is a row on both sides of the block of two modes.
func (m *model) spread(inverse *mat.Dense, a, b int, row []float64) float64 {
	d, sum := m.columns, 0.0
	for c, left := range row {
		if left == 0 {
			continue
		}
		line := inverse.RawRowView(a*d + c)[b*d : (b+1)*d]
		for e, right := range row {
			if right != 0 {
				sum += left * right * line[e]
			}
		}
	}
	return sum
}

// turned is the derivative of the weight p_a(δ_ab − p_b) by the linear value of mode k.
func turned(p []float64, a, b, k int) float64 {
	by := func(j int) float64 { // of p_j
		if j == k {
			return p[j] * (1 - p[k])
		}
		return -p[j] * p[k]
	}
	out := -by(a)*p[b] - p[a]*by(b)
	if a == b {
		out += by(a)
	}
	return out
}

// pattern is the specimens whose columns are alike: one row of the design, and how many of
// them ended in each mode. A series of categories has only a few, however long it is.
type pattern struct {
	row   []float64
	count []float64 // by mode
	n     float64
}

// patterns gathers the specimens, in the order in which their rows are first met. It is
// parallel.Stopped where ctx ends.
func patterns(ctx context.Context, s Sample) []pattern {
	var out []pattern
	at := map[string]int{}
	row, id := make([]float64, len(s.Columns)), []byte(nil)
	for i, y := range s.Mode {
		parallel.LookAt(ctx, i)
		for c, column := range s.Columns {
			row[c] = column[i]
		}
		id = bits(id[:0], row)
		k, met := at[string(id)]
		if !met {
			k = len(out)
			at[string(id)] = k
			out = append(out, pattern{row: append([]float64(nil), row...), count: make([]float64, s.Modes)})
		}
		out[k].count[y]++
		out[k].n++
	}
	return out
}

// bits appends a row as a key of a map, −0 the same as 0.
func bits(id []byte, row []float64) []byte {
	for _, x := range row {
		id = binary.LittleEndian.AppendUint64(id, math.Float64bits(x+0))
	}
	return id
}
