// Package vectors reckons with columns: a value a specimen on its way through an expression. In come
// columns of a frame, and numbers and texts as typed; out comes another such value, with its unit, what is
// missing and why, or a frame with a column of it. Units that do not fit are an error that names both.
package vectors

import (
	"context"
	"math"

	"breakbook/frames"
	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// Vector is one value a specimen on its way through an expression: numbers in a unit,
// or texts. It never changes. A value that is missing stays missing through
// everything; one that cannot be worked out (the logarithm of −1) is missing with a
// reason, which Impossible tells in the end.
type Vector struct {
	Unit    units.Unit
	numbers []float64 // one for all specimens, or one each; NaN where missing
	texts   []string  // the same for texts; nil for numbers
	gone    []bool    // texts that are missing; nil where none is
	why     []Reason  // for numbers: why one is missing, "" where it is not or was before; nil where nothing is

	typed  bool              // a number as typed, or worked out of such alone: it takes the unit of what it meets
	lnOf   *origin.Logarithm // of natural logarithms: of what; lost by whatever is worked out of them
	points bool              // percents that met a bare number in a sum: whatever they are multiplied by counts them
	digits int               // significant digits of the columns it comes from, the fewest; 0 for typed numbers
	zeros  float64           // of a temperature, how often its zero is in it: 1 in a temperature, 0 in a difference
}

// Reason is why a number cannot be worked out.
type Reason string

const (
	NotAboveZero   Reason = "a logarithm of zero or less"
	BelowZero      Reason = "a square root of less than zero"
	DividedByZero  Reason = "a division by zero"
	NoSuchPower    Reason = "a power that does not exist"
	TooLargeToHold Reason = "a number too large to hold"
)

// Amount is a number that was typed, the same for every specimen.
func Amount(x float64, u units.Unit) *Vector {
	v := &Vector{Unit: u, numbers: []float64{x}, typed: true}
	if warm(u) {
		v.zeros = 1
	}
	return v
}

// Words is a text that was typed, the same for every specimen.
func Words(text string) *Vector { return &Vector{texts: []string{text}} }

// WordsEach is a text for each specimen, in their order; an empty one is missing.
func WordsEach(texts []string) *Vector {
	v := &Vector{texts: texts}
	for row, text := range texts {
		if text == "" {
			if v.gone == nil {
				v.gone = make([]bool, len(texts))
			}
			v.gone[row] = true
		}
	}
	return v
}

// Of is a column's values: numbers, or the words of a category or text column. A
// name that is no column is an *Error with code "unknown-column"; it is ctx's own where that ends.
func Of(ctx context.Context, f *frames.Frame, column string) (_ *Vector, err error) {
	defer parallel.Catch(&err)
	parallel.Look(ctx)
	missing, err := f.MissingIn(column)
	if err != nil {
		return nil, err
	}
	c, _ := f.Column(column) // there, as what is missing in it was
	if c.Kind == frames.Number {
		numbers, err := f.Numbers(column)
		v := &Vector{Unit: c.Unit, numbers: numbers, lnOf: c.LnOf, digits: f.Digits(ctx, column)}
		if warm(c.Unit) && !c.Difference {
			v.zeros = 1
		}
		return v, err
	}
	v := &Vector{texts: make([]string, f.Len()), gone: missing}
	for row := range v.texts {
		parallel.LookAt(ctx, row)
		v.texts[row], _ = f.Cell(column, row)
	}
	return v, nil
}

// Logarithms is the vector, known to hold natural logarithms.
func (v *Vector) Logarithms(of origin.Logarithm) *Vector {
	next := *v
	next.lnOf = &of
	return &next
}

// IsText reports whether the values are texts.
func (v *Vector) IsText() bool { return v.texts != nil }

func warm(u units.Unit) bool { return u.Dimension() == "temperature" }

// length is how many values v holds: one for all specimens, or one each.
func (v *Vector) length() int { return max(len(v.numbers), len(v.texts)) }

func (v *Vector) number(row int) float64 {
	if len(v.numbers) == 1 {
		return v.numbers[0]
	}
	return v.numbers[row]
}

func (v *Vector) text(row int) (string, bool) {
	if len(v.texts) == 1 {
		row = 0
	}
	return v.texts[row], v.gone == nil || !v.gone[row]
}

func (v *Vector) reason(row int) Reason {
	switch {
	case v.why == nil:
		return ""
	case len(v.why) == 1:
		return v.why[0]
	}
	return v.why[row]
}

// each works out a vector number by number from others. Where one of them is missing
// so is the result, and a reason goes with it; else a result that is no number is
// missing for the reason that f gives, or because it is too large.
func each(f func(x []float64) (float64, Reason), of ...*Vector) *Vector {
	out := &Vector{numbers: make([]float64, 1), typed: true, digits: fewestDigits(of...)}
	for _, v := range of {
		if v.length() > 1 {
			out.numbers = make([]float64, v.length())
		}
		out.typed = out.typed && v.typed
	}
	x := make([]float64, len(of))
	for row := range out.numbers {
		missing, why := false, Reason("")
		for i, v := range of {
			x[i] = v.number(row)
			missing = missing || math.IsNaN(x[i])
			if why == "" {
				why = v.reason(row)
			}
		}
		y := math.NaN()
		if !missing {
			y, why = f(x)
			if y-y != 0 {
				y = math.NaN()
				if why == "" {
					why = TooLargeToHold
				}
			}
		}
		out.numbers[row] = y
		if why != "" {
			if out.why == nil {
				out.why = make([]Reason, len(out.numbers))
			}
			out.why[row] = why
		}
	}
	return out
}

// scaled is every number put through f, which loses none.
func (v *Vector) scaled(f func(float64) float64) *Vector {
	next := *v
	next.numbers, next.lnOf = make([]float64, len(v.numbers)), nil
	for i, x := range v.numbers {
		next.numbers[i] = f(x)
	}
	return &next
}

// in is the vector in another unit of the same dimension.
func (v *Vector) in(u units.Unit) (*Vector, error) {
	if v.Unit == u {
		return v, nil
	}
	change, err := units.To(v.Unit, u)
	if err != nil {
		return nil, err
	}
	shift := change.Apply(0)
	next := v.scaled(func(x float64) float64 {
		switch v.zeros {
		case 0:
			return change.ApplyDifference(x)
		case 1:
			return change.Apply(x)
		}
		return change.ApplyDifference(x) + v.zeros*shift
	})
	next.Unit = u
	return next, nil
}

// share is a percentage as a plain fraction; anything else is itself.
func (v *Vector) share() *Vector {
	if v.Unit.Dimension() != "percent" {
		return v
	}
	next := v.scaled(func(x float64) float64 { return x / 100 })
	next.Unit = units.Unit{}
	return next
}

// counted is percents that met a bare number as the plain number of them: in
// 1 + 0.03 * (moisture - 12) a moisture of 15 % is 3 more than 12.
func (v *Vector) counted() *Vector {
	if !v.points {
		return v
	}
	next := *v
	next.Unit, next.points = units.Unit{}, false
	return &next
}

// Bare reports whether v is a number that was typed without a unit, or worked out of such alone.
func (v *Vector) Bare() bool { return v.typed && !v.IsText() && v.Unit.None() }

func isShare(v *Vector) bool { return v.Unit.Dimension() == "percent" }

// numbersOnly refuses texts with an *Error of code "not-numbers".
func numbersOnly(of ...*Vector) error {
	for _, v := range of {
		if v.IsText() {
			return &frames.Error{Code: "not-numbers", Detail: "words cannot be reckoned with"}
		}
	}
	return nil
}

// meet brings vectors to one unit, the first that has one; a typed number without a
// unit takes it, also that of percents which are a column's. Another dimension, or a bare number
// against a unit, is a *units.Error that names both.
func meet(of ...*Vector) ([]*Vector, error) {
	if err := numbersOnly(of...); err != nil {
		return nil, err
	}
	lead := of[0]
	for _, v := range of {
		if lead.Bare() && !v.Bare() {
			lead = v
		}
	}
	out := make([]*Vector, len(of))
	for i, v := range of {
		if v.Bare() && !(isShare(lead) && lead.typed) {
			next := *v
			next.Unit, next.zeros = lead.Unit, 0
			if warm(lead.Unit) {
				next.zeros = 1
			}
			out[i] = &next
			continue
		}
		var err error
		if out[i], err = v.in(lead.Unit); err != nil {
			first, second := of[0], v
			if v == first {
				second = lead
			}
			_, err = units.To(first.Unit, second.Unit)
			return nil, err
		}
	}
	return out, nil
}

// fewestDigits is the least of how many significant digits vectors have; 0 is one that is exact.
func fewestDigits(of ...*Vector) int {
	fewest := 0
	for _, v := range of {
		if v.digits > 0 && (fewest == 0 || v.digits < fewest) {
			fewest = v.digits
		}
	}
	return fewest
}
