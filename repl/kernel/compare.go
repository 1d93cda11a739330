package kernel

import (
	"context"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// compareRaw sets the mean of each level against the others, or all against one.
func compareRaw(k *call) (*Session, error) {
	by := k.column("a")
	s, r, err := k.measured(by.Column)
	if err != nil {
		return nil, err
	}
	groups, err := k.groups(s, r.values, by)
	if err != nil {
		return nil, err
	}
	values := make([][]float64, len(groups))
	c, _ := s.frame.Column(by.Column)
	fam := &family{measure: r.measure(), unit: r.unit(), factor: by.Column, levelUnit: c.Unit.String(), logged: r.logged(), probability: math.NaN()}
	for i, g := range groups {
		values[i] = g.values
		fam.names = append(fam.names, g.level)
	}
	m, err := compare.Groups(values)
	if err != nil {
		return nil, err
	}
	o, err := compare.OneWay(values)
	if err != nil {
		return nil, err
	}
	overall := overallTest{f: o.F, df1: o.DF1, df2: o.DF2, p: o.P}
	if err := k.compareFamily(fam, m, overall, r.name()+" by "+by.Column); err != nil {
		return nil, err
	}
	k.e.Cautions = append(k.e.Cautions, smallLevels(groups)...)
	return k.book(k.answered(s, r, []string{by.Column}, fam.mains()), result{columns: []string{by.Column}})
}

func smallLevels(groups []group) []page.Sentence {
	cells := make([]cell, len(groups))
	for i, g := range groups {
		cells[i].group = g
	}
	return smallGroups(cells)
}

// compareOf does the same with a fit's levels, on the same footing.
func compareOf(k *call) (*Session, error) {
	f, variable, m, fam, err := k.footing()
	if err != nil {
		return nil, err
	}
	overall, err := f.overall(k.ctx, variable)
	if err != nil {
		return nil, err
	}
	title := k.column("a").Column + " of " + k.c.Slots["fit"].(phrase.Name).Text + ", on the same footing"
	if err := k.compareFamily(fam, m, overall, title); err != nil {
		return nil, err
	}
	return k.book(k.answered(f.sample, f.response, f.known(), fam.mains()), result{columns: f.columns()})
}

// overall is the fit's test that all levels of a category share one mean; a resistant fit
// has none.
func (f *fitted) overall(ctx context.Context, variable int) (overallTest, error) {
	none := overallTest{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if f.way.resistant {
		return none, nil
	}
	a, err := f.Anova(ctx, linear.Marginal)
	if err != nil {
		return none, err
	}
	for _, s := range a.Sources {
		if t := f.model().Terms[s.Term]; len(t.Factors) == 1 && t.Factors[0].Variable == variable {
			return overallTest{f: s.F, df1: s.DF, df2: s.Against, p: s.P}, nil
		}
	}
	return none, nil
}

// footing finds the levels of the command's category in the fit it names.
func (k *call) footing() (*fitted, int, compare.Means, *family, error) {
	f, err := k.earlierFit()
	if err != nil {
		return nil, 0, compare.Means{}, nil, err
	}
	ref := k.column("a")
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

// overallTest is the F test that all levels share one mean.
type overallTest struct{ f, df1, df2, p float64 }

// compareFamily fills in the entry of a comparison.
func (k *call) compareFamily(fam *family, m compare.Means, overall overallTest, title string) error {
	ref := -1
	if against, ok := k.c.Slots["against"].(phrase.LevelRef); ok {
		if ref = slices.Index(fam.names, against.Level); ref < 0 {
			return &page.Problem{Code: "no-specimens", At: against.At, Message: "no specimen used here has " + against.Column + " " + against.Level}
		}
	}
	if err := fam.run(k, m, ref, k.confidence()); err != nil {
		return err
	}
	k.e.Findings = fam.each()
	k.e.Tables = []page.Table{
		{ID: "overall", Title: page.Say("Do all levels share one mean?"), Columns: []page.Column{{ID: "test"},
			{ID: "statistic", Style: page.Ratio}, {ID: "df", Label: "degrees of freedom", Style: page.DF}, {ID: "p", Style: page.P}},
			Rows: [][]page.Cell{{page.T("F test, analysis of variance"), page.N(overall.f), page.N(overall.df1), page.N(overall.p)}},
			Note: page.Say("against ", page.Num{Value: overall.df2, Style: page.DF}, " degrees of freedom left over")},
		fam.table(title)}
	k.e.Values = []page.Value{figure("df_against", overall.df2, page.DF, ""), figure("critical", fam.result.Critical, page.Ratio, ""),
		figure("worth", fam.worth.Value, fam.worth.Style, fam.worth.Unit)}
	k.e.Values[1].Label = "largest difference over standard error that chance alone allows"
	k.e.Values[2].Label = "smallest difference worth having"
	if fam.result.Error > 0 {
		k.e.Values = append(k.e.Values, figure("p_error", fam.result.Error, page.Exact, ""))
		k.e.Cautions = append(k.e.Cautions, page.Say("The probabilities were integrated by a lattice rule; they are sure to within ",
			page.Num{Value: fam.result.Error, Style: page.Exact}, "."))
	}
	return nil
}

// table has one row a difference: second minus first.
func (f *family) table(title string) page.Table {
	u := f.unit
	how := "all pairs, by the studentised range"
	if f.result.Method == compare.ManyToOne {
		how = "against one level, by the many-to-one t"
	}
	t := page.Table{ID: "differences", Title: page.Say(title + "; " + how), Columns: []page.Column{{ID: "first"}, {ID: "second"},
		{ID: "difference", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u}, {ID: "percent", Style: page.Percent},
		{ID: "percent_low", Style: page.Percent, Wide: true}, {ID: "percent_high", Style: page.Percent, Wide: true},
		{ID: "standard_error", Unit: u, Wide: true}, {ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true},
		{ID: "statistic", Style: page.Ratio, Wide: true}, {ID: "p", Style: page.P}, {ID: "detectable", Unit: u, Wide: true}, {ID: "answer"}},
		Note: page.Say("difference: second less first; low and high: ", page.Num{Value: f.conf, Style: page.Fraction},
			" range; detectable: the smallest true difference this series had an 80 % chance of showing")}
	for _, d := range f.result.Differences {
		if f.logged {
			d.Percent, d.PercentLow, d.PercentHigh = 100*math.Expm1(d.Diff), 100*math.Expm1(d.Low), 100*math.Expm1(d.High)
		}
		t.Rows = append(t.Rows, []page.Cell{page.T(f.names[d.First]), page.T(f.names[d.Second]), page.N(d.Diff), page.N(d.Low),
			page.N(d.High), page.N(d.Percent), page.N(d.PercentLow), page.N(d.PercentHigh), page.N(d.SE), page.N(d.DF),
			page.N(d.Statistic), page.N(d.P), page.N(d.Detectable), page.T(d.Answer.Key())})
	}
	return t
}

// adjusted is the mean of each level of a fit, on the same footing.
func adjusted(k *call) (*Session, error) {
	f, variable, m, fam, err := k.footing()
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
	if err := fam.allPairs(k, m, conf); err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{fam.lead()}
	u := f.response.unit()
	column := k.column("a").Column
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
