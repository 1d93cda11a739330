package checks

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/halving"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// alone is 1 − leverage below which nothing but the specimen itself predicts it.
const alone = 1e-10

// Influence is how much one specimen has to say in a fit.
type Influence struct {
	Specimen int
	Leverage float64 // its own share in its fitted value, 0 to 1
	Deleted  float64 // its residual over the standard error with which the others predict it
	DF       float64 // of Deleted, which is t distributed
	Distance float64 // how far all fitted values move without it, squared, per term and variance (Cook 1977)
	Alone    bool    // nothing but itself predicts it: Deleted and Distance are NaN
}

// Influences are those of every specimen with weight: leverage, deleted residual (Belsley,
// Kuh & Welsch 1980, equation 2.26) and Cook's distance (1977, Technometrics 19, equation 5). It is
// parallel.Stopped where ctx ends.
func Influences(ctx context.Context, f *linear.Fit) []Influence {
	p := float64(f.N) - f.DF
	var out []Influence
	for i, h := range f.Leverage {
		parallel.LookAt(ctx, i)
		if f.Weight(i) == 0 {
			continue
		}
		one := Influence{Specimen: i, Leverage: h, DF: f.DF - 1, Deleted: math.NaN(), Distance: math.NaN()}
		if one.Alone = 1-h < alone; !one.Alone {
			r := standardised(f, i)
			one.Deleted = deleted(r, f.DF)
			one.Distance = r * r * h / (1 - h) / p
		}
		out = append(out, one)
	}
	return out
}

// Limits from which a specimen is worth a look.
type Limits struct {
	Leverage float64 // three times the average (Velleman & Welsch 1981, American Statistician 35, from memory)
	Deleted  float64 // 3: common practice, no source
	Distance float64 // the edge of the 10 % confidence region of the estimates (Cook 1977)
}

// LimitsOf a fit.
func LimitsOf(f *linear.Fit) Limits {
	p := float64(f.N) - f.DF
	low, high := halving.Beyond(0, 1, math.Inf(1), 200, func(x float64) bool {
		return !(dist.FTail(x, p, f.DF) > 0.90)
	})
	return Limits{Leverage: 3 * p / float64(f.N), Deleted: 3, Distance: (low + high) / 2}
}

// standardised is a residual over its own standard error, Sigma the fit's: NaN without
// weight, or where nothing but the specimen itself predicts it.
func standardised(f *linear.Fit, i int) float64 {
	w, h := f.Weight(i), f.Leverage[i]
	if w == 0 || 1-h < alone {
		return math.NaN()
	}
	return math.Sqrt(w) * f.Residuals[i] / (f.Sigma * math.Sqrt(1-h))
}

// deleted is the same with the sd as it is without the specimen, df those of the fit.
func deleted(r, df float64) float64 {
	rest := (df - r*r) / (df - 1)
	if !(rest > 0) {
		return math.Copysign(math.Inf(1), r)
	}
	return r / math.Sqrt(rest)
}
