package linear

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
)

const (
	// absoluteFrom and absoluteTo are how far from zero, in mean absolute deviations, the
	// corner of |r| is rounded at the start and at the end.
	absoluteFrom = 1.0
	absoluteTo   = 1e-7
	// absoluteRounds bounds the steps for one rounding.
	absoluteRounds = 200
)

// leastAbsolute is the shift d that makes Σ|residual − rows·d| smallest. The sum of √(r² + ε²) is
// made smallest for an ε that falls to absoluteTo, each by reweighted least squares (Schlossmacher
// 1973, J. Amer. Statist. Assoc. 68; rounded corner after Clark and Osborne 1986, IMA J.
// Numer. Anal. 6): the sum is at most n·ε above the smallest. Where many d are smallest it is the
// one in their middle, so that the order of specimens does not matter. ok is false where
// the rows do not settle d.
func leastAbsolute(ctx context.Context, rows [][]float64, residuals []float64) (d []float64, ok bool) {
	p := len(rows[0])
	d = make([]float64, p)
	mean := 0.0
	for _, r := range residuals {
		mean += math.Abs(r) / float64(len(residuals))
	}
	weights := make([]float64, len(rows))
	for eps := absoluteFrom * mean; ; eps *= 0.25 {
		eps = max(eps, absoluteTo*mean)
		before := math.Inf(1)
		for range absoluteRounds {
			parallel.Look(ctx)
			sum := 0.0
			for i, q := range rows {
				size := math.Hypot(residuals[i]-floats.Dot(q, d), eps)
				sum += size
				weights[i] = 1 / size
			}
			if before-sum <= 1e-9*sum {
				break
			}
			before = sum
			if d, ok = reweighted(ctx, rows, residuals, weights); !ok {
				return nil, false
			}
		}
		if eps <= absoluteTo*mean {
			return d, true
		}
	}
}

// reweighted is the d that makes Σ weight·(residual − rows·d)² smallest; ok is false where the
// rows that have weight do not settle it.
func reweighted(ctx context.Context, rows [][]float64, residuals, weights []float64) (d []float64, ok bool) {
	p := len(rows[0])
	products, toward := make([]float64, p*p), make([]float64, p)
	for i, q := range rows {
		parallel.LookAt(ctx, i)
		w := weights[i]
		if w == 0 {
			continue
		}
		for j, v := range q {
			wv := w * v
			toward[j] += wv * residuals[i]
			for k := j; k < p; k++ {
				products[j*p+k] += wv * q[k]
			}
		}
	}
	// A dependent column has coordinate 0 throughout: nothing is asked of it.
	for j := range p {
		if products[j*p+j] == 0 && toward[j] == 0 {
			products[j*p+j] = 1
		}
	}
	var c mat.Cholesky
	if !c.Factorize(mat.NewSymDense(p, products)) || c.Cond() > mostCondition {
		return nil, false
	}
	var x mat.VecDense
	if c.SolveVecTo(&x, mat.NewVecDense(p, toward)) != nil {
		return nil, false
	}
	return x.RawVector().Data, true
}

// mostCondition is the condition number above which weights have taken away what a
// coordinate rests on.
const mostCondition = 1e13
