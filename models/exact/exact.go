// Package exact is double-double arithmetic: a number held as the unevaluated sum of two
// float64, good for about 32 significant digits. Sources: Dekker (1971), Numer. Math. 18;
// Knuth, The Art of Computer Programming 2, 4.2.2; Ogita, Rump and Oishi (2005), SIAM J.
// Sci. Comput. 26; Joldes, Muller and Popescu (2017), ACM TOMS 44, whose error bounds hold here.
package exact

import "math"

// DD is Hi + Lo with |Lo| at most half a unit in the last place of Hi. The zero value is 0.
// An overflow or a NaN in Hi makes Lo meaningless; callers test Hi.
type DD struct{ Hi, Lo float64 }

// Of is x, exactly.
func Of(x float64) DD { return DD{x, 0} }

// Float is a rounded to the nearest float64.
func (a DD) Float() float64 { return a.Hi + a.Lo }

// TwoSum is a + b with its rounding error: s + e = a + b exactly (Knuth 4.2.2, theorem B).
func TwoSum(a, b float64) (s, e float64) {
	s = a + b
	t := s - a
	return s, (a - (s - t)) + (b - t)
}

// QuickTwoSum is TwoSum for |a| ≥ |b| or a = 0 (Dekker 1971).
func QuickTwoSum(a, b float64) (s, e float64) {
	s = a + b
	return s, b - (s - a)
}

// TwoProd is a·b with its rounding error: p + e = a·b exactly unless e underflows.
func TwoProd(a, b float64) (p, e float64) {
	p = a * b
	return p, math.FMA(a, b, -p)
}

// Add is a + b, relative error below 3·2⁻¹⁰⁶ (Joldes et al. 2017, algorithm 6).
func (a DD) Add(b DD) DD {
	s, e := TwoSum(a.Hi, b.Hi)
	t, f := TwoSum(a.Lo, b.Lo)
	s, e = QuickTwoSum(s, e+t)
	s, e = QuickTwoSum(s, e+f)
	return DD{s, e}
}

// AddFloat is a + b (Joldes et al. 2017, algorithm 4).
func (a DD) AddFloat(b float64) DD {
	s, e := TwoSum(a.Hi, b)
	s, e = QuickTwoSum(s, e+a.Lo)
	return DD{s, e}
}

// Neg is −a.
func (a DD) Neg() DD { return DD{-a.Hi, -a.Lo} }

// Sub is a − b.
func (a DD) Sub(b DD) DD { return a.Add(b.Neg()) }

// Mul is a·b, relative error below 5·2⁻¹⁰⁶ (Joldes et al. 2017, algorithm 11).
func (a DD) Mul(b DD) DD {
	p, e := TwoProd(a.Hi, b.Hi)
	p, e = QuickTwoSum(p, e+math.FMA(a.Hi, b.Lo, a.Lo*b.Hi))
	return DD{p, e}
}

// MulFloat is a·b.
func (a DD) MulFloat(b float64) DD {
	p, e := TwoProd(a.Hi, b)
	p, e = QuickTwoSum(p, math.FMA(a.Lo, b, e))
	return DD{p, e}
}

// Div is a/b: long division, three quotient digits of 53 bits. Infinite or NaN for b = 0.
func (a DD) Div(b DD) DD {
	q := a.Hi / b.Hi
	if b.Hi == 0 || math.IsInf(q, 0) {
		return DD{Hi: q}
	}
	r := a.Sub(b.MulFloat(q))
	q2 := r.Hi / b.Hi
	r = r.Sub(b.MulFloat(q2))
	s, e := QuickTwoSum(q, q2)
	return DD{s, e}.AddFloat(r.Hi / b.Hi)
}

// Sqrt is √a by one Newton step on the float64 root; NaN for a < 0.
func (a DD) Sqrt() DD {
	x := math.Sqrt(a.Hi)
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return DD{Hi: x}
	}
	p, e := TwoProd(x, x)
	r := a.Sub(DD{p, e})
	s, f := QuickTwoSum(x, r.Hi/(2*x))
	return DD{s, f}
}

// Power is aⁿ by repeated squaring; n may be negative.
func (a DD) Power(n int) DD {
	if n < 0 {
		return Of(1).Div(a.Power(-n))
	}
	r := Of(1)
	for square := a; n > 0; n >>= 1 {
		if n&1 == 1 {
			r = r.Mul(square)
		}
		if n > 1 {
			square = square.Mul(square)
		}
	}
	return r
}

// Dot is Σ x·y; the slices have one length.
func Dot(x, y []DD) DD {
	var s DD
	for i, v := range x {
		s = s.Add(v.Mul(y[i]))
	}
	return s
}
