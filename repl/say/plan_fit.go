package say

import "breakbook/repl/page"

// PlanWithout is a plan with the spread that the levels alone leave, beside that with a fit's.
type PlanWithout struct {
	Fit, Unit    string
	Residual, SD float64 // what the fit leaves, and what the levels alone do
	PerLevel, N  int     // 0: more than a workshop can make
}

// Sentence tells what the fit saves, and why.
func (p PlanWithout) Sentence() page.Sentence {
	s := page.Say("That is with the spread that "+p.Fit+" leaves, ", page.Difference(p.Residual, p.Unit),
		"; with what its other terms explain counted as scatter it is ", page.Difference(p.SD, p.Unit), ", and ")
	if p.PerLevel == 0 {
		return append(s, page.Word("more would be needed than a workshop can make."))
	}
	return append(s, page.Say(p.PerLevel, " of each, ", p.N, " in all, would be needed. It holds as long as the next "+
		"series is measured for these terms and fitted alike.")...)
}

// WouldSay is what a series of so many specimens would say about a pair of levels.
type WouldSay struct {
	PerLevel            int
	Worth               Worth
	Half                float64 // expected half of the interval
	Unit                string
	Logged              bool
	AtNone, AtWorth     float64 // the chance to say so of no difference, and of one that is worth having
	There               int     // specimens of each that there are; 0: none to take together
	BothNone, BothWorth float64 // those of all of them
}

// Sentences tell what it would show of a difference worth having and of none.
func (w WouldSay) Sentences() []page.Sentence {
	unit, logged := w.Unit, ""
	if w.Logged {
		unit, logged = "", " on the logarithm"
	}
	out := []page.Sentence{page.Say(w.PerLevel, " of each would tell a difference to about ",
		page.Difference(w.Half, unit),
		" either way"+logged+". A true one of ", page.In(w.Worth.Value, w.Worth.Unit), " would be seen in ",
		page.Share(w.AtWorth), " of such series; where there is none, ", page.Share(w.AtNone),
		" would say that none is worth having.")}
	if w.There > 0 {
		out = append(out, page.Say("Taken as one series with the ", w.There, " of each that there are: ",
			page.Share(w.BothWorth), " and ", page.Share(w.BothNone), "."))
	}
	return out
}
