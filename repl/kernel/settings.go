package kernel

import (
	"errors"

	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// ranges sets how sure a range is meant to be.
func ranges(k *call, cmd *phrase.SetConfidence) (*Session, error) {
	a := cmd.Level
	if a.Value < 0.5 || a.Value >= 1 {
		return nil, &page.Problem{Code: "out-of-range", Message: "a range can be 50 % to 99.99 % sure", At: a.At, Hint: "ranges 95%"}
	}
	n := k.s.clone()
	n.settings.Confidence = a.Value
	k.e.Findings = []page.Sentence{page.Say("Ranges are now ", page.Num{Value: a.Value, Style: page.Fraction}, " ranges.")}
	return n, nil
}

// worth sets the smallest difference that matters.
func worth(k *call, cmd *phrase.SetWorth) (*Session, error) {
	w, err := worthFrom(cmd.Amount)
	if err != nil {
		return nil, err
	}
	n := k.s.clone()
	n.settings.Worth = w
	said := page.Say(page.Num{Value: w.Share, Style: page.Fraction}, " of the baseline mean")
	if w.Amount > 0 {
		said = page.Say(page.Num{Value: w.Amount, Unit: w.Unit})
	}
	k.e.Findings = []page.Sentence{append(append(page.Say("The smallest difference worth having is now "), said...), page.Word("."))}
	return n, nil
}

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
	return k.s.settings.Worth, nil
}

func (k *call) worthPlace() int {
	if a := k.c.Clauses().Worth; a != nil {
		return a.At
	}
	return 0
}

// worthIn is the amount worth having in the unit of what is compared.
func (k *call) worthIn(w Worth, unit string) (float64, error) {
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

// seed sets the start of every random draw.
func seed(k *call, cmd *phrase.SetSeed) (*Session, error) {
	c := cmd.N
	n := k.s.clone()
	n.settings.Seed = uint64(c.Value)
	k.e.Findings = []page.Sentence{page.Say("Random draws now start from ", c.Value, ".")}
	return n, nil
}

// digits sets how many significant digits the screen shows.
func digits(k *call, cmd *phrase.SetDigits) (*Session, error) {
	c := cmd.N
	if c.Value < 2 || c.Value > 15 {
		return nil, &page.Problem{Code: "out-of-range", Message: "the screen can show 2 to 15 digits", At: c.At, Hint: "digits 4"}
	}
	n := k.s.clone()
	n.settings.Digits = c.Value
	k.e.Findings = []page.Sentence{page.Say("Numbers are now shown to ", c.Value, " digits; nothing is rounded underneath.")}
	return n, nil
}
