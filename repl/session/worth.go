package session

import (
	"errors"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// WrongUnit is what is wrong with a size worth having for a measure that is in a unit: another
// dimension, or no unit, which leaves open whether it is a percentage.
func WrongUnit(a phrase.Amount, own units.Unit, measure string) *page.Problem {
	if own.None() || a.Percent {
		return nil
	}
	if p := MissingUnit(a, own.String()); p != nil {
		return p
	}
	u, ok := units.Parse(a.Unit)
	if !ok || units.SameDimension(u, own) {
		return nil
	}
	return page.Refuse(page.CodeWrongDimension, a.At,
		measure+" is in "+own.String()+", a unit of "+own.Dimension()+"; "+u.String()+" is a unit of "+u.Dimension(),
		"worth "+typedNumber(a)+" "+fits(u, own))
}

// fits is the unit that was probably meant by one that does not measure what own does: of a
// mass the force that it weighs, else own.
func fits(u, own units.Unit) string {
	if force := say.ForceOf(u.String()); force != "" && own.Dimension() == "force" {
		return force
	}
	return own.String()
}

// MissingUnit asks what a size without a unit is meant in.
func MissingUnit(a phrase.Amount, unit string) *page.Problem {
	if a.Percent || a.Unit != "" {
		return nil
	}
	x := typedNumber(a)
	return page.Refuse(page.CodeUnitNeeded, a.At, x+" %, or "+x+" "+unit+"?", "worth "+x+"% or worth "+x+" "+unit)
}

func typedNumber(a phrase.Amount) string { return strconv.FormatFloat(a.Value, 'g', -1, 64) }

func WorthFrom(a phrase.Amount) (Worth, error) {
	if a.Value <= 0 {
		return Worth{}, page.Refuse(page.CodeOutOfRange, a.At, "a size worth having is more than nothing", "worth 10%")
	}
	if a.Percent {
		return Worth{Share: a.Value}, nil
	}
	u, err := UnitOf(a)
	return Worth{Amount: a.Value, Unit: u.String()}, err
}

// WorthAsked is the clause's size worth having, else the session's.
func (k *Call) WorthAsked() (Worth, error) {
	if c := k.Command.Clauses(); c.Worth != nil && c.Per == nil {
		return WorthFrom(*c.Worth)
	}
	return k.Session.Settings().Worth, nil
}

func (k *Call) worthPlace() int {
	if a := k.Command.Clauses().Worth; a != nil {
		return a.At
	}
	return 0
}

// WorthIn is the amount worth having in the unit of what is compared.
func (k *Call) WorthIn(w Worth, unit string) (float64, error) {
	if a := k.Command.Clauses().Worth; a != nil {
		if own, ok := units.Parse(unit); ok {
			if p := WrongUnit(*a, own, "what is compared"); p != nil {
				return 0, p
			}
		}
	}
	v, err := InUnit(w.Amount, w.Unit, unit, k.worthPlace())
	var p *page.Problem
	if unit != "" && errors.As(err, &p) && k.Command.Clauses().Worth == nil { // it was said in another line
		p.Message, p.Hint = "the size worth having is in "+w.Unit+": "+p.Message, "worth 10%"
	}
	return v, err
}

// InUnit turns a difference from one unit into another; no unit means the other's.
func InUnit(x float64, from, to string, at int) (float64, error) {
	if from == "" || from == to {
		return x, nil
	}
	f, _ := units.Parse(from)
	t, ok := units.Parse(to)
	if !ok {
		return 0, page.Refuse(page.CodeWrongDimension, at,
			"the size worth having is in "+from+", but what is compared has no unit", "type worth and a plain number")
	}
	v, err := units.ConvertDifference(x, f, t)
	return v, WithPlace(err, at)
}

// MassAsForce cautions of a load that is said to be in a unit of mass.
func MassAsForce(c frames.Column, u units.Unit) []page.Sentence {
	named := strings.Contains(c.Name, "load") || strings.Contains(c.Name, "force")
	if u.Dimension() != "mass" || c.Role != frames.Load && !named {
		return nil
	}
	return []page.Sentence{page.Say(c.Name + " is now in " + u.String() + ", a mass and no load. If that is what the " +
		"gauge showed, " + say.AsForce(c.Name, u.String()))}
}
