package dist

import "math"

// stirling is what Stirling's formula leaves of ln Γ: ln Γ(a) − (a−½) ln a + a − ½ ln 2π
// (Abramowitz & Stegun 1964, 6.1.41), raised above 10 by the recurrence of Γ first.
func stirling(a float64) float64 {
	sum := 0.0
	for ; a < 10; a++ {
		sum += (a+0.5)*math.Log1p(1/a) - 1
	}
	r := 1 / (a * a)
	return sum + (1./12-r*(1./360-r*(1./1260-r*(1./1680-r*(1./1188-r*(691./360360-r/156))))))/a
}

// log1pLess is ln(1+u) − u without cancellation for |u| ≤ 0.4.
func log1pLess(u float64) float64 {
	r := u / (2 + u)
	sum, power := 0.0, 1.0
	for k := 3.0; k < 60; k += 2 {
		term := power / k
		sum += term
		if term < 1e-17*sum {
			break
		}
		power *= r * r
	}
	return 2*r*r*r*sum - u*r
}

// fPieces are the pieces of one tail of F, the upper one where f ≥ 1 and the lower one
// elsewhere: the tail is e^front / fraction, and its derivative by ln f is ∓ e^front.
type fPieces struct {
	upper           bool
	front, fraction float64
}

// fTail computes the tail of F that is safe to compute directly. Continued fraction and
// choice of side: Didonato & Morris (1992), section 9.
func fTail(f, d1, d2 float64) fPieces {
	a, b := d2/2, d1/2
	whole := d2 + d1*f
	x, y := d2/whole, d1*f/whole // x + y = 1
	if math.IsInf(whole, 1) {
		x, y = d2/f/d1, 1
	}
	// How far x and y are from a/(a+b) and b/(a+b), relatively; a·u + b·v = 0.
	u, v := d1/whole-y, (f*d2)/whole-x
	if math.Abs(f-1) < 0.5 {
		u, v = d1*(1-f)/whole, d2*(f-1)/whole
	}
	var exponent float64
	if math.Abs(u) < 0.4 && math.Abs(v) < 0.4 {
		exponent = a*log1pLess(u) + b*log1pLess(v)
	} else {
		exponent = a*logNear(u, x*(a+b)/a) + b*logNear(v, y*(a+b)/b)
	}
	// ln of x^a y^b / B(a, b)
	front := exponent + 0.5*math.Log(a/(a+b)*b/(2*math.Pi)) + stirling(a+b) - stirling(a) - stirling(b)
	if f >= 1 {
		return fPieces{true, front, betaFraction(a, b, x, y, a*y*(1-1/f))}
	}
	return fPieces{false, front, betaFraction(b, a, y, x, b*x*(1-f))}
}

// log is the logarithm of the upper tail.
func (p fPieces) log() float64 {
	if p.upper {
		return p.front - math.Log(p.fraction)
	}
	return math.Log1p(-math.Exp(p.front) / p.fraction)
}

// lower is the lower tail.
func (p fPieces) lower() float64 {
	if p.upper {
		return 1 - math.Exp(p.front)/p.fraction
	}
	return math.Exp(p.front) / p.fraction
}

// logNear is ln r where r = 1 + u, from u when that is the better known.
func logNear(u, r float64) float64 {
	if math.Abs(u) < 0.4 {
		return math.Log1p(u)
	}
	return math.Log(r)
}

// betaFraction is x^a y^b / (B(a,b) I_x(a,b)) for over = a·y − b·x ≥ 0, y = 1 − x.
func betaFraction(a, b, x, y, over float64) float64 {
	f := a / (a + 1) * (over + 1)
	c, d := f, 0.0
	for m := 1.0; m < 1e6; m++ {
		s := a + 2*m - 1
		an := (a + m - 1) / s * ((a + b + m - 1) / s) * m * (b - m) * x * x
		bn := m + m*(b-m)*x/s + (a+m)/(s+2)*(over+1+m*(1+y))
		d = 1 / (bn + an*d)
		c = bn + an/c
		f *= c * d
		if math.Abs(c*d-1) < 4e-16 {
			break
		}
	}
	return f
}

// gammaTail is the regularised upper incomplete gamma function of x.
func gammaTail(a, x float64) float64 {
	u := (x - a) / a
	var exponent float64
	if math.Abs(u) < 0.4 {
		exponent = a * log1pLess(u)
	} else {
		exponent = a*math.Log(x/a) - (x - a)
	}
	front := exponent + 0.5*math.Log(a/(2*math.Pi)) - stirling(a) // ln of x^a e^−x / Γ(a)
	if x < a+1 {
		sum, term := 1/a, 1/a
		for n := a + 1; term > 1e-17*sum; n++ {
			term *= x / n
			sum += term
		}
		return 1 - math.Exp(front)*sum
	}
	f := x - a + 1
	c, d := f, 0.0
	for m := 1.0; m < 1e6; m++ {
		an, bn := m*(a-m), x-a+1+2*m
		d = 1 / (bn + an*d)
		c = bn + an/c
		f *= c * d
		if math.Abs(c*d-1) < 4e-16 {
			break
		}
	}
	return math.Exp(front - math.Log(f))
}
