package fits

import (
	"math"

	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// meanRow is one level of a fit, with the other factors held equal as the others.
type meanRow struct {
	A    string  `id:"{a}"`
	N    float64 `id:"n" style:"count"`
	Mean float64 `id:"mean" unit:"{y}"`
	Low  float64 `id:"low" unit:"{y}"`
	High float64 `id:"high" unit:"{y}"`
	SE   float64 `id:"standard_error" unit:"{y}"`
	DF   float64 `id:"df" label:"degrees of freedom" style:"df"`
}

// medianRow is one level of a fit of logarithms, taken back from them.
type medianRow struct {
	A      string  `id:"{a}"`
	Median float64 `id:"median" unit:"{y}"`
	Low    float64 `id:"low" unit:"{y}"`
	High   float64 `id:"high" unit:"{y}"`
}

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
	column := cmd.A.Column
	means := f.LevelEstimates(variable)
	var rows []meanRow
	for i, name := range fam.Names {
		e := means[i]
		lo, hi := session.IntervalOf(e, conf)
		rows = append(rows, meanRow{name, m.N[i], e.Value, lo, hi, e.SE, e.DF})
	}
	t := page.Filled(page.Table{ID: "means",
		Title: page.Say(f.Y.Name() + " by " + column + ", number columns at their mean, other categories averaged " +
			"level by level"),
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " interval of the mean")},
		rows, page.Names{"y": f.Y.Unit(), "a": column})
	k.Entry.Tables = []page.Table{t}
	if f.Y.Logged() {
		k.Entry.Tables = append(k.Entry.Tables, medianTable(f, column, fam.Names, means, conf))
	}
	return session.Answered(f.Sample, f.Y, f.Known(), fam.Answers()).Keeping(session.Result{Columns: f.Columns()}), nil
}

// medianTable gives the levels of a ln response as medians in the measure's own unit.
func medianTable(f *session.Fit, column string, names []string, means []linear.Estimate, conf float64) page.Table {
	var rows []medianRow
	for i, name := range names {
		lo, hi := session.IntervalOf(means[i], conf)
		rows = append(rows, medianRow{name, math.Exp(means[i].Value), math.Exp(lo), math.Exp(hi)})
	}
	return page.Filled(page.Table{ID: "medians", Title: page.Say("Medians of " + f.Y.Medians().Name)},
		rows, page.Names{"y": f.Y.Medians().Unit.String(), "a": column})
}
