package kernel

import (
	"math"

	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// adjusted is the mean of each level of a fit, on the same footing.
func adjusted(k *call, cmd *phrase.Adjusted) (*outcome, error) {
	f, variable, m, fam, err := k.footing(cmd.LevelsOfFit, false)
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
	if err := fam.allPairs(k, m, conf); err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{fam.lead()}
	u := f.response.unit()
	column := cmd.A.Column
	t := page.Table{ID: "means", Title: page.Say(f.response.name() + " by " + column + ", number columns at their mean, other categories averaged level by level"),
		Columns: []page.Column{{ID: column}, {ID: "mean", Unit: u}, {ID: "standard_error", Unit: u},
			{ID: "df", Label: "degrees of freedom", Style: page.DF}, {ID: "low", Unit: u}, {ID: "high", Unit: u}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range of the mean")}
	means := f.levelEstimates(variable)
	for i, name := range fam.names {
		e := means[i]
		lo, hi := limits(e, conf)
		t.Rows = append(t.Rows, []page.Cell{page.T(name), page.N(e.Value), page.N(e.SE), page.N(e.DF), page.N(lo), page.N(hi)})
	}
	k.e.Tables = []page.Table{t}
	if f.response.logged() {
		k.e.Tables = append(k.e.Tables, medianTable(f, column, fam.names, means, conf))
	}
	return answered(f.sample, f.response, f.known(), fam.mains()).keeping(result{columns: f.columns()}), nil
}

// medianTable gives the levels of a ln response as medians in the measure's own unit.
func medianTable(f *fitted, column string, names []string, means []linear.Estimate, conf float64) page.Table {
	u := f.response.column.Unit.String()
	t := page.Table{ID: "medians", Title: page.Say("Medians of " + f.response.column.Name),
		Columns: []page.Column{{ID: column}, {ID: "median", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u}}}
	for i, name := range names {
		lo, hi := limits(means[i], conf)
		t.Rows = append(t.Rows, []page.Cell{page.T(name), page.N(math.Exp(means[i].Value)), page.N(math.Exp(lo)), page.N(math.Exp(hi))})
	}
	return t
}
