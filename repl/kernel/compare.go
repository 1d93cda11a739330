package kernel

import (
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

func smallLevels(groups []group) []page.Sentence {
	cells := make([]cell, len(groups))
	for i, g := range groups {
		cells[i].group = g
	}
	return smallGroups(cells)
}

// footing finds the levels of a category in an earlier fit.
func (k *call) footing(of phrase.LevelsOfFit, uneven bool) (*fitted, int, compare.Means, *family, error) {
	f, err := k.fitNamed(of.Fit)
	if err != nil {
		return nil, 0, compare.Means{}, nil, err
	}
	if uneven {
		if f, err = f.unevenly(k.ctx); err != nil {
			return nil, 0, compare.Means{}, nil, err
		}
	}
	ref := of.A
	variable := slices.Index(f.columns(), ref.Column)
	if variable < 0 || !f.model().Variables[variable].IsCategory() {
		return nil, 0, compare.Means{}, nil, &page.Problem{Code: "not-in-fit", At: ref.At,
			Message: ref.Column + " is not among the categories of this fit", Hint: "show results"}
	}
	m, present, ok := f.levelMeans(variable)
	if p := f.aloneProblem(ref.At); !ok && p != nil {
		return nil, 0, compare.Means{}, nil, p
	}
	if !ok {
		p := &page.Problem{Code: "not-estimable", At: ref.At,
			Message: "the levels of " + ref.Column + " cannot be put on the same footing: in these specimens they went together with other terms of the fit",
			Hint:    "fit without the terms that the fit left out"}
		if slices.ContainsFunc(f.model().Terms, func(t design.Term) bool { return len(t.Factors) > 1 }) {
			p.Message = "the levels of " + ref.Column + " cannot be put on the same footing: some combinations of levels have no specimen"
			p.Hint = "fit without together(…), or leave out the level that was never combined"
		}
		return nil, 0, compare.Means{}, nil, p
	}
	return f, variable, m, f.family(variable, present), nil
}

// adjusted is the mean of each level of a fit, on the same footing.
func adjusted(k *call, cmd *phrase.Adjusted) (*Session, error) {
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
	return k.book(k.answered(f.sample, f.response, f.known(), fam.mains()), result{columns: f.columns()})
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
