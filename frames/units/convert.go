package units

import (
	"math"
	"math/big"
)

// Change turns values from one unit into another: y = (x·times + plus) / over,
// with whole numbers wherever the factor is a fraction of whole numbers that
// a float64 holds. Make one with To and apply it to a whole column.
type Change struct{ times, plus, over float64 }

// To is the change from one unit to another. Another dimension is an *Error
// naming both; so is a bare number against any unit.
func To(from, to Unit) (Change, error) {
	if from == to {
		return Change{1, 0, 1}, nil
	}
	if !SameDimension(from, to) {
		return Change{}, &Error{A: from, B: to}
	}
	a, za := from.factors().si()
	b, zb := to.factors().si()
	ratio := new(big.Rat).Quo(a, b)
	plus := new(big.Rat).Sub(new(big.Rat).Mul(za, ratio), zb)
	over := new(big.Int).Mul(ratio.Denom(), plus.Denom())
	over.Div(over, new(big.Int).GCD(nil, nil, ratio.Denom(), plus.Denom()))
	whole := new(big.Rat).SetInt(over)
	c := Change{}
	c.times, _ = ratio.Mul(ratio, whole).Float64()
	c.plus, _ = plus.Mul(plus, whole).Float64()
	c.over, _ = whole.Float64()
	return c, nil
}

// si is how many SI units the product is, and, for a temperature, what is added
// to a value before that factor (0 otherwise).
func (fs factors) si() (scale, zero *big.Rat) {
	scale, zero = big.NewRat(1, 1), new(big.Rat)
	for _, f := range fs {
		for range max(f.power, -f.power) {
			if f.power > 0 {
				scale.Mul(scale, f.atom.scale)
			} else {
				scale.Quo(scale, f.atom.scale)
			}
		}
		if f.atom.zero != nil {
			zero = f.atom.zero
		}
	}
	return scale, zero
}

// Apply turns one value. Multiplying by a whole number first lets a short decimal
// come out as one: 9.80665 N is 1 kgf. NaN and infinities pass through.
func (c Change) Apply(x float64) float64 {
	return c.apply(x, c.plus)
}

// ApplyDifference turns a difference of two values: no shift of the zero.
func (c Change) ApplyDifference(x float64) float64 {
	return c.apply(x, 0)
}

func (c Change) apply(x, plus float64) float64 {
	if c == (Change{1, 0, 1}) {
		return x
	}
	return (x*c.times + plus) / c.over
}

// Convert turns a value in from into to. Another dimension is an *Error naming
// both. 1 kgf is 9.80665 N, 15 degC is 59 degF.
func Convert(x float64, from, to Unit) (float64, error) {
	c, err := To(from, to)
	if err != nil {
		return math.NaN(), err
	}
	return c.Apply(x), nil
}

// ConvertDifference turns a difference of two values in from into to: for
// temperatures without the shift of the zero, so that 10 degC are 18 degF.
func ConvertDifference(x float64, from, to Unit) (float64, error) {
	c, err := To(from, to)
	if err != nil {
		return math.NaN(), err
	}
	return c.ApplyDifference(x), nil
}
