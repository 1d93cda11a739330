// Package origin holds what a column remembers of how it was worked out, as data: what it is the
// logarithm of, and what brought it to reference conditions.
package origin

import (
	"math"
	"slices"

	"breakbook/frames/units"
)

// Logarithm is what a column of natural logarithms was made of, so that its differences are
// ratios and its levels medians.
type Logarithm struct {
	Of    string     // a column's plain name, or an expression
	Label string     // how it is called in a sentence
	Unit  units.Unit // whose number was taken
}

// LnShift is what is added to the logarithm of a number in one unit to have that of the
// number in another.
func LnShift(from, to units.Unit) (float64, error) {
	if from == to {
		return 0, nil
	}
	change, err := units.To(from, to)
	if err == nil && change.Apply(0) != 0 {
		err = &units.Error{A: from, B: to}
	}
	if err != nil {
		return 0, err
	}
	return math.Log(change.Apply(1)), nil
}

// Adjustment is what a column that was brought to reference conditions was made of.
type Adjustment struct {
	Of string      `json:"of"` // the column's plain name
	To []Reference `json:"to"`
}

// Reference is one column that others were brought to a value of.
type Reference struct {
	Column string  `json:"column"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit,omitempty"` // of the value, as units.Parse reads it
	Curved bool    `json:"curved,omitempty"`
	Exact  bool    `json:"exact,omitempty"` // its slope cannot be fitted again beside a comparison: it was given, say
}

// Renamed is the adjustment with another name for a column; nil stays nil.
func (a *Adjustment) Renamed(was, name string) *Adjustment {
	if a == nil {
		return nil
	}
	next := &Adjustment{Of: a.Of, To: slices.Clone(a.To)}
	if a.Of == was {
		next.Of = name
	}
	for i := range next.To {
		if next.To[i].Column == was {
			next.To[i].Column = name
		}
	}
	return next
}

// Relabelled is the adjustment where the numbers of a column in one unit turn out to be in another;
// nil stays nil.
func (a *Adjustment) Relabelled(column, was, unit string) *Adjustment {
	next := a.Renamed("", "")
	if next != nil {
		for i, r := range next.To {
			if r.Column == column && r.Unit == was {
				next.To[i].Unit = unit
			}
		}
	}
	return next
}

// Further is the adjustment of a column that is brought to more conditions; of one that was measured so (nil) it is
// the first.
func (a *Adjustment) Further(of string, to []Reference) *Adjustment {
	next := &Adjustment{Of: of}
	if a != nil {
		next.Of = a.Of
		for _, r := range a.To {
			if !slices.ContainsFunc(to, func(n Reference) bool { return n.Column == r.Column }) {
				next.To = append(next.To, r)
			}
		}
	}
	next.To = append(next.To, to...)
	return next
}

// And is the adjustment of a column that is put together with another of the same name: what
// both were brought to alike; of what they were not, no slope can be fitted again.
func (a *Adjustment) And(b *Adjustment) *Adjustment {
	if a == nil {
		a, b = b, nil
	}
	if a == nil || b != nil && a.Of == b.Of && slices.Equal(a.To, b.To) {
		return a
	}
	next := &Adjustment{Of: a.Of, To: slices.Clone(a.To)}
	for i := range next.To {
		next.To[i].Exact = true
	}
	return next
}
