package bench

import (
	"errors"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// heldSaid says that specimens that did not break take no part in what is asked of how they fail.
func heldSaid(n int) string { return say.Unbroken(n) + "left out" }

// heldCaution says so of a result, with the levels of which nothing is left.
func heldCaution(k *session.Call) []page.Sentence {
	a, s := k.Analysis, k.Analysis.Sample
	if len(s.Held) == 0 {
		return nil
	}
	t := &taking{ctx: k.Context, sample: s, factors: a.Columns}
	gone := t.gone(s.Rows, s.Held, []string{a.Response.Column.Name})
	return []page.Sentence{page.Say(heldSaid(len(s.Held))+".",
		page.If(len(gone) > 0, " Nothing is left of "+session.And(gone)+"."))}
}

// withHeldSaid says so in a problem; where one way of failing is left, which leaves nothing to compare, with the line
// that asks how often a joint holds.
func withHeldSaid(k *session.Call, err error) error {
	var p *page.Problem
	if !errors.As(k.Problem(err), &p) || k.Taken == nil || len(k.Taken.Held) == 0 || p.Code == page.CodeNoSpecimens {
		return err // the last says so itself
	}
	problem := *p
	problem.Message += " (" + heldSaid(len(k.Taken.Held)) + ")"
	if line := heldLine(k); line != "" && (p.Code == page.CodeOneMode || p.Code == page.CodeAllEqual) {
		problem.Hint = line
	}
	return &problem
}

// heldLine asks the question of a command about how often a joint holds; "" where that has no answer.
func heldLine(k *session.Call) string {
	holds := phrase.Is{Column: phrase.ColumnRef{Column: k.Taken.Needed[0]}}
	for _, level := range session.Unbroken(k.Taken.Whole, holds.Column.Column) {
		holds.Values = append(holds.Values, phrase.Value{Text: level})
	}
	c := k.Command.Copy()
	switch cmd := c.Do.(type) {
	case *phrase.Odds:
		cmd.Subject = phrase.OneMode{Mode: holds}
	case *phrase.DroveMode:
		cmd.Level = &phrase.LevelRef{Level: holds.Values[0].Text}
	case *phrase.ShareOut:
		of, _ := phrase.Part[phrase.Terms](c)
		cmd.Subject = phrase.ModeOnTerms{Mode: holds, Terms: of}
	}
	if _, err := carry(k.Quiet(k.Session, c, []bool{})); err != nil {
		return ""
	}
	return phrase.Line(c.Do)
}
