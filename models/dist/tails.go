// Package dist holds the distributions that comparisons and fits need, to about twelve
// digits far into the tails: t, F, chi-square and normal tails, the studentised range,
// the many-to-one t and the noncentral t. A parameter that makes no sense (degrees of
// freedom that are not positive, a NaN) gives NaN; nothing here panics.
package dist

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// NormalTail is the chance that a standard normal value exceeds z. It keeps its relative
// accuracy down to the smallest double: ½ erfc(z/√2).
func NormalTail(z float64) float64 { return 0.5 * math.Erfc(z/math.Sqrt2) }

// TwoSidedT is the chance that |t| with df degrees of freedom (fractions allowed, +Inf
// for the normal) exceeds |t|: the F tail of t² on 1 and df.
func TwoSidedT(t, df float64) float64 {
	t = math.Abs(t)
	if math.IsInf(df, 1) {
		return 2 * NormalTail(t)
	}
	const far = 1e150 // beyond it t² overflows; the tail is a pure power there unless df is as large
	if t > far {
		return FTail(far*far, 1, df) * math.Pow(far/t, df)
	}
	return FTail(t*t, 1, df)
}

// FTail is the chance that F on d1 and d2 degrees of freedom (fractions allowed, d2 may
// be +Inf) exceeds f. As an incomplete beta of d2/(d2 + d1 f): Abramowitz & Stegun
// (1964), 26.6.2.
func FTail(f, d1, d2 float64) float64 {
	switch {
	case math.IsNaN(f) || !(d1 > 0) || !(d2 > 0) || math.IsInf(d1, 1):
		return math.NaN()
	case f <= 0:
		return 1
	case math.IsInf(f, 1):
		return 0
	case math.IsInf(d2, 1):
		return ChiSquareTail(f*d1, d1)
	}
	return math.Exp(fTail(f, d1, d2).log())
}

// ChiSquareTail is the chance that chi-square with df degrees of freedom exceeds x: the
// upper incomplete gamma of x/2, by its continued fraction or, below the mean, by one
// less its series (Abramowitz & Stegun 1964, 6.5.29 and 6.5.31).
func ChiSquareTail(x, df float64) float64 {
	switch {
	case math.IsNaN(x) || !(df > 0) || math.IsInf(df, 1):
		return math.NaN()
	case x <= 0:
		return 1
	case math.IsInf(x, 1):
		return 0
	}
	return gammaTail(df/2, x/2)
}

// TQuantile is the value that t with df degrees of freedom stays below with chance p;
// ±Inf at 0 and 1, NaN outside. Newton's iteration on the logarithm of the tail against
// the logarithm of t, which is concave, from the start of Wallace (1959); near the
// middle on the central mass.
func TQuantile(p, df float64) float64 {
	switch {
	case math.IsNaN(p) || p < 0 || p > 1 || !(df > 0):
		return math.NaN()
	case p > 0.5:
		return upperT(1-p, df)
	default:
		return -upperT(p, df)
	}
}

// upperT is the value exceeded with chance p ≤ ½.
func upperT(p, df float64) float64 {
	switch {
	case p == 0.5:
		return 0
	case p == 0:
		return math.Inf(1)
	case math.IsInf(df, 1):
		return -mathext.NormalQuantile(p)
	case p > 0.25:
		return middleT(1-2*p, df)
	}
	z := -mathext.NormalQuantile(p) * (8*df + 3) / (8*df + 1)
	v := z * z / df
	s := 0.5 * (math.Log(df) + v + math.Log(-math.Expm1(-v))) // ln t
	goal := math.Log(2 * p)
	for range 100 {
		const far = 345 // beyond, t² would overflow and the tail is a pure power of t
		piece := fTail(math.Exp(2*math.Min(s, far)), 1, df)
		tail := piece.log()
		step := (tail - goal) / (2 * math.Exp(piece.front-tail))
		if s > far {
			step = (tail-goal)/df - (s - far)
		}
		s += step
		if math.Abs(step) < 1e-14*math.Max(1, math.Abs(s)) {
			break
		}
	}
	return math.Exp(s)
}

// middleT is the t with chance c of lying in ±t, for c below one half.
func middleT(c, df float64) float64 {
	// c over twice the density at 0, nearly
	t := c / 2 * math.Sqrt(2*math.Pi) * math.Exp(stirling(df/2)-stirling((df+1)/2))
	t *= math.Exp(0.5 - df/2*math.Log1p(1/df))
	for range 100 {
		piece := fTail(t*t, 1, df)
		step := (c - piece.lower()) * t / (2 * math.Exp(piece.front))
		t += step
		if math.Abs(step) < 1e-15*t {
			break
		}
	}
	return t
}
