package session

import (
	"context"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Where picks the rows of a frame for which a condition holds. A specimen whose cell
// is missing is never picked, nor by the opposite. The context is looked at before each part.
func Where(ctx context.Context, f *frames.Frame, c phrase.Condition) ([]bool, error) {
	parallel.Look(ctx)
	switch c := c.(type) {
	case phrase.And:
		return both(ctx, f, c.Left, c.Right, func(a, b bool) bool { return a && b })
	case phrase.Or:
		return both(ctx, f, c.Left, c.Right, func(a, b bool) bool { return a || b })
	case phrase.Not:
		return Negated(ctx, f, c.Inner)
	case phrase.Is:
		return whereIs(f, c)
	case phrase.Inequality:
		u, err := UnitOf(c.Value)
		if err != nil {
			return nil, err
		}
		m, err := f.Compare(c.Column.Column, c.Op, TypedValue(c.Value), u)
		return m, WithPlace(err, c.At)
	case phrase.Missing:
		m, err := f.MissingIn(c.Column.Column)
		if err != nil {
			return nil, WithPlace(err, c.At)
		}
		if c.Negate {
			m = flipped(m)
		}
		return m, nil
	}
	return nil, &page.Problem{Code: page.CodeCondition, Message: "this condition cannot be read"}
}

func both(ctx context.Context, f *frames.Frame, l, r phrase.Condition, join func(a, b bool) bool) ([]bool, error) {
	a, err := Where(ctx, f, l)
	if err != nil {
		return nil, err
	}
	b, err := Where(ctx, f, r)
	if err != nil {
		return nil, err
	}
	out := make([]bool, len(a))
	for i := range a {
		out[i] = join(a[i], b[i])
	}
	return out, nil
}

// Negated is a condition turned round: true where the inner one is known to be false.
func Negated(ctx context.Context, f *frames.Frame, c phrase.Condition) ([]bool, error) {
	switch c := c.(type) {
	case phrase.Not:
		return Where(ctx, f, c.Inner)
	case phrase.And:
		return Where(ctx, f, phrase.Or{Left: phrase.Not{Inner: c.Left, At: c.At},
			Right: phrase.Not{Inner: c.Right, At: c.At}, At: c.At})
	case phrase.Or:
		return Where(ctx, f, phrase.And{Left: phrase.Not{Inner: c.Left, At: c.At},
			Right: phrase.Not{Inner: c.Right, At: c.At}, At: c.At})
	case phrase.Is:
		c.Negate = !c.Negate
		return Where(ctx, f, c)
	case phrase.Missing:
		c.Negate = !c.Negate
		return Where(ctx, f, c)
	case phrase.Inequality:
		c.Op = map[string]string{"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[c.Op]
		return Where(ctx, f, c)
	}
	return nil, &page.Problem{Code: page.CodeCondition, Message: "this condition cannot be read"}
}

func whereIs(f *frames.Frame, c phrase.Is) ([]bool, error) {
	out := make([]bool, f.Len())
	var words []string
	for _, v := range c.Values {
		if v.Amount == nil {
			words = append(words, v.Text)
			continue
		}
		u, err := UnitOf(*v.Amount)
		if err != nil {
			return nil, err
		}
		m, err := f.IsNumber(c.Column.Column, []float64{TypedValue(*v.Amount)}, u)
		if err != nil {
			return nil, WithPlace(err, v.At)
		}
		out = either(out, m)
	}
	if len(words) > 0 {
		m, err := f.Is(c.Column.Column, words)
		if err != nil {
			return nil, WithPlace(err, c.At)
		}
		out = either(out, m)
	}
	if !c.Negate {
		return out, nil
	}
	missing, err := f.MissingIn(c.Column.Column)
	if err != nil {
		return nil, WithPlace(err, c.At)
	}
	for i := range out {
		out[i] = !out[i] && !missing[i]
	}
	return out, nil
}

func either(a, b []bool) []bool {
	for i := range a {
		a[i] = a[i] || b[i]
	}
	return a
}

func flipped(m []bool) []bool {
	out := make([]bool, len(m))
	for i := range m {
		out[i] = !m[i]
	}
	return out
}

// TypedValue is the number as it was typed: 10 % is 10 in the unit percent.
func TypedValue(a phrase.Amount) float64 {
	if a.Percent {
		return a.Value * 100
	}
	return a.Value
}

// UnitOf is the unit of an amount; none when it was typed without.
func UnitOf(a phrase.Amount) (units.Unit, error) {
	name := a.Unit
	if a.Percent {
		name = "percent"
	}
	if name == "" {
		return units.Unit{}, nil
	}
	u, ok := units.Parse(name)
	if !ok {
		return units.Unit{}, &page.Problem{Code: page.CodeUnknownUnit, Message: name + " is not a unit known here", At: a.At}
	}
	return u, nil
}

// WithPlace gives an error from below a place in the line.
func WithPlace(err error, at int) error {
	switch e := err.(type) {
	case nil:
		return nil
	case *frames.Error:
		return &page.Problem{Code: page.Code(e.Code), Message: e.Error(), Hint: e.Hint, At: at}
	case *units.Error:
		return &page.Problem{Code: page.CodeWrongDimension, Message: e.Error(), At: at}
	}
	return err
}
