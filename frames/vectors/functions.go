package vectors

import (
	"math"

	"breakbook/frames"
	"breakbook/frames/functions"
	"breakbook/frames/units"
)

// Apply is a function of one value: ln, log10 (of the number in its unit), exp (of a
// plain number), sqrt, abs, round (to whole numbers of its unit, halves away from
// zero). Errors: *Error with code "not-numbers", "needs-plain-number" or
// "unknown-function", or that of units.Pow for a root that is no unit.
func Apply(function string, a *Vector) (*Vector, error) {
	if err := numbersOnly(a); err != nil {
		return nil, err
	}
	var f func(x float64) (float64, Reason)
	u, zeros, points := units.Unit{}, 0.0, false
	of, known := functions.Named(function)
	if !known || function == "" {
		return nil, &frames.Error{Code: "unknown-function", Word: function, Detail: "there is no function " + function}
	}
	switch function {
	case functions.Ln, functions.Log10:
		f = func(x float64) (float64, Reason) {
			if x <= 0 {
				return math.NaN(), NotAboveZero
			}
			return of(x), ""
		}
	case functions.Exp:
		if a = a.counted().share(); !a.Unit.None() {
			return nil, &frames.Error{Code: "needs-plain-number",
				Detail: "exp takes a plain number, and this one is in " + a.Unit.String(),
				Hint:   "divide it by 1 " + a.Unit.String() + " first"}
		}
		f = func(x float64) (float64, Reason) { return of(x), "" }
	case functions.Sqrt:
		a = a.counted().share()
		var err error
		if u, err = units.Pow(a.Unit, 0.5); err != nil {
			return nil, err
		}
		f = func(x float64) (float64, Reason) {
			if x < 0 {
				return math.NaN(), BelowZero
			}
			return of(x), ""
		}
	default: // abs and round: what comes out is what went in
		u, zeros, points = a.Unit, a.zeros, a.points
		f = func(x float64) (float64, Reason) { return of(x), "" }
	}
	out := each(func(x []float64) (float64, Reason) { return f(x[0]) }, a)
	out.Unit, out.zeros, out.points = u, zeros, points
	return out, nil
}

// Least and Most are the smallest and the largest of several values of each specimen,
// in the unit of the first; missing where one of them is. Errors as for Add.
func Least(of ...*Vector) (*Vector, error) { return extreme(math.Min, of) }

// Most is described at Least.
func Most(of ...*Vector) (*Vector, error) { return extreme(math.Max, of) }

func extreme(f func(a, b float64) float64, of []*Vector) (*Vector, error) {
	given := of
	of, err := alike(of...)
	if err != nil {
		return nil, err
	}
	out := each(func(x []float64) (float64, Reason) {
		y := x[0]
		for _, z := range x[1:] {
			y = f(y, z)
		}
		return y, ""
	}, of...)
	out.Unit, out.zeros, out.points = of[0].Unit, of[0].zeros, counting(given, of)
	return out, nil
}

// alike is meet for values that stand for one another: temperatures and differences of
// temperatures do not, but a typed one is either.
func alike(of ...*Vector) ([]*Vector, error) {
	of, err := meet(of...)
	if err != nil || !warm(of[0].Unit) {
		return of, err
	}
	zeros, settled := 1.0, false
	for i, v := range of {
		switch {
		case v.typed:
			continue
		case settled && v.zeros != zeros:
			return nil, &frames.Error{Code: "mixed-temperatures", Detail: "one of these is a temperature in " +
				v.Unit.String() + " and the other a difference of temperatures"}
		}
		zeros, settled = of[i].zeros, true
	}
	for i := range of {
		next := *of[i]
		next.zeros = zeros
		of[i] = &next
	}
	return of, nil
}

// Choose is a where the first mask is true, b where the second one is, and missing
// where neither is: where the condition cannot be told. Both are numbers, with errors
// as for Add, or both texts, else it is an *Error with code "words-and-numbers".
func Choose(holds, fails []bool, a, b *Vector) (*Vector, error) {
	if a.IsText() != b.IsText() {
		return nil, &frames.Error{Code: "words-and-numbers",
			Detail: "one of the two values is words and the other a number"}
	}
	if a.IsText() {
		out := &Vector{texts: make([]string, len(holds)), gone: make([]bool, len(holds))}
		for row := range holds {
			present := false
			switch {
			case holds[row]:
				out.texts[row], present = a.text(row)
			case fails[row]:
				out.texts[row], present = b.text(row)
			}
			out.gone[row] = !present
		}
		return out, nil
	}
	both, err := alike(a, b)
	if err != nil {
		return nil, err
	}
	points := counting([]*Vector{a, b}, both)
	a, b = both[0], both[1]
	out := &Vector{Unit: a.Unit, zeros: a.zeros, points: points, digits: fewestDigits(a, b),
		numbers: make([]float64, len(holds)), why: make([]Reason, len(holds))}
	for row := range holds {
		switch {
		case holds[row]:
			out.numbers[row], out.why[row] = a.number(row), a.reason(row)
		case fails[row]:
			out.numbers[row], out.why[row] = b.number(row), b.reason(row)
		default:
			out.numbers[row] = math.NaN()
		}
	}
	return out, nil
}
