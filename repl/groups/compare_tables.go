package groups

import (
	"math"
	"slices"
	"strings"

	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// overallRow is the test of all levels together.
type overallRow struct {
	Test      string  `id:"test"`
	Statistic float64 `id:"statistic" style:"ratio"`
	DF        float64 `id:"df" label:"degrees of freedom" style:"df"`
	P         float64 `id:"p" style:"p"`
}

// withinColumn is the setting of the factors that the levels are combined with in a fit.
type withinColumn struct {
	Within string `id:"within"`
}

// differenceRow is second less first.
type differenceRow struct {
	*withinColumn
	First       string  `id:"first"`
	Second      string  `id:"second"`
	Difference  float64 `id:"difference" unit:"{y}" difference:"yes"`
	Low         float64 `id:"low" unit:"{y}" difference:"yes"`
	High        float64 `id:"high" unit:"{y}" difference:"yes"`
	Percent     float64 `id:"percent" style:"percent"`
	PercentLow  float64 `id:"percent_low" style:"percent" wide:"yes"`
	PercentHigh float64 `id:"percent_high" style:"percent" wide:"yes"`
	SE          float64 `id:"standard_error" unit:"{y}" difference:"yes" wide:"yes"`
	DF          float64 `id:"df" label:"degrees of freedom" style:"df" wide:"yes"`
	Statistic   float64 `id:"statistic" style:"ratio" wide:"yes"`
	P           float64 `id:"p" style:"p"`
	Detectable  float64 `id:"detectable" unit:"{y}" difference:"yes" wide:"yes"`
	Answer      string  `id:"answer"`
}

// compareValues are the figures that all rows of a comparison rest on.
type compareValues struct {
	DFAgainst float64 `id:"df_against" style:"df" label:"residual degrees of freedom"`
	Critical  float64 `id:"critical" style:"ratio" label:"critical value, in standard errors"`
	*worthShare
	*worthAmount
	*reshuffledValues
	*integratedValues
	*priceFigures
}

// worthShare is the smallest difference that matters, where it is a share.
type worthShare struct {
	Share float64 `id:"worth" style:"fraction" label:"smallest difference worth having"`
}

// worthAmount is the smallest difference that matters, in the response's unit.
type worthAmount struct {
	Amount float64 `id:"worth" unit:"{y}" difference:"yes" label:"smallest difference worth having"`
}

type reshuffledValues struct {
	Arrangements int  `id:"arrangements"`
	Every        bool `id:"every_arrangement"`
}

// integratedValues are there where probabilities are integrated with an error of their own.
type integratedValues struct {
	Error float64 `id:"p_error"`
}

// compareFamily fills in the entry of a comparison.
func compareFamily(k *session.Call, fam *fitted.Family, m compare.Means, overall compare.Overall, title string,
	against *phrase.LevelRef) error {
	ref := -1
	if against != nil {
		if ref = slices.Index(fam.Names, against.Level); ref < 0 {
			return page.Refuse(page.CodeNoSpecimens, against.At, "no specimen used here has "+against.Column+" "+
				against.Level, "")
		}
	}
	if fam.Figure {
		ref = 0
	}
	if err := fam.Run(k, m, ref, k.Confidence()); err != nil {
		return err
	}
	r := fam.Result
	if r.Method == compare.ByReshuffling {
		overall = r.Overall
	}
	k.Entry.Findings = each(fam)
	k.Entry.Tables = []page.Table{overallTable(fam, overall), table(fam, title)}
	values := compareValues{DFAgainst: overall.DF2, Critical: r.Critical}
	if fam.Worth.Style == page.Fraction {
		values.worthShare = &worthShare{fam.Worth.Value}
	} else {
		values.worthAmount = &worthAmount{fam.Worth.Value}
	}
	if r.Method == compare.ByReshuffling {
		values.reshuffledValues = &reshuffledValues{r.Arrangements, r.Every}
		k.Entry.Warn(page.If(math.IsInf(r.Critical, 1), "Of the ", r.Arrangements, " arrangements looked at even the "+
			"clearest has ", page.Chance(r.LeastP), ": with so few, no difference could have shown."))
	}
	if r.Error > 0 {
		values.integratedValues = &integratedValues{r.Error}
		k.Entry.Warn(page.Say("The probabilities were integrated by a lattice rule; they are sure to within ",
			page.Num{Value: atMost(r.Error)}, "."))
	}
	k.Entry.Values = page.ValuesOf(values, page.Names{"y": fam.Worth.Unit})
	return nil
}

// atMost is an error rounded up to one digit.
func atMost(e float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(e)))
	return math.Ceil(e/unit) * unit
}

