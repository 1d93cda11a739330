package session

import (
	"context"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/lists"
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
		out := lists.Mapped(m, func(gone bool) bool { return gone != c.Negate })
		return out, WithPlace(err, c.At)
	}
	return nil, unreadable()
}

func unreadable() *page.Problem {
	return page.Refuse(page.CodeCondition, 0, "this condition cannot be read", "")
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
	return lists.Made(len(a), func(i int) bool { return join(a[i], b[i]) }), nil
}

// Negated is a condition turned round: true where the inner one is known to be false.
func Negated(ctx context.Context, f *frames.Frame, c phrase.Condition) ([]bool, error) {
	not := func(c phrase.Condition, at int) phrase.Condition { return phrase.Not{Inner: c, At: at} }
	switch of := c.(type) {
	case phrase.Not:
		c = of.Inner
	case phrase.And:
		c = phrase.Or{Left: not(of.Left, of.At), Right: not(of.Right, of.At), At: of.At}
	case phrase.Or:
		c = phrase.And{Left: not(of.Left, of.At), Right: not(of.Right, of.At), At: of.At}
	case phrase.Is:
		of.Negate = !of.Negate
		c = of
	case phrase.Missing:
		of.Negate = !of.Negate
		c = of
	case phrase.Inequality:
		of.Op = map[string]string{"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[of.Op]
		c = of
	default:
		return nil, unreadable()
	}
	return Where(ctx, f, c)
}

func whereIs(f *frames.Frame, c phrase.Is) ([]bool, error) {
	out := make([]bool, f.Len())
	add := func(m []bool) {
		for i := range m {
			out[i] = out[i] || m[i]
		}
	}
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
		add(m)
	}
	if len(words) > 0 {
		m, err := f.Is(c.Column.Column, words)
		if err != nil {
			return nil, WithPlace(err, c.At)
		}
		add(m)
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
		return units.Unit{}, page.Refuse(page.CodeUnknownUnit, a.At, name+" is not a unit known here", "")
	}
	return u, nil
}

// WithPlace gives an error from below a place in the line.
func WithPlace(err error, at int) error {
	switch e := err.(type) {
	case nil:
		return nil
	case *frames.Error:
		return page.Refuse(page.Code(e.Code), at, e.Error(), e.Hint)
	case *units.Error:
		return page.Refuse(page.CodeWrongDimension, at, e.Error(), "")
	}
	return err
}
