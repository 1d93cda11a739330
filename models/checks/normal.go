package checks

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"breakbook/models/dist"
)

// The polynomials of algorithm AS R94 (Royston 1995, Applied Statistics 44), the constant
// term first.
var (
	lastWeight = []float64{0, 0.221157, -0.147981, -2.071190, 4.434685, -2.706056}
	nextWeight = []float64{0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633}
	fewCentre  = []float64{0.5440, -0.39978, 0.025054, -0.0006714}
	fewSpread  = []float64{1.3822, -0.77857, 0.062767, -0.0020322}
	manyCentre = []float64{-1.5861, -0.31082, -0.083751, 0.0038915}
	manySpread = []float64{-0.4803, -0.082676, 0.0030302}
	fewEnd     = []float64{-2.273, 0.459}
)

const (
	leastShape = 3
	fewShape   = 11 // up to here the few… polynomials hold
	mostShape  = 5000
)

func polynomial(c []float64, x float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}

// ShapiroWilk tests whether values have the shape of a normal distribution (Shapiro &
// Wilk 1965), with the weights and the probability of Royston's approximation (1995,
// algorithm AS R94), which its author made for 3 to 5000 values. A W near 1 is near
// normal; P is small where it is not. Errors are *Error: "too-few-specimens",
// "too-many-specimens", "all-equal", "not-a-number".
func ShapiroWilk(values []float64) (w, p float64, err error) {
	n := len(values)
	switch {
	case n < leastShape:
		return 0, 0, &Error{"too-few-specimens", n}
	case n > mostShape:
		return 0, 0, &Error{"too-many-specimens", n}
	}
	x := slices.Clone(values)
	slices.Sort(x)
	if math.IsNaN(x[0]) || math.IsInf(x[n-1]-x[0], 0) {
		return 0, 0, &Error{"not-a-number", n}
	}
	spread := x[n-1] - x[0]
	if !(spread > 1e-13*math.Max(math.Abs(x[0]), math.Abs(x[n-1]))) {
		return 0, 0, &Error{"all-equal", n}
	}
	middle := x[n/2]
	for i := range x {
		x[i] = (x[i] - middle) / spread
	}
	a := shapiroWeights(n)
	mean := 0.0
	for _, v := range x {
		mean += v / float64(n)
	}
	along, squares := 0.0, 0.0
	for i, v := range x {
		squares += (v - mean) * (v - mean)
		if j := n - 1 - i; i < j {
			along += a[i] * (x[j] - v)
		}
	}
	w = math.Min(1, along*along/squares)
	return w, shapiroTail(w, n), nil
}

// shapiroWeights are the weights of the larger half less the smaller, outermost first.
func shapiroWeights(n int) []float64 {
	if n == 3 {
		return []float64{math.Sqrt(0.5)}
	}
	half := n / 2
	m := make([]float64, half)
	squares := 0.0
	for i := range m {
		m[i] = -mathext.NormalQuantile((float64(i+1) - 0.375) / (float64(n) + 0.25))
		squares += 2 * m[i] * m[i]
	}
	u := 1 / math.Sqrt(float64(n))
	a := make([]float64, half)
	a[0] = polynomial(lastWeight, u) + m[0]/math.Sqrt(squares)
	from, rest, left := 1, squares-2*m[0]*m[0], 1-2*a[0]*a[0]
	if n > 5 {
		a[1] = polynomial(nextWeight, u) + m[1]/math.Sqrt(squares)
		from, rest, left = 2, rest-2*m[1]*m[1], left-2*a[1]*a[1]
	}
	for i := from; i < half; i++ {
		a[i] = m[i] * math.Sqrt(left/rest)
	}
	return a
}

// shapiroTail is the chance of a W as small as this from a normal distribution.
func shapiroTail(w float64, n int) float64 {
	if n == 3 {
		return min(1, max(0, 6/math.Pi*(math.Asin(math.Sqrt(w))-math.Asin(math.Sqrt(0.75)))))
	}
	y, centre, spread := math.Log1p(-w), 0.0, 0.0
	if n <= fewShape {
		end := polynomial(fewEnd, float64(n))
		if y >= end {
			return 0
		}
		y = -math.Log(end - y)
		centre, spread = polynomial(fewCentre, float64(n)), math.Exp(polynomial(fewSpread, float64(n)))
	} else {
		ln := math.Log(float64(n))
		centre, spread = polynomial(manyCentre, ln), math.Exp(polynomial(manySpread, ln))
	}
	return dist.NormalTail((y - centre) / spread)
}
