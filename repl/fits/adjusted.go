package fits

import (
	"math"

	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// Adjusted is the mean of each level of a fit, with the other factors held equal.
func Adjusted(k *session.Call, cmd *phrase.Adjusted) (*session.Outcome, error) {
	f, variable, m, fam, err := k.FactorOfFit(cmd.LevelsOfFit, false)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	if err := fam.AllPairs(k, m, conf); err != nil {
		return nil, err
	}
	k.Entry.Findings = []page.Sentence{fam.Lead()}
	u := f.Y.Unit()
	column := cmd.A.Column
	t := page.Table{ID: "means", Title: page.Say(f.Y.Name() + " by " + column + ", number columns at their mean, other categories averaged level by level"),
		Columns: []page.Column{{ID: column}, {ID: "mean", Unit: u}, {ID: "standard_error", Unit: u},
			{ID: "df", Label: "degrees of freedom", Style: page.DF}, {ID: "low", Unit: u}, {ID: "high", Unit: u}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " interval of the mean")}
	means := f.LevelEstimates(variable)
	for i, name := range fam.Names {
		e := means[i]
		lo, hi := session.IntervalOf(e, conf)
		t.Rows = append(t.Rows, []page.Cell{page.T(name), page.N(e.Value), page.N(e.SE), page.N(e.DF), page.N(lo), page.N(hi)})
	}
	k.Entry.Tables = []page.Table{t}
	if f.Y.Logged() {
		k.Entry.Tables = append(k.Entry.Tables, medianTable(f, column, fam.Names, means, conf))
	}
	return session.Answered(f.Sample, f.Y, f.Known(), fam.Answers()).Keeping(session.Result{Columns: f.Columns()}), nil
}

// medianTable gives the levels of a ln response as medians in the measure's own unit.
func medianTable(f *session.Fit, column string, names []string, means []linear.Estimate, conf float64) page.Table {
	u := f.Y.Column.Unit.String()
	t := page.Table{ID: "medians", Title: page.Say("Medians of " + f.Y.Column.Name),
		Columns: []page.Column{{ID: column}, {ID: "median", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u}}}
	for i, name := range names {
		lo, hi := session.IntervalOf(means[i], conf)
		t.Rows = append(t.Rows, []page.Cell{page.T(name), page.N(math.Exp(means[i].Value)), page.N(math.Exp(lo)), page.N(math.Exp(hi))})
	}
	return t
}