// overallTable has the one test of all levels together.
func overallTable(f *fitted.Family, o compare.Overall) page.Table {
	test, asks := "F test, analysis of variance", "Do all levels share one mean?"
	if f.Figure {
		test, asks = "F test of every mean against the figure", "Is every mean the figure?"
	}
	switch f.Result.Method {
	case compare.GamesHowell:
		test = "F test without equal spread (Welch)"
	case compare.ByRanks:
		test, asks = "rank test, corrected for ties (Kruskal–Wallis)", "Are all levels alike?"
	case compare.ByReshuffling:
		test, asks = "F, its p by reshuffling", "Are all levels alike?"
	case compare.Sidak:
		test = "F test without equal spread (Welch)"
		if f.Figure {
			test = "largest |t|, each level with its own spread (Šidák)"
		}
	}
	if f.Figure && len(f.Names) == 2 {
		test = "t test"
	}
	if within := f.Partners.Said(); within != "" {
		asks = strings.TrimSuffix(asks, "?") + ", " + within + "?"
	}
	t := page.Table{ID: "overall", Title: page.Say(asks)}
	if !math.IsNaN(o.DF2) {
		freedom := " residual degrees of freedom"
		if f.OwnDF {
			freedom = " degrees of freedom"
		}
		t.Note = page.Say("tested against ", page.Num{Value: o.DF2, Style: page.DF}, freedom)
	}
	return page.Filled(t, []overallRow{{test, o.F, o.DF1, o.P}}, nil)
}

// how says by what the rows of the table are judged.
func how(f *fitted.Family) string {
	pairs := "all pairs"
	if f.Against {
		pairs = "against one level"
	}
	if f.Figure {
		pairs = "against the figure"
	}
	switch f.Result.Method {
	case compare.GamesHowell:
		return pairs + ", each with its own spread (Games–Howell)"
	case compare.Sidak:
		return pairs + ", each with its own spread (Šidák)"
	case compare.ByRanks:
		return pairs + " by rank sums; p joined by Holm's rule, intervals by Bonferroni's"
	case compare.ByReshuffling:
		return pairs + " by the largest |t| of reshuffled specimens" + f.Within
	case compare.ManyToOne:
		switch {
		case f.Figure && len(f.Names) == 2:
			return pairs + ", by the t test"
		case f.Figure:
			return pairs + ", by the largest of unrelated t values with one sd"
		}
		return pairs + ", by the many-to-one t" + settings(f)
	}
	return pairs + ", by the studentised range" + settings(f)
}

// settings says that the differences within several settings are adjusted for their number.
func settings(f *fitted.Family) string {
	if len(f.Partners.Settings) == 0 {
		return ""
	}
	return ", adjusted for all settings by Bonferroni's inequality (p times their number)"
}

// note says what the columns of the table are.
func note(f *fitted.Family) page.Sentence {
	switch f.Result.Method {
	case compare.ByRanks:
		disagree := slices.ContainsFunc(f.Result.Differences, func(d compare.Difference) bool {
			return d.P < 1-f.Conf && d.Low <= 0 && d.High >= 0
		})
		return page.Say("difference: the shift of second against first (Hodges–Lehmann); low and high: ",
			page.Share(f.Conf),
			" interval; percent: of first's median; statistic: the rank sum of second", page.If(!f.Result.Every,
				"; too many specimens to count every order of them: p and intervals by the normal curve"),
			page.If(disagree, "; p and interval go by two rules and disagree here: the answer is the interval's"))
	case compare.ByReshuffling:
		looked := page.Say("drawn arrangements: ", f.Result.Arrangements)
		if f.Result.Every {
			looked = page.Say("all ", f.Result.Arrangements, " arrangements")
		}
		return page.Say("difference: second less first"+f.Within+"; ", looked, "; reshuffling gives no interval; "+
			"the answer is that of the difference and ", page.Num{Value: f.Result.Critical, Style: page.Ratio},
			" standard errors, what the largest |t| of the arrangements passes with chance ", page.Share(1-f.Conf))
	}
	return page.Say("difference: second less first; low and high: ", page.Share(f.Conf),
		" interval; detectable: the smallest true difference this series had an 80 % chance of showing")
}

// table has one row a difference: second minus first.
func table(f *fitted.Family, title string) page.Table {
	var rows []differenceRow
	for _, d := range f.Result.Differences {
		if f.Logged {
			d.Percent, d.PercentLow, d.PercentHigh = 100*math.Expm1(d.Diff), percentEnd(d.Low), percentEnd(d.High)
		}
		var within *withinColumn
		if w := f.WithinOf(d); w != "" {
			within = &withinColumn{w}
		}
		rows = append(rows, differenceRow{within, f.Names[d.First], f.Names[d.Second], d.Diff, d.Low, d.High, d.Percent,
			d.PercentLow, d.PercentHigh, d.SE, d.DF, d.Statistic, d.P, d.Detectable, d.Answer.Key()})
	}
	return page.Filled(page.Table{ID: "differences", Title: page.Say(title + "; " + how(f)), Note: note(f)}, rows,
		page.Names{"y": f.Unit})
}

// percentEnd is an end of a difference of logarithms as a percentage; an end that does not exist still does not.
func percentEnd(end float64) float64 {
	if math.IsInf(end, 0) {
		return math.NaN()
	}
	return 100 * math.Expm1(end)
}
