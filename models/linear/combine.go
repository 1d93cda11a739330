package linear

import (
	"context"
	"math"

	"breakbook/models/exact"
	"breakbook/models/lists"
)

// Combination estimates Σ w·coefficient; w has one weight a coefficient. ok is false
// when it cannot be estimated because of dependent columns: only what is the same for
// every solution of the normal equations can be (Searle 1971, Linear Models, 5.4).
func (f *Fit) Combination(_ context.Context, w []float64) (e Estimate, ok bool) {
	wide := widen(w)
	if !f.estimable(wide) {
		return Estimate{math.NaN(), math.NaN(), f.DF}, false
	}
	value, se := f.combine(wide)
	return Estimate{value.Float(), se, f.DF}, true
}

// Covariance of several combinations, Sigma² included: rows are weights as in
// Combination, which says whether each can be estimated.
func (f *Fit) Covariance(w [][]float64) [][]float64 {
	turned := lists.Mapped(w, func(row []float64) []exact.DD { return f.turn(widen(row)) })
	variance := f.rss.Div(exact.Of(f.DF))
	covariance := make([][]float64, len(w))
	for i := range covariance {
		covariance[i] = make([]float64, len(w))
		for j := range i + 1 {
			covariance[i][j] = exact.Dot(turned[i], turned[j]).Mul(variance).Float()
			covariance[j][i] = covariance[i][j]
		}
	}
	return covariance
}

func widen(w []float64) []exact.DD {
	return lists.Mapped(w, exact.Of)
}

// combine is the value and standard error of a combination that can be estimated; a value that is rounding is 0.
func (f *Fit) combine(w []exact.DD) (exact.DD, float64) {
	t := f.factor.table
	var value exact.DD
	for j, b := range f.solution {
		value = value.Add(w[j].MulFloat(t.scale[j]).Mul(b))
	}
	value = value.MulFloat(1 / t.yScale)
	if !f.Matrix.Model.ThroughZero {
		value = value.Add(w[0].Mul(f.offset))
	}
	turned := f.turn(w)
	length := exact.Dot(turned, turned)
	if value.Hi*value.Hi <= f.rounding*length.Hi {
		value = exact.DD{}
	}
	variance := length.Mul(f.rss).Div(exact.Of(f.DF))
	return value, variance.Sqrt().Float()
}

// turn is R⁻ᵀw: its squared length times Sigma² is the variance of the combination w.
func (f *Fit) turn(w []exact.DD) []exact.DD {
	turned := make([]exact.DD, len(w))
	for j, v := range w {
		if v.Hi == 0 {
			continue
		}
		v = v.MulFloat(f.factor.scale[j])
		for k := j; k < len(w); k++ {
			turned[k] = turned[k].Add(v.Mul(f.factor.inverse[j][k]))
		}
	}
	return turned
}

// estimable reports whether w gives every dependent column the weight that follows from
// the columns it is a combination of.
func (f *Fit) estimable(w []exact.DD) bool {
	for d, parts := range f.factor.parts {
		if parts == nil {
			continue
		}
		have := w[d].MulFloat(f.factor.scale[d])
		due, size := exact.DD{}, math.Abs(have.Hi)
		for j, share := range parts {
			part := share.Mul(w[j].MulFloat(f.factor.scale[j]))
			due = due.Add(part)
			size += math.Abs(part.Hi)
		}
		if math.Abs(have.Sub(due).Hi) > inCombination*size {
			return false
		}
	}
	return true
}

// zeroWeights are the coefficient weights of the expected value with every number term
// at 0 and every category at its baseline; false through zero or where it cannot be estimated.
func (f *Fit) zeroWeights() ([]exact.DD, bool) {
	m := &f.Matrix
	if m.Model.ThroughZero {
		return nil, false
	}
	w := make([]exact.DD, len(m.Labels))
	for j, label := range m.Labels {
		w[j] = exact.Of(1)
		if label.Term < 0 {
			continue
		}
		for k, factor := range m.Model.Terms[label.Term].Factors {
			if label.Levels[k] >= 0 {
				w[j] = exact.DD{}
				break
			}
			w[j] = w[j].Mul(m.Zero(factor))
		}
	}
	return w, f.estimable(w)
}
