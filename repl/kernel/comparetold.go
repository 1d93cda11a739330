package kernel

import (
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// overallTest is the test that all levels share one mean; the F test where the family
// names no other. What does not exist is NaN.
type overallTest struct{ f, df1, df2, p float64 }

// compareFamily fills in the entry of a comparison.
func (k *call) compareFamily(fam *family, m compare.Means, overall overallTest, title string, against *phrase.LevelRef) error {
	ref := -1
	if against != nil {
		if ref = slices.Index(fam.names, against.Level); ref < 0 {
			return &page.Problem{Code: "no-specimens", At: against.At, Message: "no specimen used here has " + against.Column + " " + against.Level}
		}
	}
	if fam.figure {
		ref = 0
	}
	if err := fam.run(k, m, ref, k.confidence()); err != nil {
		return err
	}
	r := fam.result
	if r.Method == compare.ByReshuffling {
		overall = overallTest{r.Overall.F, r.Overall.DF1, r.Overall.DF2, r.Overall.P}
	}
	k.e.Findings = fam.each()
	k.e.Tables = []page.Table{fam.overallTable(overall), fam.table(title)}
	k.e.Values = []page.Value{figure("df_against", overall.df2, page.DF, ""), figure("critical", r.Critical, page.Ratio, ""),
		figure("worth", fam.worth.Value, fam.worth.Style, fam.worth.Unit)}
	k.e.Values[0].Label = "degrees of freedom left over"
	k.e.Values[1].Label = "largest difference over standard error that chance alone allows"
	k.e.Values[2].Label = "smallest difference worth having"
	if r.Method == compare.ByReshuffling {
		k.e.Values = append(k.e.Values, figure("arrangements", float64(r.Arrangements), page.Count, ""),
			page.Value{ID: "every_arrangement", Cell: page.Cell{Kind: page.Truth, Num: map[bool]float64{true: 1}[r.Every]}})
		if math.IsInf(r.Critical, 1) {
			k.e.Cautions = append(k.e.Cautions, say.FewArrangements(r.Arrangements, r.LeastP))
		}
	}
	if r.Error > 0 {
		k.e.Values = append(k.e.Values, figure("p_error", r.Error, page.Plain, ""))
		k.e.Cautions = append(k.e.Cautions, page.Say("The probabilities were integrated by a lattice rule; they are sure to within ",
			page.Num{Value: atMost(r.Error)}, "."))
	}
	return nil
}

// atMost is an error rounded up to one digit.
func atMost(e float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(e)))
	return math.Ceil(e/unit) * unit
}

// overallTable has the one test of all levels together.
func (f *family) overallTable(o overallTest) page.Table {
	test, asks := "F test, analysis of variance", "Do all levels share one mean?"
	if f.figure {
		test, asks = "F test of every mean against the figure", "Is every mean the figure?"
	}
	switch f.result.Method {
	case compare.GamesHowell:
		test = "F test without equal spread (Welch)"
	case compare.ByRanks:
		test, asks = "rank test, ties allowed for (Kruskal–Wallis)", "Are all levels alike?"
	case compare.ByReshuffling:
		test, asks = "F, its p by reshuffling", "Are all levels alike?"
	case compare.Sidak:
		test = "F test without equal spread (Welch)"
		if f.figure {
			test = "largest |t|, each level with its own spread (Šidák)"
		}
	}
	if f.figure && len(f.names) == 2 {
		test = "t test"
	}
	t := page.Table{ID: "overall", Title: page.Say(asks), Columns: []page.Column{{ID: "test"},
		{ID: "statistic", Style: page.Ratio}, {ID: "df", Label: "degrees of freedom", Style: page.DF}, {ID: "p", Style: page.P}},
		Rows: [][]page.Cell{{page.T(test), page.N(o.f), page.N(o.df1), page.N(o.p)}}}
	if !math.IsNaN(o.df2) {
		t.Note = page.Say("against ", page.Num{Value: o.df2, Style: page.DF}, " degrees of freedom left over")
	}
	return t
}

