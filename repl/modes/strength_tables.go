package modes

import (
	"math"
	"strconv"

	"breakbook/models/dist"
	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// shortNumber is a number as a row name has it.
func shortNumber(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// title says what was fitted, and which specimen the baseline is.
func (u *oneMode) title() page.Sentence {
	name := u.load.Name() + " until " + u.mode.Column.Column + " is " + session.ModeName(u.mode)
	if len(u.place.Model().Terms) == 0 {
		return page.Say(name + ", " + u.Distribution.Name())
	}
	s := u.place.Title()
	s[0] = page.Word(name + " on " + u.place.TermList() + ", " + u.Distribution.Name())
	return s
}

// termTable has one row a coefficient, on the ln scale; endless names the rows that have no
// estimate because nothing holds them from one side.
func (u *oneMode) termTable(k *session.Call, conf float64) (t page.Table, endless []string, err error) {
	of := "63.2 % load"
	if u.Distribution == strength.Lognormal {
		of = "median"
	}
	unit := u.load.Unit()
	if unit != "" {
		unit = " in " + unit
	}
	t = page.Table{ID: "terms", Title: u.title(), Columns: []page.Column{{ID: "term"}, {ID: "effect"}, {ID: "low"}, {ID: "high"},
		{ID: "standard_error"}, {ID: "z", Style: page.Ratio, Wide: true}, {ID: "p", Style: page.P}},
		Note: page.Say("effects on ln of the "+of+unit+"; low and high: ", page.Num{Value: conf, Style: page.Fraction}, " profile interval of the effect")}
	at := 0
	for j, c := range u.place.Coefficients {
		row := []page.Cell{page.T(session.RowName(u.place.Model(), c.Label)), {}, {}, {}, {}, {}, {}}
		if at < len(u.kept) && u.kept[at] == j {
			w := make([]float64, len(u.kept))
			w[at] = 1
			at++
			take := u.Difference
			if c.Label.Term < 0 {
				take = u.Location
			}
			e, err := take(k.Context, w, conf)
			if err = u.Of(session.RowName(u.place.Model(), c.Label), err); err != nil {
				return t, nil, err
			}
			z := e.Value / e.SE
			for i, x := range []float64{e.Value, e.Range.Low, e.Range.High, e.SE, z, dist.TwoSidedT(z, math.Inf(1))} {
				row[i+1] = page.N(x)
				if own := u.place.EffectUnit(c.Label); own != "" && i < 4 && row[i+1].Kind == page.Number {
					row[i+1].Unit = own
				}
			}
			if math.IsInf(e.Value, 0) {
				endless = append(endless, row[0].Text)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t, endless, nil
}

// strengthTable has one row a level.
func (u *oneMode) strengthTable(all []levelStrength, conf float64) page.Table {
	unit := u.load.Unit()
	t := page.Table{ID: "strengths", Title: page.Say("What each level would carry until " + u.mode.Column.Column + " is " + session.ModeName(u.mode)),
		Columns: []page.Column{{ID: "level"}, {ID: "median", Unit: unit}, {ID: "low", Unit: unit}, {ID: "high", Unit: unit},
			{ID: "fifth_percentile", Unit: unit}, {ID: "fifth_low", Unit: unit}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " profile interval of the median, a dash where there is no limit; fifth low: the lower end of that of the 5th percentile")}
	for _, s := range all {
		t.Rows = append(t.Rows, []page.Cell{page.T(s.row), page.N(s.median), page.N(s.medianRange.Low), page.N(s.medianRange.High),
			page.N(s.fifth), page.N(s.fifthRange.Low)})
	}
	return t
}

// boundTable has the medians possible with nothing assumed of how strengths go together.
func (u *oneMode) boundTable(all []levelStrength) page.Table {
	unit := u.load.Unit()
	t := page.Table{ID: "bounds", Title: page.Say("Medians possible however a specimen's strengths in the modes depend on each other"),
		Columns: []page.Column{{ID: "level"}, {ID: "median_low", Unit: unit}, {ID: "median_high", Unit: unit}},
		Note:    page.Say("from every specimen with a lower bound only failing so at once, to none ever; of the specimens as they are, not adjusted for the terms, and without their scatter; a dash: no upper limit")}
	for _, s := range all {
		t.Rows = append(t.Rows, []page.Cell{page.T(s.row), page.N(s.medianBound.Low), page.N(s.medianBound.High)})
	}
	return t
}

// boundRangeTable has what the bounds come to with the scatter of so many specimens.
func (u *oneMode) boundRangeTable(all []levelStrength, conf float64) page.Table {
	unit := u.load.Unit()
	t := page.Table{ID: "bound_ranges", Title: page.Say("The same, with the scatter of so many specimens"),
		Columns: []page.Column{{ID: "level"}, {ID: "low", Unit: unit}, {ID: "high", Unit: unit}},
		Note:    page.Say("low and high: every median possible lies between them in ", page.Num{Value: conf, Style: page.Fraction}, " of such series; a dash: no limit")}
	for _, s := range all {
		t.Rows = append(t.Rows, []page.Cell{page.T(s.row), page.N(s.boundRange.Low), page.N(s.boundRange.High)})
	}
	return t
}

// ratioTable has one row a pair of levels, or a number column from end to end.
func (u *oneMode) ratioTable(all []ratio, conf float64) page.Table {
	t := page.Table{ID: "ratios", Title: page.Say("Medians against each other"),
		Columns: []page.Column{{ID: "first"}, {ID: "second"}, {ID: "ratio", Style: page.Ratio}, {ID: "low", Style: page.Ratio},
			{ID: "high", Style: page.Ratio}, {ID: "p", Style: page.P}, {ID: "answer"}},
		Note: page.Say("ratio: second over first; low and high: ", page.Num{Value: conf, Style: page.Fraction}, " profile interval; adjusted for comparing the pairs of a column, by Bonferroni's inequality")}
	for _, r := range all {
		t.Rows = append(t.Rows, []page.Cell{page.T(r.first), page.T(r.second), page.N(1 + r.gap.Value), page.N(1 + r.gap.Range.Low),
			page.N(1 + r.gap.Range.High), page.N(r.gap.Probability), page.T(r.gap.Answer.Key())})
	}
	return t
}

// distributionTable sets the two distributions side by side, the one used first.
func (u *oneMode) distributionTable() page.Table {
	unit := u.load.Unit()
	t := page.Table{ID: "distributions", Title: page.Say("The same terms with either distribution"),
		Columns: []page.Column{{ID: "distribution"}, {ID: "log_likelihood"}, {ID: "aicc", Label: "AICc"}, {ID: "scale", Unit: unit}, {ID: "shape", Style: page.Ratio}},
		Note:    page.Say("lower AICc: better supported")}
	for _, f := range []*strength.Fit{u.Fit, u.other} {
		if f != nil {
			t.Rows = append(t.Rows, []page.Cell{page.T(f.Distribution.Name()), page.N(f.LogLikelihood), page.N(f.AICc), page.N(scaleOf(f)), page.N(shapeOf(f))})
		}
	}
	return t
}

// scaleOf is the 63.2 % load (Weibull) or the median (log-normal) of the baseline specimen.
func scaleOf(f *strength.Fit) float64 { return math.Exp(f.Coefficients[0]) }

// shapeOf is the Weibull shape, or the sd of ln load.
func shapeOf(f *strength.Fit) float64 {
	if f.Distribution == strength.Weibull {
		return 1 / f.Spread
	}
	return f.Spread
}

func (u *oneMode) values() []page.Value {
	v := []page.Value{session.ValueOf("scale", scaleOf(u.Fit), page.Plain, u.load.Unit()), session.ValueOf("shape", shapeOf(u.Fit), page.Ratio, ""),
		session.ValueOf("spread_ln", u.Spread, page.Plain, ""), session.ValueOf("ended", float64(u.Ended), page.Count, ""),
		session.ValueOf("cut_short", float64(u.CutShort), page.Count, ""), session.ValueOf("log_likelihood", u.LogLikelihood, page.Plain, ""),
		session.ValueOf("aicc", u.AICc, page.Plain, ""), session.ValueOf("steps", float64(u.Steps), page.Count, "")}
	labels := []string{"63.2 % load of the baseline specimen", "Weibull shape", "scatter on the ln scale", "failed this way", "lower bound only",
		"log likelihood", "AICc", "steps to the peak"}
	if u.Distribution == strength.Lognormal {
		labels[0], labels[1] = "median of the baseline specimen", "sd of ln load"
	}
	for i := range v {
		v[i].Label = labels[i]
	}
	return v
}
