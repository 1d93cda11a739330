package kernel

import (
	"context"
	"slices"

	"breakbook/frames/units"
	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/together"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// fitted is a fit with what is needed to ask it things later. The embedded fit holds its
// figures, in whatever way it was fitted; by answers about its coefficients.
type fitted struct {
	*linear.Fit
	by       linear.Estimator
	way      way
	zero     int // specimens left out because their weight is 0
	sample   *sample
	response *response
	command  *phrase.Command // that fitted it, to fit it again on other specimens
}

// Combination and the others go to what the model was fitted by.
func (f *fitted) Combination(w []float64) (linear.Estimate, bool) { return f.by.Combination(w) }

func (f *fitted) Covariance(w [][]float64) [][]float64 { return f.by.Covariance(w) }

func (f *fitted) Specimen(w []float64) (linear.Estimate, bool) { return f.by.Specimen(w) }

func (f *fitted) Anova(ctx context.Context, a linear.Adjustment) (*linear.Anova, error) {
	return f.by.Anova(ctx, a)
}

// fit explains a response by a list of terms.
func fit(k *call, cmd *phrase.Fit) (*outcome, error) {
	f, err := k.fitTerms(cmd.OnTerms, cmd.FitWays, cmd.Resistant)
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
	effects, err := f.effects(k, conf)
	if err != nil {
		return nil, err
	}
	mains := k.tellInOrder(effects)
	k.e.Findings = append(k.e.Findings, f.explainedFinding())
	k.e.Findings = append(k.e.Findings, f.blockFindings()...)
	k.e.Tables = append([]page.Table{f.termTable(conf)}, f.wayTables()...)
	k.e.Values = f.values()
	k.e.Cautions = append(k.e.Cautions, f.dependentCautions()...)
	together, err := f.togetherCautions(k.ctx)
	if err != nil {
		return nil, err
	}
	k.e.Cautions = append(k.e.Cautions, together...)
	k.e.Cautions = append(k.e.Cautions, f.sizeCautions()...)
	k.e.Cautions = append(k.e.Cautions, f.wayCautions()...)
	k.e.Cautions = append(k.e.Cautions, k.reusedCautions(f.sample, f.way.blocks)...)
	return answered(f.sample, f.response, f.known(), mains).keeping(result{fit: f, columns: f.columns()}), nil
}

// fitAsked fits what the command asks to have fitted, whatever else it asks.
func (k *call) fitAsked() (*fitted, error) {
	switch cmd := k.c.Do.(type) {
	case *phrase.Fit:
		return k.fitTerms(cmd.OnTerms, cmd.FitWays, cmd.Resistant)
	case *phrase.Anova:
		if on, ok := cmd.Subject.(phrase.AnovaOnTerms); ok {
			return k.fitTerms(on.OnTerms, on.FitWays, false)
		}
	}
	return nil, k.unhandled()
}

// fitTerms fits a response on terms, in the ways wished.
func (k *call) fitTerms(on phrase.OnTerms, ways phrase.FitWays, resistant bool) (*fitted, error) {
	y, terms := on.Y, on.Terms
	b := spelled(terms)
	if i := slices.Index(b.columns, y.Column.Column); i >= 0 {
		return nil, &page.Problem{Code: "response-among-terms", At: terms.At,
			Message: y.Column.Column + " cannot explain itself", Hint: "leave it out of the terms"}
	}
	w, err := wayOf(ways, resistant)
	if err == nil {
		err = w.check(y, b.columns)
	}
	if err != nil {
		return nil, err
	}
	s, r, err := k.measured(y, append(slices.Clone(b.columns), w.columns()...)...)
	if err != nil {
		return nil, err
	}
	m := design.Model{Terms: b.terms, ThroughZero: ways.ThroughZero}
	zero := 0
	if w.weight.Column != "" {
		if m.Weights, zero, err = k.weigh(s, w.weight); err != nil {
			return nil, err
		}
		if r, err = k.respond(s, y); err != nil {
			return nil, err
		}
	}
	if m.Variables, err = s.variables(k.ctx, b.columns); err != nil {
		return nil, err
	}
	f, by, err := w.fit(k.ctx, s, r.values, m)
	if err != nil {
		return nil, err
	}
	return &fitted{Fit: f, by: by, way: w, zero: zero, sample: s, response: r, command: k.c}, nil
}

func (f *fitted) model() design.Model { return f.Matrix.Model }

// columns are the columns of the terms.
func (f *fitted) columns() []string {
	var out []string
	for _, v := range f.model().Variables {
		out = append(out, v.Name)
	}
	return out
}

// known are all columns the fit knows of: of the terms, the weight and the blocks.
func (f *fitted) known() []string { return append(f.columns(), f.way.columns()...) }

// termTable has one row a coefficient.
func (f *fitted) termTable(conf float64) page.Table {
	u := f.response.unit()
	t := page.Table{ID: "terms", Title: f.title(), Columns: []page.Column{{ID: "term"}, {ID: "effect", Unit: u},
		{ID: "low", Unit: u}, {ID: "high", Unit: u}, {ID: "standard_error", Unit: u}, {ID: "t", Style: page.Ratio, Wide: true},
		{ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range of the effect")}
	for _, c := range f.Coefficients {
		row := []page.Cell{page.T(rowName(f.model(), c.Label)), {}, {}, {}, {}, {}, {}, {}}
		if !c.Dependent {
			unit := f.effectUnit(c.Label)
			half := dist.TQuantile(0.5+conf/2, c.DF)
			for i, x := range []float64{c.Estimate, c.Estimate - half*c.SE, c.Estimate + half*c.SE, c.SE} {
				row[i+1] = page.N(x)
				if unit != u {
					row[i+1].Unit = unit
				}
			}
			row[5], row[6], row[7] = page.N(c.T), page.N(c.DF), page.N(c.P)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// title says which specimen the baseline is.
func (f *fitted) title() page.Sentence {
	s := page.Say(f.response.name() + " on " + f.termList() + f.way.said())
	m := f.model()
	if m.ThroughZero {
		return append(s, page.Word(", through zero"))
	}
	s = append(s, page.Word("; baseline: "))
	for i, v := range m.Variables {
		if i > 0 {
			s = append(s, page.Word(", "))
		}
		if v.IsCategory() {
			s = append(s, page.Word(v.Name+" "+v.Levels[slices.Min(v.Codes)]))
			continue
		}
		s = append(s, page.Say(v.Name+" ", page.Num{Value: f.Matrix.Centre[i], Unit: v.Unit})...)
	}
	return s
}

func (f *fitted) termList() string {
	out := ""
	for i := range f.model().Terms {
		if i > 0 {
			out += ", "
		}
		out += termName(f.model(), i)
	}
	return out
}

// effectUnit is the unit of a coefficient: the response's, per the units of the number
// factors that enter as they are or as a power.
func (f *fitted) effectUnit(l design.Label) string {
	u := f.response.unit()
	if l.Term < 0 {
		return u
	}
	m := f.model()
	per := units.Unit{}
	for _, factor := range m.Terms[l.Term].Factors {
		v := m.Variables[factor.Variable]
		power := map[design.Function]float64{design.Identity: 1, design.Abs: 1, design.Squared: 2, design.PowerOf: factor.Power}[factor.Function]
		own, ok := units.Parse(v.Unit)
		if v.IsCategory() || power == 0 || !ok {
			continue
		}
		raised, err := own, error(nil)
		if power != 1 {
			raised, err = units.Pow(own, power)
		}
		if err == nil && !per.None() {
			raised, err = units.Mul(per, raised)
		}
		if err != nil {
			return u
		}
		per = raised
	}
	if per.None() {
		return u
	}
	own, _ := units.Parse(u)
	return units.Per(own, per)
}

// values are the figures of the whole fit, by the ids of the contract.
func (f *fitted) values() []page.Value {
	u := f.response.unit()
	v := []page.Value{
		figure("n", float64(f.N), page.Count, ""), figure("df_left_over", f.DF, page.DF, ""),
		figure("sd_left_over", f.Sigma, page.Plain, u), figure("explained", f.Explained, page.Fraction, ""),
		figure("explained_adjusted", f.ExplainedAdjusted, page.Fraction, ""), figure("explained_unseen", f.ExplainedUnseen, page.Fraction, ""),
		figure("f", f.F, page.Ratio, ""), figure("f_df1", f.FDF1, page.DF, ""), figure("f_df2", f.FDF2, page.DF, ""),
		figure("p", f.P, page.P, ""), figure("log_likelihood", f.LogLikelihood, page.Plain, ""), figure("aicc", f.AICc, page.Plain, ""),
		figure("at_zero", f.AtZero, page.Plain, u), figure("at_zero_standard_error", f.AtZeroSE, page.Plain, u),
	}
	labels := map[string]string{"n": "specimens", "df_left_over": "degrees of freedom left over", "sd_left_over": "sd left over",
		"explained": "explained", "explained_adjusted": "explained, allowing for the number of terms",
		"explained_unseen": "explained of specimens not yet seen", "f": "F of all terms together",
		"f_df1": "degrees of freedom of that F", "f_df2": "degrees of freedom it is set against", "p": "p of all terms together", "log_likelihood": "log likelihood",
		"aicc": "AICc, to set rival fits against each other", "at_zero": "expected with every number at zero",
		"at_zero_standard_error": "standard error of that"}
	for i := range v {
		v[i].Label = labels[v[i].ID]
	}
	return v
}

// explainedFinding says how much of the variation the terms account for, all together.
func (f *fitted) explainedFinding() page.Sentence {
	left := page.Num{Value: f.Sigma, Unit: f.response.unit()}
	if f.way.resistant {
		return page.Say("What the terms leave scatters by ", left, " (sd, without the specimens that stand far off).")
	}
	if f.way.blocks != nil {
		return page.Say("Together the terms account for ", page.Num{Value: f.Explained, Style: page.Fraction}, " of the variation in "+
			f.response.measure()+"; within the blocks what is left scatters by ", left, " (sd).")
	}
	s := page.Say("Together the terms account for ", page.Num{Value: f.Explained, Style: page.Fraction},
		" of the variation in "+f.response.measure()+"; what is left scatters by ",
		left, " (sd)")
	if f.ExplainedUnseen == f.ExplainedUnseen {
		s = append(s, page.Say("; of a specimen not yet seen they would account for ",
			page.Num{Value: max(f.ExplainedUnseen, 0), Style: page.Fraction})...)
	}
	return append(s, page.Word("."))
}

// dependentCautions name the terms that cannot be told apart from others, and the levels
// that no specimen combines.
func (f *fitted) dependentCautions() []page.Sentence {
	var out []page.Sentence
	for _, c := range f.Coefficients {
		if !c.Dependent {
			continue
		}
		var on []string
		for _, j := range c.On {
			on = append(on, rowName(f.model(), f.Coefficients[j].Label))
		}
		out = append(out, say.Dependent(rowName(f.model(), c.Label), on))
	}
	if len(f.Matrix.Empty) > 0 {
		var never []string
		for _, l := range f.Matrix.Empty {
			never = append(never, rowName(f.model(), l))
		}
		out = append(out, say.Never(never))
	}
	return out
}

// nearlyTogether is the strength from which two terms are said to have gone together:
// 0.9 leaves less than a fifth of one's variation free of the other. Common practice, no source.
const nearlyTogether = 0.9

// togetherCautions name the pairs of terms that the specimens can hardly tell apart.
func (f *fitted) togetherCautions(ctx context.Context) ([]page.Sentence, error) {
	var out []page.Sentence
	v := f.model().Variables
	all, err := together.Strengths(ctx, v)
	for i, of := range all {
		for j, s := range of {
			if s >= nearlyTogether {
				out = append(out, say.Together(v[j].Name, v[i].Name, s))
			}
		}
	}
	return out, err
}

// sizeCautions warn of a fit with little to stand on.
func (f *fitted) sizeCautions() []page.Sentence {
	if f.DF >= 5 {
		return nil
	}
	specimens := " specimens"
	if f.DF == 1 {
		specimens = " specimen"
	}
	return []page.Sentence{page.Say("Only ", page.Num{Value: f.DF, Style: page.DF},
		specimens+" more than figures fitted: the spread is hardly known, and with it every range here.")}
}