// how says by what the rows of the table are judged.
func (f *family) how() string {
	pairs := "all pairs"
	if f.against {
		pairs = "against one level"
	}
	if f.figure {
		pairs = "against the figure"
	}
	switch f.result.Method {
	case compare.GamesHowell:
		return pairs + ", each with its own spread (Games–Howell)"
	case compare.Sidak:
		return pairs + ", each with its own spread (Šidák)"
	case compare.ByRanks:
		return pairs + " by rank sums; p joined by Holm's rule, ranges by Bonferroni's"
	case compare.ByReshuffling:
		return pairs + " by the largest |t| of reshuffled specimens" + f.within
	case compare.ManyToOne:
		switch {
		case f.figure && len(f.names) == 2:
			return pairs + ", by the t test"
		case f.figure:
			return pairs + ", by the largest of unrelated t values with one sd"
		}
		return pairs + ", by the many-to-one t"
	}
	return pairs + ", by the studentised range"
}

// note says what the columns of the table are.
func (f *family) note() page.Sentence {
	switch f.result.Method {
	case compare.ByRanks:
		return page.Say("difference: the shift of second against first (Hodges–Lehmann); low and high: ", page.Num{Value: f.conf, Style: page.Fraction},
			" range; percent: of first's median; statistic: the rank sum of second")
	case compare.ByReshuffling:
		looked := page.Say("drawn arrangements: ", f.result.Arrangements)
		if f.result.Every {
			looked = page.Say("all ", f.result.Arrangements, " arrangements")
		}
		return page.Say("difference: second less first"+f.within+"; ", looked, "; reshuffling gives no range; the answer is that of the difference and ",
			page.Num{Value: f.result.Critical, Style: page.Ratio}, " standard errors, what the largest |t| of the arrangements passes with chance ",
			page.Num{Value: 1 - f.conf, Style: page.Fraction})
	}
	return page.Say("difference: second less first; low and high: ", page.Num{Value: f.conf, Style: page.Fraction},
		" range; detectable: the smallest true difference this series had an 80 % chance of showing")
}

// table has one row a difference: second minus first.
func (f *family) table(title string) page.Table {
	u := f.unit
	t := page.Table{ID: "differences", Title: page.Say(title + "; " + f.how()), Columns: []page.Column{{ID: "first"}, {ID: "second"},
		{ID: "difference", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u}, {ID: "percent", Style: page.Percent},
		{ID: "percent_low", Style: page.Percent, Wide: true}, {ID: "percent_high", Style: page.Percent, Wide: true},
		{ID: "standard_error", Unit: u, Wide: true}, {ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true},
		{ID: "statistic", Style: page.Ratio, Wide: true}, {ID: "p", Style: page.P}, {ID: "detectable", Unit: u, Wide: true}, {ID: "answer"}},
		Note: f.note()}
	for _, d := range f.result.Differences {
		if f.logged {
			d.Percent, d.PercentLow, d.PercentHigh = 100*math.Expm1(d.Diff), percentEnd(d.Low), percentEnd(d.High)
		}
		t.Rows = append(t.Rows, []page.Cell{page.T(f.names[d.First]), page.T(f.names[d.Second]), page.N(d.Diff), page.N(d.Low),
			page.N(d.High), page.N(d.Percent), page.N(d.PercentLow), page.N(d.PercentHigh), page.N(d.SE), page.N(d.DF),
			page.N(d.Statistic), page.N(d.P), page.N(d.Detectable), page.T(d.Answer.Key())})
	}
	return t
}

// percentEnd is an end of a difference of logarithms as a percentage; an end that does not
// exist still does not.
func percentEnd(end float64) float64 {
	if math.IsInf(end, 0) {
		return math.NaN()
	}
	return 100 * math.Expm1(end)
}
