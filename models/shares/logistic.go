package shares

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/design"
	"breakbook/models/parallel"
)

// trials are specimens alike in every column: how many there are and how many show the mode.
type trials struct{ hits, all []float64 }

// logLikelihood of log odds.
func (d trials) logLikelihood(ctx context.Context, odds []float64) float64 {
	sum := 0.0
	for i, n := range d.all {
		parallel.LookAt(ctx, i)
		if n == 0 {
			continue
		}
		// ln p = −ln(1 + e^−odds), from the side where nothing overflows.
		sum -= d.hits[i]*softplus(-odds[i]) + (n-d.hits[i])*softplus(odds[i])
	}
	return sum
}

// softplus is ln(1 + eˣ).
func softplus(x float64) float64 {
	if x > 0 {
		return x + math.Log1p(math.Exp(-x))
	}
	return math.Log1p(math.Exp(x))
}

// supremum is the largest ln L of log odds in the span of the columns, the first of them
// the baseline, or what it comes up to where levels separate and the odds run away: Newton's
// steps by weighted least squares (McCullagh & Nelder 1989, section 2.5), halved while they
// go down. Where the mode separates each step comes nearer by a factor of e; it ends once
// a step gains less than one part in 10¹².
func (d trials) supremum(ctx context.Context, columns [][]float64) float64 {
	odds := make([]float64, len(d.all))
	start := math.Log((floats.Sum(d.hits) + 0.5) / (floats.Sum(d.all) - floats.Sum(d.hits) + 0.5))
	for i := range odds {
		odds[i] = start
	}
	best := d.logLikelihood(ctx, odds)
	next := make([]float64, len(odds))
	for range 200 {
		parallel.Look(ctx)
		step := d.step(ctx, columns, odds)
		gain := 0.0
		for half := 1.0; half > 1e-9; half /= 2 {
			for i := range odds {
				next[i] = odds[i] + half*step[i]
			}
			if l := d.logLikelihood(ctx, next); l > best {
				gain, best = l-best, l
				copy(odds, next)
				break
			}
		}
		if !(gain > 1e-12*(1+math.Abs(best))) {
			break
		}
	}
	return best
}

// step is Newton's step for the log odds.
func (d trials) step(ctx context.Context, columns [][]float64, odds []float64) []float64 {
	root, residuals := make([]float64, len(odds)), make([]float64, len(odds))
	for i, n := range d.all {
		if n == 0 {
			continue
		}
		parallel.LookAt(ctx, i)
		p := 1 / (1 + math.Exp(-odds[i]))
		q := 1 / (1 + math.Exp(odds[i]))
		root[i] = math.Sqrt(n * p * q)
		if root[i] > 0 {
			residuals[i] = (d.hits[i]*q - (n-d.hits[i])*p) / root[i]
		}
	}
	var s design.Span
	for _, c := range columns {
		scaled := make([]float64, len(c))
		for i, x := range c {
			parallel.LookAt(ctx, i)
			scaled[i] = root[i] * x
		}
		s.Add(ctx, scaled)
	}
	step := make([]float64, len(odds))
	for _, u := range s.Directions {
		parallel.Look(ctx)
		along := floats.Dot(u, residuals)
		for i, x := range u {
			if root[i] > 0 {
				step[i] += along * x / root[i]
			}
		}
	}
	return step
}
