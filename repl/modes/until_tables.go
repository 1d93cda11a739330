package modes

import (
	"math"

	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// title says what was fitted, and which specimen the baseline is.
func (u *oneMode) title() page.Sentence {
	name := u.load.Name() + " until " + u.mode.Column.Column + " is " + session.ModeName(u.mode)
	if len(u.Place.Model().Terms) == 0 {
		return page.Say(name + ", " + u.Distribution.Name())
	}
	s := u.Place.Title()
	s[0] = page.Word(name + " on " + u.Place.TermList() + ", " + u.Distribution.Name())
	return s
}

// strengthTerm is a coefficient, on the ln scale.
type strengthTerm struct {
	Term   string        `id:"term"`
	Effect page.Quantity `id:"effect"`
	Low    page.Quantity `id:"low"`
	High   page.Quantity `id:"high"`
	SE     page.Quantity `id:"standard_error"`
	Z      float64       `id:"z" style:"ratio" wide:"yes"`
	P      float64       `id:"p" style:"p"`
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
	t = page.Table{ID: "terms", Title: u.title(), Note: page.Say("effects on ln of the "+of+unit+"; low and high: ",
		page.Share(conf), " profile interval of the effect; p: by the likelihood ratio")}
	nothing := page.Quantity{Value: page.None}
	var rows []strengthTerm
	for c, w := range u.coefficients() {
		row := strengthTerm{Term: session.RowName(u.Place.Model(), c.Label), Effect: nothing, Low: nothing,
			High: nothing, SE: nothing, Z: page.None, P: page.None}
		if w != nil {
			take := u.Difference
			if c.Label.Term < 0 {
				take = u.Location
			}
			e, err := take(k.Context, w, conf)
			if err = u.Of(row.Term, err); err != nil {
				return t, nil, err
			}
			own := u.Place.EffectUnit(c.Label)
			in := func(x float64) page.Quantity { return page.Quantity{Value: x, Unit: own} }
			row.Effect, row.Low, row.High, row.SE = in(e.Value), in(e.Range.Low), in(e.Range.High), in(e.SE)
			row.Z = e.Value / e.SE
			if c.Label.Term >= 0 && !math.IsInf(e.Value, 0) {
				if row.P, err = u.Chance(k.Context, w); u.Of(row.Term, err) != nil {
					return t, nil, err
				}
			}
			if math.IsInf(e.Value, 0) {
				endless = append(endless, row.Term)
			}
		}
		rows = append(rows, row)
	}
	return page.Filled(t, rows, nil), endless, nil
}

// strengthRow is what a level would carry.
type strengthRow struct {
	Level           string  `id:"level"`
	Median          float64 `id:"median" unit:"{y}"`
	Low             float64 `id:"low" unit:"{y}"`
	High            float64 `id:"high" unit:"{y}"`
	FifthPercentile float64 `id:"fifth_percentile" unit:"{y}"`
	FifthLow        float64 `id:"fifth_low" unit:"{y}"`
}

// boundRow is the medians possible of a level.
type boundRow struct {
	Level string  `id:"level"`
	Low   float64 `id:"median_low" unit:"{y}"`
	High  float64 `id:"median_high" unit:"{y}"`
}

// boundRangeRow is the medians possible of a level, with their scatter.
type boundRangeRow struct {
	Level string  `id:"level"`
	Low   float64 `id:"low" unit:"{y}"`
	High  float64 `id:"high" unit:"{y}"`
}

// ratioRow is the median of a level, or an end, over that of another.
type ratioRow struct {
	First  string  `id:"first"`
	Second string  `id:"second"`
	Ratio  float64 `id:"ratio" style:"quotient"`
	Low    float64 `id:"low" style:"quotient"`
	High   float64 `id:"high" style:"quotient"`
	P      float64 `id:"p" style:"p"`
	Answer string  `id:"answer"`
}

// distributionRow is one distribution, fitted.
type distributionRow struct {
	Distribution  string  `id:"distribution"`
	LogLikelihood float64 `id:"log_likelihood"`
	AICc          float64 `id:"aicc" label:"AICc"`
	Scale         float64 `id:"scale" unit:"{y}"`
	Shape         float64 `id:"shape" style:"ratio"`
}

func (u *oneMode) names() page.Names { return page.Names{"y": u.load.Unit()} }

func (u *oneMode) strengthTable(all []levelStrength, conf float64) page.Table {
	var rows []strengthRow
	for _, s := range all {
		rows = append(rows, strengthRow{s.row, s.median, s.medianRange.Low, s.medianRange.High, s.fifth,
			s.fifthRange.Low})
	}
	t := page.Table{ID: "strengths", Title: page.Say("What each level would carry until " + u.mode.Column.Column +
		" is " + session.ModeName(u.mode)), Note: page.Say("low and high: ", page.Share(conf), " profile interval of "+
		"the median, a dash where there is no limit; fifth low: the lower end of that of the 5th percentile")}
	return page.Filled(t, rows, u.names())
}

// boundTable has the medians possible with nothing assumed of how strengths go together.
func (u *oneMode) boundTable(all []levelStrength) page.Table {
	var rows []boundRow
	for _, s := range all {
		rows = append(rows, boundRow{s.row, s.medianBound.Low, s.medianBound.High})
	}
	t := page.Table{ID: "bounds",
		Title: page.Say("Medians possible however a specimen's strengths in the modes depend on each other"),
		Note: page.Say("from every specimen with a lower bound only failing so at once, to none ever; of the " +
			"specimens as they are, not adjusted for the terms, and without their scatter; a dash: no upper limit")}
	return page.Filled(t, rows, u.names())
}

// boundRangeTable has what the bounds come to with the scatter of so many specimens.
func (u *oneMode) boundRangeTable(all []levelStrength, conf float64) page.Table {
	var rows []boundRangeRow
	for _, s := range all {
		rows = append(rows, boundRangeRow{s.row, s.boundRange.Low, s.boundRange.High})
	}
	t := page.Table{ID: "bound_ranges", Title: page.Say("The same, with the scatter of so many specimens"),
		Note: page.Say("low and high: every median possible lies between them in ",
			page.Share(conf), " of such series; a dash: no limit")}
	return page.Filled(t, rows, u.names())
}

// ratioTable has one row a pair of levels, or a number column from end to end.
func (u *oneMode) ratioTable(all []ratio, conf float64) page.Table {
	var rows []ratioRow
	for _, r := range all {
		g := r.gap
		rows = append(rows, ratioRow{r.first, r.second, 1 + g.Value, 1 + g.Range.Low, 1 + g.Range.High, g.Probability,
			g.Answer.Key()})
	}
	t := page.Table{ID: "ratios", Title: page.Say("Medians against each other"),
		Note: page.Say("ratio: second over first; low and high: ", page.Share(conf),
			" profile interval; adjusted for comparing the pairs of a column, by Bonferroni's inequality")}
	return page.Filled(t, rows, nil)
}

// distributionTable sets the two distributions side by side, the one used first.
func (u *oneMode) distributionTable() page.Table {
	var rows []distributionRow
	for _, f := range []*strength.Fit{u.Fit, u.other} {
		if f != nil {
			rows = append(rows, distributionRow{f.Distribution.Name(), f.LogLikelihood, f.AICc, scaleOf(f), shapeOf(f)})
		}
	}
	t := page.Table{ID: "distributions", Title: page.Say("The same terms with either distribution"),
		Note: page.Say("lower AICc: better supported")}
	return page.Filled(t, rows, u.names())
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

// strengthFigures are the figures of the whole fit.
type strengthFigures struct {
	Scale         float64 `id:"scale" label:"{scale} of the baseline specimen" unit:"{y}"`
	Shape         float64 `id:"shape" label:"{shape}" style:"ratio"`
	SpreadLn      float64 `id:"spread_ln" label:"scatter on the ln scale"`
	Ended         int     `id:"ended" label:"failed this way"`
	CutShort      int     `id:"cut_short" label:"lower bound only"`
	LogLikelihood float64 `id:"log_likelihood" label:"log likelihood"`
	AICc          float64 `id:"aicc" label:"AICc"`
	Steps         int     `id:"steps" label:"steps to the peak"`
}

func (u *oneMode) values() []page.Value {
	names := page.Names{"y": u.load.Unit(), "scale": "63.2 % load", "shape": "Weibull shape"}
	if u.Distribution == strength.Lognormal {
		names["scale"], names["shape"] = "median", "sd of ln load"
	}
	return page.ValuesOf(strengthFigures{scaleOf(u.Fit), shapeOf(u.Fit), u.Spread, u.Ended, u.CutShort, u.LogLikelihood,
		u.AICc, u.Steps}, names)
}
