package fitted

import (
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// TakenAsNumber refuses to ask a fit about the levels of a column that it took as a number, with the lines that fit it
// on its levels and ask that; nil where it has its levels, or not the column.
func (f *Fit) TakenAsNumber(k *session.Call, ref phrase.ColumnRef, name string) error {
	variable := slices.Index(f.Columns(), ref.Column)
	if variable < 0 || f.Model().Variables[variable].IsCategory() {
		return nil
	}
	p := page.Refuse(page.CodeNotInFit, ref.At, name+" took "+ref.Column+" as a number, so it has no levels there",
		"fit it again on the levels of "+ref.Column)
	fit, ok := f.Command.Copy().Do.(*phrase.Fit)
	asked := k.Command.Copy()
	as := phrase.Name{Text: name + "_levels"}
	for k.Session.NameTaken(as.Text) {
		as.Text += "_2"
	}
	if !ok || !onFit(asked, as) {
		return p
	}
	fit.As = &as
	for i, t := range fit.Terms.List {
		for j, factor := range t.Factors {
			if factor.Column.Column == ref.Column {
				t.Factors[j] = phrase.TermOf(ref.Column).Factors[0]
				fit.Terms.List[i].Curved = false
			}
		}
	}
	p.Hint = phrase.Try(strings.Join([]string{phrase.Line(fit), phrase.Line(asked.Do)}, "; "))
	return p
}

// onFit makes a command about levels of a fit ask another one; false for any other command.
func onFit(c *phrase.Command, fit phrase.Name) bool {
	switch cmd := c.Do.(type) {
	case *phrase.Compare:
		of, ok := cmd.Subject.(phrase.LevelsOfFit)
		if of.Fit = fit; ok {
			cmd.Subject = of
		}
		return ok
	case *phrase.Plan:
		of, ok := cmd.Subject.(phrase.PlanMeans)
		if of.Fit = &fit; ok {
			cmd.Subject = of
		}
		return ok
	case *phrase.Adjusted:
		cmd.Fit = fit
	case *phrase.DrawAdjusted:
		cmd.Fit = fit
	default:
		return false
	}
	return true
}
