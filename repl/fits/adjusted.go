package fits

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// withinColumn is the setting of the factors that the levels are combined with.
type withinColumn struct {
	Within string `id:"within"`
}

// meanRow is one level of a fit, with the other factors held equal as the others.
type meanRow struct {
	*withinColumn
	A    string  `id:"{a}"`
	N    float64 `id:"n" style:"count"`
	Mean float64 `id:"mean" unit:"{y}"`
	Low  float64 `id:"low" unit:"{y}"`
	High float64 `id:"high" unit:"{y}"`
	SE   float64 `id:"standard_error" unit:"{y}" difference:"yes"`
	DF   float64 `id:"df" label:"degrees of freedom" style:"df"`
}

// medianRow is one level of a fit of logarithms, taken back from them.
type medianRow struct {
	*withinColumn
	A      string  `id:"{a}"`
	Median float64 `id:"median" unit:"{y}"`
	Low    float64 `id:"low" unit:"{y}"`
	High   float64 `id:"high" unit:"{y}"`
}

// Adjusted is the mean of each level of a fit, with the other factors held equal.
func Adjusted(k *session.Call, cmd *phrase.Adjusted) (*session.Outcome, error) {
	l, err := fitted.FactorOf(k, cmd.LevelsOfFit, false, cmd.Given)
	if err != nil {
		return nil, err
	}
	f, fam := l.Fit, l.Family
	conf := k.Confidence()
	if err := fam.AllPairs(k, l.Means, conf); err != nil {
		return nil, err
	}
	k.Entry.Findings = fam.Leads()
	column := cmd.A.Column
	var rows []meanRow
	for i, name := range fam.Names {
		e := l.Levels[i].Estimate
		lo, hi := session.IntervalOf(e, conf)
		rows = append(rows, meanRow{withinOf(fam, i), name, l.Means.N[i], e.Value, lo, hi, e.SE, e.DF})
	}
	t := page.Filled(page.Table{ID: "means", Title: page.Say(f.Y.Name()+" by "+column, heldAt(l.Given),
		fam.Partners.Title()), Note: page.Say("low and high: ", page.Share(conf), " interval of the mean")}, rows,
		page.Names{"y": f.Y.Unit(), "a": column})
	k.Entry.Tables = []page.Table{t}
	if f.Y.Logged() { // which a screen shows first
		k.Entry.Tables = []page.Table{medianTable(l, column, conf), t}
	}
	return session.Tested(f.Sample, f.Y, f.Known(), fam.Answers()).Keeping(session.Result{Columns: f.Columns()}), nil
}

// heldAt says where the other columns are held.
func heldAt(given page.Sentence) page.Sentence {
	others := "number columns at their mean, other categories averaged level by level"
	if given == nil {
		return page.Say(", " + others)
	}
	return page.Say(", given ", given, ", other "+others)
}

// withinOf is the setting of one of a family's levels; nil where there is none.
func withinOf(f *fitted.Family, i int) *withinColumn {
	if within := f.WithinAt(i); within != "" {
		return &withinColumn{within}
	}
	return nil
}

// medianTable gives the levels of a ln response as medians in the measure's own unit.
func medianTable(l *fitted.Levels, column string, conf float64) page.Table {
	y := l.Fit.Y
	var rows []medianRow
	for i, name := range l.Family.Names {
		e := l.Levels[i].Estimate
		lo, hi := session.IntervalOf(e, conf)
		rows = append(rows, medianRow{withinOf(l.Family, i), name, y.Level(e.Value), y.Level(lo), y.Level(hi)})
	}
	return page.Filled(page.Table{ID: "medians", Title: page.Say("Medians of "+y.Medians().Name+" by "+column,
		heldAt(l.Given), l.Family.Partners.Title()), Note: page.Say("low and high: ", page.Share(conf),
		" interval of the median")}, rows, page.Names{"y": y.LevelUnit(), "a": column})
}
