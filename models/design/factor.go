package design

import (
	"math"

	"breakbook/models/exact"
)

// largestPower is the largest whole power that is multiplied out; others go through math.Pow.
const largestPower = 64

// raw is the function of x: powers to 32 digits, the others to the 16 of package math.
// It is NaN or infinite where the function does not exist.
func (f Factor) raw(x exact.DD) exact.DD {
	switch f.Function {
	case Ln:
		return exact.Of(math.Log(x.Float()))
	case Log10:
		return exact.Of(math.Log10(x.Float()))
	case Sqrt:
		return x.Sqrt()
	case Exp:
		return exact.Of(math.Exp(x.Float()))
	case Abs:
		if x.Hi < 0 {
			return x.Neg()
		}
		return x
	case PowerOf:
		if n := math.Trunc(f.Power); n == f.Power && math.Abs(n) <= largestPower {
			return x.Power(int(n))
		}
		return exact.Of(math.Pow(x.Float(), f.Power))
	case Squared:
		return x.Mul(x)
	case Step, Kink:
		return f.changed(x)
	default:
		return x
	}
}

// changed is a Step or a Kink at x.
func (f Factor) changed(x exact.DD) exact.DD {
	switch beyond := x.Sub(exact.Of(f.Place)); {
	case !(beyond.Hi > 0):
		return exact.DD{}
	case f.Function == Step:
		return exact.Of(1)
	default:
		return beyond
	}
}

// Mean of a number variable over the specimens used, to 32 digits.
func (m *Matrix) Mean(variable int) exact.DD { return m.mean[variable] }

// At is the value of a number factor at x, measured as its columns are: f(x) − f(x̄),
// (x − x̄)² for Squared, and as it stands through zero. It is NaN or infinite where
// the function does not exist at x.
func (m *Matrix) At(f Factor, x exact.DD) exact.DD { return m.measured(f)(x) }

// Zero is the value of a number factor, measured as its columns are, when the function
// itself is 0: −f(x̄), or x̄² for Squared (x at 0). For ln(x) that is at x = 1 in its unit.
func (m *Matrix) Zero(f Factor) exact.DD {
	mean := m.mean[f.Variable]
	switch {
	case m.Model.ThroughZero:
		return exact.DD{}
	case f.Function == Squared:
		return mean.Mul(mean)
	default:
		return f.raw(mean).Neg()
	}
}

// measured is At with what is the same for every x worked out once.
func (m *Matrix) measured(f Factor) func(exact.DD) exact.DD {
	mean := m.mean[f.Variable]
	switch {
	case m.Model.ThroughZero:
		return f.raw
	case f.Function == Squared:
		return func(x exact.DD) exact.DD { return f.raw(x.Sub(mean)) }
	default:
		centre := f.raw(mean)
		return func(x exact.DD) exact.DD { return f.raw(x).Sub(centre) }
	}
}

// finite reports whether x is a number.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
