package linear

import (
	"context"
	"math"
	"slices"

	"breakbook/models/dist"
	"breakbook/models/lists"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"breakbook/models/parallel"
)

const (
	// biweight is the tuning constant of Tukey's bisquare for 95 % efficiency under a
	// normal distribution (Holland and Welsch 1977, Commun. Statist. A6).
	biweight = 4.685
	// normalQuartile makes the median absolute deviation of a normal distribution its sd.
	normalQuartile = 0.67448975019608174
	// resistantWithin is how far, in scales, the fitted values may still move at the end.
	resistantWithin = 1e-11
	// resistantRounds bounds the steps with the scale worked out anew each time, and then
	// with the scale held.
	resistantRounds = 500
)

// Resistant is a fit by Tukey's bisquare. Sigma is the scale: the normalised median
// absolute deviation of the residuals from zero, worked out anew in every step. Standard
// errors are Huber's asymptotic ones (Huber 1981, Robust Statistics, 7.6, with his
// correction K), degrees of freedom n − p. RSS, the explained shares, F, P, LogLikelihood
// and AICc do not exist (NaN). Leverage is that of least squares, which it does not resist.
type Resistant struct {
	*Fit
	Share   []float64 // of its weight that each specimen kept, 0 to 1; NaN for one of weight 0
	Settled bool      // false: the scale went round in circles and was held in the end

	shift  []float64 // of the coordinates, from least squares
	spread float64   // variance of a coordinate
}

// Resistant fits the same model by Tukey's bisquare, started from least absolute
// deviations. With weights, residuals are times √weight throughout. Errors are ctx's own
// or *Error: "no-scale" (half of the specimens are fitted exactly), "played-down" (the specimens
// left do not settle every coefficient).
func (f *Fit) Resistant(ctx context.Context) (_ *Resistant, err error) {
	defer parallel.Catch(&err)
	all := f.Rows(ctx)
	var rows [][]float64
	var residuals []float64
	for i, q := range all {
		parallel.LookAt(ctx, i)
		if q == nil {
			continue
		}
		root := math.Sqrt(f.Weight(i))
		scaled := slices.Clone(q)
		for j := range scaled {
			scaled[j] *= root
		}
		rows, residuals = append(rows, scaled), append(residuals, root*f.Residuals[i])
	}
	d, ok := leastAbsolute(ctx, rows, residuals)
	if !ok {
		return nil, because("played-down", f.N, f.Rank())
	}
	r := &Resistant{Fit: new(*f), shift: d}
	if err := r.settle(ctx, rows, residuals); err != nil {
		return nil, err
	}
	r.finish(ctx, all, rows, residuals)
	return r, nil
}

// settle repeats reweighted least squares until the fitted values stand still.
func (r *Resistant) settle(ctx context.Context, rows [][]float64, residuals []float64) error {
	weights, size := make([]float64, len(rows)), make([]float64, len(rows))
	r.Settled = true
	for round := 0; ; round++ {
		parallel.Look(ctx)
		if round <= resistantRounds {
			r.Sigma = r.scale(ctx, rows, residuals, size)
			if r.Sigma <= exactScale*r.width(residuals) {
				return because("no-scale", r.N, r.Rank())
			}
		}
		r.Settled = round <= resistantRounds
		parallel.Look(ctx)
		for i, q := range rows {
			weights[i] = bisquare((residuals[i] - floats.Dot(q, r.shift)) / r.Sigma)
		}
		next, ok := reweighted(ctx, rows, residuals, weights)
		if !ok {
			return because("played-down", r.N, r.Rank())
		}
		parallel.Look(ctx)
		moved := 0.0
		for _, q := range rows {
			moved = max(moved, math.Abs(floats.Dot(q, next)-floats.Dot(q, r.shift)))
		}
		r.shift = next
		if moved <= resistantWithin*r.Sigma || round == 2*resistantRounds {
			return nil
		}
	}
}

// exactScale is the share of the largest residual of least squares below which a scale
// is rounding.
const exactScale = 1e-12

func (r *Resistant) width(residuals []float64) float64 {
	most := 0.0
	for _, v := range residuals {
		most = max(most, math.Abs(v))
	}
	return most
}

func (r *Resistant) scale(ctx context.Context, rows [][]float64, residuals, size []float64) float64 {
	for i, q := range rows {
		size[i] = math.Abs(residuals[i] - floats.Dot(q, r.shift))
	}
	return dist.Median(ctx, size) / normalQuartile
}

// bisquare is the share of its weight that a residual of u scales keeps.
func bisquare(u float64) float64 {
	v := u / biweight
	if math.Abs(v) >= 1 {
		return 0
	}
	return (1 - v*v) * (1 - v*v)
}

// finish fills what follows from the shift and the scale.
func (r *Resistant) finish(ctx context.Context, all, rows [][]float64, residuals []float64) {
	n := float64(len(rows))
	psi2 := 0.0
	slopes := make([]float64, len(rows))
	for i, q := range rows {
		u := (residuals[i] - floats.Dot(q, r.shift)) / r.Sigma
		psi := u * bisquare(u)
		psi2 += psi * psi
		if v := u / biweight; math.Abs(v) < 1 {
			slopes[i] = (1 - v*v) * (1 - 5*v*v)
		}
	}
	slope, variance := stat.PopMeanVariance(slopes, nil)
	k := 1 + float64(r.Rank())/n*variance/(slope*slope)
	r.spread = k * k * psi2 / r.DF * r.Sigma * r.Sigma / (slope * slope)
	r.Share = make([]float64, len(all))
	r.Fitted, r.Residuals = slices.Clone(r.Fitted), slices.Clone(r.Residuals)
	for i, q := range all {
		r.Share[i] = math.NaN()
		if q == nil {
			continue
		}
		move := floats.Dot(q, r.shift)
		r.Fitted[i] += move
		r.Residuals[i] -= move
		r.Share[i] = bisquare(math.Sqrt(r.Weight(i)) * r.Residuals[i] / r.Sigma)
	}
	r.without()
	r.Restate(ctx, r)
}

// Combination has Huber's asymptotic standard error.
func (r *Resistant) Combination(ctx context.Context, w []float64) (Estimate, bool) {
	e, ok := r.Fit.Combination(ctx, w)
	if ok {
		t := r.Coordinates(w)
		e.Value += floats.Dot(t, r.shift)
		e.SE = math.Sqrt(r.spread * floats.Dot(t, t))
	}
	return e, ok
}

// Covariance is Huber's asymptotic one.
func (r *Resistant) Covariance(w [][]float64) [][]float64 {
	turned := lists.Mapped(w, r.Coordinates)
	out := make([][]float64, len(w))
	for i := range out {
		for j := range turned {
			out[i] = append(out[i], r.spread*floats.Dot(turned[i], turned[j]))
		}
	}
	return out
}

// Specimen is one new specimen that is not one of those played down: scale Sigma.
func (r *Resistant) Specimen(ctx context.Context, w []float64) (Estimate, bool) {
	e, ok := r.Combination(ctx, w)
	e.SE = math.Hypot(e.SE, r.Sigma)
	return e, ok
}

// Anova does not exist for a resistant fit: the *Error has the code "no-anova".
func (r *Resistant) Anova(context.Context, Adjustment) (*Anova, error) {
	return nil, because("no-anova", r.N, r.Rank())
}
