package dist

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"

	"breakbook/models/halving"
)

// NoncentralTTail is the chance that a noncentral t, (Z + mu)/s with df degrees of
// freedom, exceeds t: the normal tail of t·s − mu averaged over s (Johnson & Welch 1940),
// for any mu, keeping its digits where it is small. NaN where df is not positive.
func NoncentralTTail(t, df, mu float64) float64 {
	switch {
	case math.IsNaN(t) || math.IsNaN(mu) || math.IsInf(mu, 0) || !(df > 0):
		return math.NaN()
	case t == 0:
		return NormalTail(-mu)
	case math.IsInf(t, 0):
		return (1 - math.Copysign(1, t)) / 2
	}
	c, sign, fall := math.Abs(t), math.Copysign(1, t), 1.0
	if sign < 0 {
		fall = 0
	}
	if sure(t, df, mu) {
		return 1
	}
	step := math.Min(0.1, 0.3/(1+math.Max(math.Abs(mu), c/math.Sqrt(1+c*c/df))))
	m := newMixture(df, fall, step, func(w float64) float64 { return NormalTail(sign*w - mu) })
	m.centre, m.once = mu, true
	if sign < 0 && mu < 0 {
		m.fall, m.centre, m.rises = 1, -mu, true
	}
	p, _ := m.at(c)
	return math.Min(p, 1)
}

// sure says whether (Z + mu)/s exceeds t but for a chance below 1e-17: either Z is below
// −mu/2 or s, with df degrees of freedom, is above mu/(2t), which has at most the chance
// e^(df·(ln s − (s² − 1)/2)) (Chernoff 1952, eq. 2.1, from memory). The sums would be long.
func sure(t, df, mu float64) bool {
	const unlikely = 5e-18
	if !(mu > 0) || NormalTail(mu/2) > unlikely {
		return false
	}
	s := mu / (2 * t)
	return t <= 0 || s > 1 && math.Exp(df*lnLess(math.Log(s))) <= unlikely
}

// PassingChance is the chance that |t| passes a critical value when the true difference
// is mu standard errors: the power of a two-sided test.
func PassingChance(critical, df, mu float64) float64 {
	return NoncentralTTail(critical, df, mu) + NoncentralTTail(critical, df, -mu)
}

// NoncentralityFor is the true difference, in standard errors, with which |t| passes a
// critical value with the given chance; 0 where it does so with no difference at all,
// NaN for a chance outside (0, 1).
func NoncentralityFor(chance, critical, df float64) float64 {
	switch {
	case !(chance > 0 && chance < 1) || !(df > 0) || math.IsNaN(critical) || math.IsInf(critical, 0):
		return math.NaN()
	case PassingChance(critical, df, 0) >= chance:
		return 0
	}
	scale := func(p float64) float64 { return p }
	if chance > 0.001 && chance < 0.999 { // with a normal value in its place a chance is nearly straight in mu
		scale = mathext.NormalQuantile
	}
	goal := scale(chance)
	over := func(mu float64) float64 { return scale(PassingChance(critical, df, mu)) - goal }
	high := critical + 1
	for over(high) < 0 {
		high *= 2
	}
	return halving.Root(over, 0, high, near)
}

// InsideChance is the chance that an interval of ± critical estimated standard errors
// around an estimate of zero lies wholly inside ± limit true standard errors:
// |Z| + critical·s < limit, integrated over s (Owen 1965, in the symmetric case).
func InsideChance(limit, critical, df float64) float64 {
	switch {
	case !(df > 0) || math.IsNaN(limit) || !(critical > 0):
		return math.NaN()
	case limit <= 0:
		return 0
	case math.IsInf(df, 1):
		return math.Max(0, 1-2*NormalTail(limit-critical))
	}
	spread := 9 / math.Sqrt(2*df)
	low := -spread - 40/df
	high := math.Min(spread, math.Log(limit/critical))
	if high <= low {
		return 0
	}
	front := math.Sqrt(df/math.Pi) * math.Exp(-stirling(df/2))
	return quad.Fixed(func(u float64) float64 {
		return front * math.Exp(df*lnLess(u)) * (1 - 2*NormalTail(limit-critical*math.Exp(u)))
	}, low, high, 80, quad.Legendre{}, 0)
}

// near is how closely a point of a distribution is found: to nearly all digits of the point, or of
// its chance.
var near = halving.Near{Share: 1e-13, Value: 1e-13}
