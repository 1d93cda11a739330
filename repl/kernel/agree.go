package kernel

import (
	"errors"
	"math"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/models/dist"
	"breakbook/models/meta"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// seriesMean is one series of an agree: its own mean and spread.
type seriesMean struct {
	name        string
	n, mean, sd float64
}

// agreement asks whether series tell one story.
func agreement(k *call, cmd *phrase.Agree) (*outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.AgreeMean:
		return k.agreeMean(of, cmd.Series)
	case phrase.AgreeEffect:
		return k.agreeEffect(of, nil, cmd.Series)
	case phrase.AgreeMeasure:
		return k.agreeEffect(of.AgreeEffect, &of.Y, cmd.Series)
	}
	return nil, k.unhandled()
}

// agreeMean asks whether the means of several series tell one story, and what they say
// together. A series is a level of a column: of specimens, or of rows that hold a mean
// beside its n and sd.
func (k *call) agreeMean(of phrase.AgreeMean, by phrase.ColumnRef) (*outcome, error) {
	s, r, groups, err := k.levelled(phrase.ByLevels{Y: of.Y, A: by})
	if err != nil {
		return nil, err
	}
	means, summed, err := k.summed(s, r, groups, of.Y.At, by)
	if err != nil {
		return nil, err
	}
	if !summed {
		means = k.meansOf(groups)
	}
	all := make([]meta.Series, len(means))
	for i, m := range means {
		all[i] = meta.Series{Estimate: m.mean, SE: m.sd / math.Sqrt(m.n)}
	}
	conf := k.confidence()
	steps, err := meta.Steps(all, conf)
	if err != nil {
		return nil, seriesProblem(err, means, by)
	}
	t := steps[len(steps)-1]
	u := r.unit()
	lead := say.OneStory(r.measure(), len(means), t.Between, u, t.QP)
	k.e.Findings = append(k.e.Findings, lead, say.Jointly(r.measure(), t.Mean, t.Range, u, conf, t.FixedRange))
	for i := 1; i < len(steps); i++ {
		k.e.Findings = append(k.e.Findings, say.Added(means[i+1].name, steps[i-1].Range, steps[i].Range, u, page.Plain))
	}
	if len(means) == 2 {
		k.e.Cautions = append(k.e.Cautions, say.NearlyEmpty())
	}
	table := page.Table{ID: "series", Title: page.Say(r.name() + " by " + by.Column), Columns: []page.Column{{ID: "series"}, {ID: "n", Style: page.Count},
		{ID: "mean", Unit: u}, {ID: "sd", Unit: u}, {ID: "weight", Style: page.Fraction}},
		Note: page.Say("weight: of the series in their joint mean")}
	for i, m := range means {
		table.Rows = append(table.Rows, []page.Cell{page.T(m.name), page.N(m.n), page.N(m.mean), page.N(m.sd), page.N(t.Weights[i])})
	}
	adding := page.Table{ID: "adding", Title: page.Say("What each series added"), Columns: []page.Column{{ID: "series"}, {ID: "together", Style: page.Count},
		{ID: "mean", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u}, {ID: "between_sd", Unit: u}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range of the mean over series (t, ", len(means)-1,
			" degrees of freedom at the end; Hartung and Knapp's factor never below 1)")}
	for i, step := range steps {
		adding.Rows = append(adding.Rows, []page.Cell{page.T(means[i+1].name), page.N(float64(i + 2)), page.N(step.Mean),
			page.N(step.Range.Low), page.N(step.Range.High), page.N(step.Between)})
	}
	k.e.Tables = []page.Table{table, adding}
	k.e.Values = agreeValues(t, u)
	one := main{key: "mean", told: lead, gap: say.Gap{Value: t.Mean, Range: t.Range}}
	if t.QP < say.Alarm {
		one.gap.Answer = verdict.Differs
	}
	return answered(s, r, []string{by.Column}, []main{one}).keeping(result{columns: []string{by.Column}}), nil
}

// agreeValues are the figures of series put together, by the ids of the contract.
func agreeValues(t *meta.Together, u string) []page.Value {
	v := []page.Value{figure("between_sd", t.Between, page.Plain, u), figure("q", t.Q, page.Ratio, ""), figure("df", t.QDF, page.DF, ""),
		figure("p", t.QP, page.P, ""), figure("mean", t.Mean, page.Plain, u), figure("low", t.Range.Low, page.Plain, u),
		figure("high", t.Range.High, page.Plain, u), figure("fixed_mean", t.FixedMean, page.Plain, u),
		figure("fixed_low", t.FixedRange.Low, page.Plain, u), figure("fixed_high", t.FixedRange.High, page.Plain, u)}
	for i, label := range []string{"sd between series", "Cochran's Q", "degrees of freedom of Q", "p of Q: no difference between series", "over all series",
		"low of that", "high of that", "were there one truth behind all", "low of that", "high of that"} {
		v[i].Label = label
	}
	return v
}

// meansOf are the means of series of specimens; one of a single specimen tells no spread
// and is left out.
func (k *call) meansOf(groups []group) []seriesMean {
	var out []seriesMean
	var alone []string
	for _, g := range groups {
		m := compare.Summarise(k.ctx, g.values, 0.95)
		if m.N < 2 {
			alone = append(alone, g.level)
			continue
		}
		out = append(out, seriesMean{g.level, float64(m.N), m.Mean, m.SD})
	}
	if len(alone) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.LeftOutSeries(alone, "a single specimen tells nothing of its spread"))
	}
	return out
}

