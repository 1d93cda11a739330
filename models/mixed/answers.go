package mixed

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/linear"
	"breakbook/models/lists"
)

var _ linear.Estimator = (*Fit)(nil)

// widened is K applied to a combination given in coordinates: what it asks of the other
// blocks, then of the coordinates, H⁻¹QCt being H₁⁻¹ times the columns so combined.
func (f *Fit) widened(t []float64) []float64 {
	full := make([]float64, f.parts.width)
	copy(full[f.parts.others:], t)
	return times(f.at.solved, full)
}

// between is the covariance of two combinations given in coordinates, over Sigma².
func (f *Fit) between(a, b []float64) float64 {
	if f.at == nil {
		return floats.Dot(a, b)
	}
	return floats.Dot(a, f.widened(b)[f.parts.others:]) + f.beyond(a, b)
}

// beyond is what few blocks add to that.
func (f *Fit) beyond(a, b []float64) float64 {
	if f.added == nil {
		return 0
	}
	return floats.Dot(a, times(f.added, b))
}

// spread is the variance of a combination given in coordinates, of one new specimen of a
// new block about it where asked, with its degrees of freedom: 2v² over the variance that
// the uncertainty of the variances gives v (Satterthwaite 1946, Biometrics Bull. 2;
// Giesbrecht and Burns 1985, Biometrics 41), v's derivatives in Sigma² and the ratios.
func (f *Fit) spread(t []float64, specimen bool) (variance, df float64) {
	sigma2, own := f.Sigma*f.Sigma, 0.0
	if specimen {
		own = 1
	}
	if f.at == nil {
		return sigma2 * (own + floats.Dot(t, t)), f.DF
	}
	wide := f.widened(t)
	own += floats.Dot(t, wide[f.parts.others:])
	slopes := append([]float64{0}, f.reach(wide)...)
	for k, ratio := range f.at.ratios {
		if specimen {
			slopes[1+k]++
			own += ratio
		}
		slopes[1+k] *= sigma2
	}
	slopes[0] = own
	variance = sigma2 * own
	return variance + sigma2*f.beyond(t, t), 2 * variance * variance / quadratic(slopes, f.inverse)
}

// reach is the squared length of Z_k'H⁻¹QCt by grouping, given what widened makes of t.
func (f *Fit) reach(wide []float64) []float64 {
	p := f.parts
	out := make([]float64, len(p.groups))
	for j := range p.size {
		v := floats.Dot(wide, f.at.outer.RawRowView(j)[:len(wide)])
		out[0] += v * v
	}
	for k, from := range p.from {
		for j := from; j < p.to[k]; j++ {
			v := 0.0
			for l, w := range wide {
				v += f.at.inner.At(j, l) * w
			}
			out[k+1] += v * v
		}
	}
	return out
}

func quadratic(v []float64, m [][]float64) float64 {
	sum := 0.0
	for a, row := range m {
		sum += v[a] * floats.Dot(row, v)
	}
	return sum
}

// Combination has degrees of freedom of its own, by Satterthwaite.
func (f *Fit) Combination(ctx context.Context, w []float64) (linear.Estimate, bool) {
	return f.estimate(ctx, w, false)
}

// Specimen is one new specimen of weight 1 from new blocks: their variances count too.
func (f *Fit) Specimen(ctx context.Context, w []float64) (linear.Estimate, bool) {
	return f.estimate(ctx, w, true)
}

func (f *Fit) estimate(ctx context.Context, w []float64, specimen bool) (linear.Estimate, bool) {
	e, ok := f.Fit.Combination(ctx, w)
	if !ok {
		return e, false
	}
	t := f.Coordinates(w)
	variance, df := f.spread(t, specimen)
	return linear.Estimate{Value: e.Value + floats.Dot(t, f.shift()), SE: math.Sqrt(variance), DF: df}, true
}

// Covariance of several combinations, the variances taken as they were estimated.
func (f *Fit) Covariance(w [][]float64) [][]float64 {
	turned := lists.Mapped(w, f.Coordinates)
	out := make([][]float64, len(w))
	for i := range out {
		out[i] = make([]float64, len(w))
		for j := range i + 1 {
			out[i][j] = f.Sigma * f.Sigma * f.between(turned[i], turned[j])
			out[j][i] = out[i][j]
		}
	}
	return out
}
