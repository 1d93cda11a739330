package vectors

import (
	"math"

	"breakbook/frames"
	"breakbook/frames/units"
)

// Add is a + b, in the unit of a. Values of different dimensions are a *units.Error
// naming both, texts an *Error with code "not-numbers". A typed temperature added to
// another is a difference: cure_temp + 5 degC.
func Add(a, b *Vector) (*Vector, error) {
	both, err := meetWhole(a, b)
	if err != nil {
		return nil, err
	}
	points := counting([]*Vector{a, b}, both)
	a, b = both[0], both[1]
	zeros := a.zeros + b.zeros
	if warm(a.Unit) && a.zeros == 1 && b.zeros == 1 && (a.typed != b.typed) {
		zeros = 1
	}
	out := sum(a, b, 1, zeros)
	out.points = points
	return out, nil
}

// Subtract is a − b, with the errors of Add. What is between two temperatures is a
// difference.
func Subtract(a, b *Vector) (*Vector, error) {
	both, err := meetWhole(a, b)
	if err != nil {
		return nil, err
	}
	points := counting([]*Vector{a, b}, both)
	a, b = both[0], both[1]
	out := sum(a, b, -1, a.zeros-b.zeros)
	out.points = points
	return out, nil
}

// meetWhole is meet, but that 1 + moisture and 1 - moisture stay an error: there 1 is as likely a
// whole as one percent.
func meetWhole(a, b *Vector) ([]*Vector, error) {
	if a.Bare() && len(a.numbers) == 1 && a.numbers[0] == 1 && isShare(b) && !b.points {
		_, err := units.To(a.Unit, b.Unit)
		return nil, err
	}
	return meet(a, b)
}

// counting reports whether percents among these met a bare number, here or before; both are
// what meet made of of.
func counting(of, met []*Vector) bool {
	for i, v := range of {
		if isShare(met[i]) && (v.points || v.Bare()) {
			return true
		}
	}
	return false
}

func sum(a, b *Vector, sign, zeros float64) *Vector {
	out := each(func(x []float64) (float64, Reason) { return x[0] + sign*x[1], "" }, a, b)
	out.Unit, out.zeros = a.Unit, zeros
	return out
}

// Negate turns the sign.
func Negate(a *Vector) (*Vector, error) {
	if err := numbersOnly(a); err != nil {
		return nil, err
	}
	out := a.scaled(func(x float64) float64 { return -x })
	out.zeros = -a.zeros
	return out, nil
}

// Multiply is a · b. Units multiply, those of the same thing brought to a's first: mm
// times cm is mm2. A percentage of something with a unit is a share of it. A
// temperature can only be multiplied by one plain number, a difference of
// temperatures by any; otherwise the error is that of units.Mul.
func Multiply(a, b *Vector) (*Vector, error) {
	if err := numbersOnly(a, b); err != nil {
		return nil, err
	}
	a, b = a.counted(), b.counted()
	switch {
	case isShare(a) && !b.Unit.None():
		a = a.share()
	case isShare(b) && !a.Unit.None():
		b = b.share()
	}
	times := func(x []float64) (float64, Reason) { return x[0] * x[1], "" }
	if warm(a.Unit) || warm(b.Unit) {
		if warm(b.Unit) && !warm(a.Unit) {
			a, b = b, a
		}
		if b.Unit.None() {
			return timesPlain(a, b, each(times, a, b), func(n float64) float64 { return n })
		}
	}
	b, err := b.in(units.Align(a.Unit, b.Unit))
	if err != nil {
		return nil, err
	}
	u, err := units.Mul(a.Unit, b.Unit)
	if err != nil {
		return nil, err
	}
	out := each(times, a, b)
	out.Unit = u
	return out, nil
}

// timesPlain settles the unit of a temperature multiplied by plain numbers: its zero
// must not differ from specimen to specimen.
func timesPlain(a, b, product *Vector, factor func(float64) float64) (*Vector, error) {
	if a.zeros != 0 && len(b.numbers) > 1 {
		return nil, &frames.Error{Code: "temperature-product",
			Detail: a.Unit.String() + " counts from a zero of its own and cannot be multiplied by what differs " +
				"between specimens",
			Hint: "take a temperature off it first"}
	}
	product.Unit = a.Unit
	if a.zeros != 0 {
		product.zeros = a.zeros * factor(b.numbers[0])
	}
	return product, nil
}

// Divide is a / b, with units and errors as for Multiply. A division by zero is
// missing with its reason. Differences of temperatures divide to a plain number.
func Divide(a, b *Vector) (*Vector, error) {
	if err := numbersOnly(a, b); err != nil {
		return nil, err
	}
	over := func(x []float64) (float64, Reason) {
		if x[1] == 0 {
			return math.NaN(), DividedByZero
		}
		return x[0] / x[1], ""
	}
	if !isShare(a) || !isShare(b) { // of two percents it is their ratio
		a, b = a.counted(), b.counted()
	}
	switch {
	case isShare(a) && !b.Unit.None() && !isShare(b):
		a = a.share()
	case isShare(b) && !isShare(a):
		b = b.share()
	}
	switch {
	case warm(a.Unit) && b.Unit.None():
		return timesPlain(a, b, each(over, a, b), func(n float64) float64 { return 1 / n })
	case warm(a.Unit) && warm(b.Unit) && a.zeros == 0 && (b.zeros == 0 || b.typed):
		step := *b
		step.zeros = 0
		b, err := step.in(a.Unit)
		if err != nil {
			return nil, err
		}
		return each(over, a, b), nil
	}
	b, err := b.in(units.Align(a.Unit, b.Unit))
	if err != nil {
		return nil, err
	}
	u, err := units.Div(a.Unit, b.Unit)
	if err != nil {
		return nil, err
	}
	out := each(over, a, b)
	out.Unit = u
	return out, nil
}

// Power is a to the power of b. b has no unit, and is the same for every specimen
// where a has one; else it is an *Error with code "power-with-unit" or
// "power-of-unit", or that of units.Pow.
func Power(a, b *Vector) (*Vector, error) {
	if err := numbersOnly(a, b); err != nil {
		return nil, err
	}
	a, b = a.counted().share(), b.counted().share()
	if !b.Unit.None() {
		return nil, &frames.Error{Code: "power-with-unit",
			Detail: "a power is a plain number, and this one is in " + b.Unit.String()}
	}
	u := a.Unit
	if !u.None() {
		if len(b.numbers) > 1 {
			return nil, &frames.Error{Code: "power-of-unit",
				Detail: "a value in " + u.String() + " can only be raised to one power for all specimens"}
		}
		var err error
		if u, err = units.Pow(u, b.numbers[0]); err != nil {
			return nil, err
		}
	}
	out := each(func(x []float64) (float64, Reason) {
		y := math.Pow(x[0], x[1])
		switch {
		case x[0] == 0 && x[1] < 0:
			return math.NaN(), DividedByZero
		case math.IsNaN(y):
			return y, NoSuchPower
		}
		return y, ""
	}, a, b)
	if out.Unit = u; warm(u) {
		out.zeros = a.zeros
	}
	return out, nil
}
