package bench

import (
	"errors"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// unbrokenSaid says that specimens that did not break take no part in what is asked of how they fail.
func unbrokenSaid(n int) string { return say.Unbroken(n) + "left out" }

// unbrokenCaution says so of a result, with the levels of which nothing is left.
func unbrokenCaution(k *session.Call) []page.Sentence {
	a, s := k.Analysis, k.Analysis.Sample
	if len(s.Unbroken) == 0 {
		return nil
	}
	t := &taking{ctx: k.Context, sample: s, factors: a.Columns}
	gone := t.gone(s.Rows, s.Unbroken, []string{a.Response.Column.Name})
	return []page.Sentence{page.Say(unbrokenSaid(len(s.Unbroken))+".",
		page.If(len(gone) > 0, " Nothing is left of "+session.And(gone)+"."))}
}

// withUnbrokenSaid says so in a problem; where one way of failing is left, which leaves nothing to compare, with the
// line that asks how often a joint holds.
func withUnbrokenSaid(k *session.Call, err error) error {
	var p *page.Problem
	if !errors.As(k.Problem(err), &p) || k.Taken == nil || len(k.Taken.Unbroken) == 0 ||
		p.Code == page.CodeNoSpecimens {
		return err // the last says so itself
	}
	problem := *p
	problem.Message += " (" + unbrokenSaid(len(k.Taken.Unbroken)) + ")"
	if line := unbrokenLine(k); line != "" && (p.Code == page.CodeOneMode || p.Code == page.CodeAllEqual) {
		problem.Hint = line
	}
	return &problem
}

// unbrokenLine asks the question of a command about how often a joint holds; "" where that has no answer.
func unbrokenLine(k *session.Call) string {
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
