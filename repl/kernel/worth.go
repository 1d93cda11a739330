package kernel

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

// worth sets the smallest difference that matters.
func worth(k *call, cmd *phrase.SetWorth) (*outcome, error) {
	a := cmd.Amount
	w, err := worthFrom(a)
	if err != nil {
		return nil, err
	}
	if f, open := k.s.frame(k.s.Current()); open {
		if load, marked := f.RoleColumn(frames.Load); marked && load.Kind == frames.Number {
			if p := misfit(a, load.Unit, load.Name+" of "+k.s.Current()); p != nil {
				return nil, p
			}
		}
	} else if p := bare(a, "N"); p != nil {
		return nil, p
	}
	n := k.s.with(func(s *Settings) { s.Worth = w })
	said := page.Say(page.Num{Value: w.Share, Style: page.Fraction}, " of the baseline mean")
	if w.Amount > 0 {
		said = page.Say(page.Num{Value: w.Amount, Unit: w.Unit})
	}
	k.e.Findings = []page.Sentence{append(append(page.Say("The smallest difference worth having is now "), said...), page.Word("."))}
	return becomes(n), nil
}

// misfit is what is wrong with a size worth having for a measure that is in a unit: another
// dimension, or no unit, which leaves open whether it is a percentage.
func misfit(a phrase.Amount, own units.Unit, measure string) *page.Problem {
	if own.None() || a.Percent {
		return nil
	}
	if p := bare(a, own.String()); p != nil {
		return p
	}
	u, ok := units.Parse(a.Unit)
	if !ok || units.SameDimension(u, own) {
		return nil
	}
	return &page.Problem{Code: "wrong-dimension", At: a.At, Hint: "worth " + typedNumber(a) + " " + fits(u, own),
		Message: measure + " is in " + own.String() + ", a unit of " + own.Dimension() + "; " + u.String() + " is a unit of " + u.Dimension()}
}

// fits is the unit that was probably meant by one that does not measure what own does: of a
// mass the force that it weighs, else own.
func fits(u, own units.Unit) string {
	if force := say.ForceOf(u.String()); force != "" && own.Dimension() == "force" {
		return force
	}
	return own.String()
}

// bare asks what a size without a unit is meant in.
func bare(a phrase.Amount, unit string) *page.Problem {
	if a.Percent || a.Unit != "" {
		return nil
	}
	x := typedNumber(a)
	return &page.Problem{Code: "unit-needed", At: a.At, Message: x + " %, or " + x + " " + unit + "?",
		Hint: "worth " + x + "% or worth " + x + " " + unit}
}

func typedNumber(a phrase.Amount) string { return strconv.FormatFloat(a.Value, 'g', -1, 64) }

func worthFrom(a phrase.Amount) (Worth, error) {
	if a.Value <= 0 {
		return Worth{}, &page.Problem{Code: "out-of-range", Message: "a size worth having is more than nothing", At: a.At, Hint: "worth 10%"}
	}
	if a.Percent {
		return Worth{Share: a.Value}, nil
	}
	u, err := unitOf(a)
	return Worth{Amount: a.Value, Unit: u.String()}, err
}

// worthAsked is the clause's size worth having, else the session's.
func (k *call) worthAsked() (Worth, error) {
	if a := k.c.Clauses().Worth; a != nil {
		return worthFrom(*a)
	}
	return k.s.Settings().Worth, nil
}

func (k *call) worthPlace() int {
	if a := k.c.Clauses().Worth; a != nil {
		return a.At
	}
	return 0
}

// worthIn is the amount worth having in the unit of what is compared.
func (k *call) worthIn(w Worth, unit string) (float64, error) {
	if a := k.c.Clauses().Worth; a != nil {
		if own, ok := units.Parse(unit); ok {
			if p := misfit(*a, own, "what is compared"); p != nil {
				return 0, p
			}
		}
	}
	v, err := inUnit(w.Amount, w.Unit, unit, k.worthPlace())
	var p *page.Problem
	if unit != "" && errors.As(err, &p) && k.c.Clauses().Worth == nil { // it was said in another line
		p.Message, p.Hint = "the size worth having is in "+w.Unit+": "+p.Message, "worth 10%"
	}
	return v, err
}

// inUnit turns a difference from one unit into another; no unit means the other's.
func inUnit(x float64, from, to string, at int) (float64, error) {
	if from == "" || from == to {
		return x, nil
	}
	f, _ := units.Parse(from)
	t, ok := units.Parse(to)
	if !ok {
		return 0, &page.Problem{Code: "wrong-dimension", At: at,
			Message: "the size worth having is in " + from + ", but what is compared has no unit", Hint: "type worth and a plain number"}
	}
	v, err := units.ConvertDifference(x, f, t)
	return v, placed(err, at)
}

// massAsForce cautions of a load that is said to be in a unit of mass.
func massAsForce(c frames.Column, u units.Unit) []page.Sentence {
	named := strings.Contains(c.Name, "load") || strings.Contains(c.Name, "force")
	if u.Dimension() != "mass" || c.Role != frames.Load && !named {
		return nil
	}
	return []page.Sentence{say.MassAsForce(c.Name, u.String())}
}