// summed reads series that are one row each, with their n and sd beside the mean; false
// where the rows are specimens.
func (k *call) summed(s *sample, r *response, groups []group, at int, by phrase.ColumnRef) ([]seriesMean, bool, error) {
	for _, g := range groups {
		if len(g.values) != 1 {
			return nil, false, nil
		}
	}
	spread, ok := s.frame.Column("sd")
	if _, counted := s.frame.Column("n"); !ok || !counted {
		return nil, false, nil
	}
	if r.function != "" {
		return nil, false, &page.Problem{Code: "summed-already", At: at,
			Message: r.name() + " cannot be had of means: their specimens are not here", Hint: phrase.Line(&phrase.Agree{Subject: phrase.AgreeMean{Y: plainly(r.column.Name)}, Series: by})}
	}
	n, err := s.number("n")
	if err != nil {
		return nil, false, err
	}
	sd, err := s.number("sd")
	if err != nil {
		return nil, false, err
	}
	var out []seriesMean
	var lacking []string
	for _, g := range groups {
		row := g.rows[0]
		m := seriesMean{g.level, n[row], g.values[0], sd[row]}
		if !spread.Unit.None() && !r.column.Unit.None() {
			if m.sd, err = units.ConvertDifference(m.sd, spread.Unit, r.column.Unit); err != nil {
				return nil, false, err
			}
		}
		if !(m.n >= 2) || !(m.sd >= 0) {
			lacking = append(lacking, g.level)
			continue
		}
		out = append(out, m)
	}
	if len(lacking) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.LeftOutSeries(lacking, "an n of two or more and an sd are needed"))
	}
	return out, true, nil
}

// seriesProblem words what keeps series from being put together.
func seriesProblem(err error, means []seriesMean, by phrase.ColumnRef) error {
	var e *meta.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: e.Code, At: by.At, Message: e.Error()}
	switch e.Code {
	case "too-few-series":
		p.Message = "one series alone has nothing to agree with"
		p.Hint = "pool A, B as NAME puts series together, with a series column"
	case "no-spread":
		p.Message = "the specimens of " + means[e.Series].name + " are all alike, so it has no error to weigh it by"
		p.Hint = "leave it out with for " + phrase.ConditionText(phrase.Is{Column: by, Negate: true, Values: []phrase.Value{{Text: means[e.Series].name}}})
	}
	return p
}

// loadColumn is the response where the command names none: the column marked as load,
// else one called so.
func loadColumn(f *frames.Frame, a phrase.ColumnRef) (string, error) {
	if c, ok := f.RoleColumn(frames.Load); ok && c.Kind == frames.Number {
		return c.Name, nil
	}
	if c, ok := f.Column("load"); ok && c.Kind == frames.Number {
		return c.Name, nil
	}
	return "", &page.Problem{Code: "which-response", At: a.At, Message: "no column is marked as load, so it is not known of what",
		Hint: "mark COLUMN as load, or agree compare COLUMN by " + phrase.Spelled(a.Column) + " against …"}
}

// ownRange is the range of one series' estimate by its own t.
func ownRange(estimate, se, df, conf float64) verdict.Range {
	half := dist.TQuantile(0.5+conf/2, df) * se
	return verdict.Range{Low: estimate - half, High: estimate + half}
}
