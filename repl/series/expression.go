package series

import (
	"context"
	"errors"

	"breakbook/frames"
	"breakbook/frames/functions"
	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/frames/vectors"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// evaluator works out an expression for every specimen of a frame.
type evaluator struct {
	ctx   context.Context
	frame *frames.Frame
	notes []page.Sentence // in which unit a logarithm took its number
}

func (v *evaluator) of(e phrase.Expression) (*vectors.Vector, error) {
	parallel.Look(v.ctx)
	switch e := e.(type) {
	case phrase.Constant:
		u, err := session.UnitOf(e.Value)
		return vectors.Amount(e.Value.Value, u), err
	case phrase.Words:
		return vectors.Words(e.Text), nil
	case phrase.ColumnValue:
		x, err := vectors.Of(v.ctx, v.frame, e.Column.Column)
		return x, session.WithPlace(err, e.At)
	case phrase.Negative:
		x, err := v.of(e.Inner)
		if err != nil {
			return nil, err
		}
		x, err = vectors.Negate(x)
		return x, unfit(err, e)
	case phrase.Arithmetic:
		return v.arithmetic(e)
	case phrase.FunctionOf:
		return v.functionOf(e)
	case phrase.Choose:
		return v.choose(e)
	}
	return nil, page.Refuse(page.CodeExpression, 0, "this expression cannot be read", "")
}

func (v *evaluator) arithmetic(e phrase.Arithmetic) (*vectors.Vector, error) {
	first, err := v.of(e.Left)
	if err != nil {
		return nil, err
	}
	right, err := v.of(e.Right)
	if err != nil {
		return nil, err
	}
	do := map[string]func(a, b *vectors.Vector) (*vectors.Vector, error){
		"+": vectors.Add, "-": vectors.Subtract, "*": vectors.Multiply, "/": vectors.Divide, "^": vectors.Power}[e.Op]
	x, err := do(first, right)
	if err == nil && (e.Op == "+" || e.Op == "-") {
		v.takenAsPercent(x, []phrase.Expression{e.Left, e.Right}, first, right)
	}
	return x, unfit(err, e)
}

func (v *evaluator) functionOf(e phrase.FunctionOf) (*vectors.Vector, error) {
	args := make([]*vectors.Vector, len(e.Arguments))
	for i, a := range e.Arguments {
		var err error
		if args[i], err = v.of(a); err != nil {
			return nil, err
		}
	}
	var x *vectors.Vector
	var err error
	switch e.Function {
	case "smallest":
		if x, err = vectors.Least(args...); err == nil {
			v.takenAsPercent(x, e.Arguments, args...)
		}
	case "largest":
		if x, err = vectors.Most(args...); err == nil {
			v.takenAsPercent(x, e.Arguments, args...)
		}
	default:
		x, err = vectors.Apply(e.Function, args[0])
		if u := args[0].Unit; err == nil && !u.None() && (e.Function == functions.Ln || e.Function == functions.Log10) {
			v.notes = append(v.notes, page.Say(e.Function+" takes "+short(e.Arguments[0])+" as a number of ",
				page.Unit(u.String()), "."))
		}
		if err == nil && e.Function == functions.Ln {
			x = x.Logarithms(v.logarithm(e.Arguments[0], args[0].Unit))
		}
	}
	return x, unfit(err, e)
}

// logarithm is what a logarithm is of: a column by its label, anything else as it was typed.
func (v *evaluator) logarithm(of phrase.Expression, u units.Unit) origin.Logarithm {
	out := origin.Logarithm{Of: of.String(), Label: short(of), Unit: u}
	if named, ok := of.(phrase.ColumnValue); ok {
		c, _ := v.frame.Column(named.Column.Column) // the vector was read from it
		out.Of, out.Label = c.Name, c.Label
	}
	return out
}

func (v *evaluator) choose(e phrase.Choose) (*vectors.Vector, error) {
	holds, err := session.Where(v.ctx, v.frame, e.If)
	if err != nil {
		return nil, err
	}
	fails, err := session.Negated(v.ctx, v.frame, e.If)
	if err != nil {
		return nil, err
	}
	then, err := v.of(e.Then)
	if err != nil {
		return nil, err
	}
	other, err := v.of(e.Otherwise)
	if err != nil {
		return nil, err
	}
	x, err := vectors.Choose(holds, fails, then, other)
	if err == nil {
		v.takenAsPercent(x, []phrase.Expression{e.Then, e.Otherwise}, then, other)
	}
	return x, unfit(err, e)
}

// takenAsPercent says which bare numbers were taken as percents because they met some.
func (v *evaluator) takenAsPercent(met *vectors.Vector, typed []phrase.Expression, of ...*vectors.Vector) {
	if met.Unit.Dimension() != "percent" {
		return
	}
	for i, x := range of {
		if !x.Bare() {
			continue
		}
		with := short(typed[len(typed)-1-i])
		if len(typed) > 2 {
			with = "what stands beside it"
		}
		v.notes = append(v.notes, page.Say(short(typed[i])+" is taken in percent, as "+with+
			" is; in a product or a quotient, 3 % counts as the number 3."))
	}
}

// unfit says of which part of an expression an error is.
func unfit(err error, e phrase.Expression) error {
	if err == nil {
		return nil
	}
	p := page.Refuse(page.CodeWrongDimension, e.Place(), short(e)+": "+err.Error(), "")
	var fe *frames.Error
	var ue *units.Error
	switch {
	case errors.As(err, &fe):
		p.Code, p.Hint = page.Code(fe.Code), fe.Hint
	case errors.As(err, &ue) && (ue.A.None() || ue.B.None()) &&
		(ue.A.Dimension() == "percent" || ue.B.Dimension() == "percent"):
		p.Hint = "a whole is 100% here, not 1"
	}
	return p
}

// short is a part of an expression as it stands in a message.
func short(e phrase.Expression) string {
	const most = 60
	if text := []rune(e.String()); len(text) > most {
		return string(text[:most]) + "…"
	}
	return e.String()
}
