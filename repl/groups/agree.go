package groups

import (
	"errors"
	"math"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/models/meta"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// seriesMean is one series of an agree: its own mean and spread.
type seriesMean struct {
	name        string
	n, mean, sd float64
	alike       *alikeMean
}

// alikeMean is the mean of a series at the make-up of all of them.
type alikeMean struct {
	Alike float64 `id:"at_one_makeup" unit:"{y}" label:"at one make-up"`
	SE    float64 `id:"standard_error" unit:"{y}" difference:"yes" wide:"yes"`
}

// seriesRow is one series whose mean is put together with others.
type seriesRow struct {
	Series string  `id:"series"`
	N      float64 `id:"n" style:"count"`
	Mean   float64 `id:"mean" unit:"{y}"`
	SD     float64 `id:"sd" unit:"{y}" difference:"yes"`
	*alikeMean
	Weight float64 `id:"weight" style:"fraction"`
}

// addingRow is the joint mean once one more series is there.
type addingRow struct {
	Series   string  `id:"series"`
	Together int     `id:"together"`
	Mean     float64 `id:"mean" unit:"{y}"`
	Low      float64 `id:"low" unit:"{y}"`
	High     float64 `id:"high" unit:"{y}"`
	Between  float64 `id:"between_sd" unit:"{y}" difference:"yes"`
}

// jointValues are the figures of series put together.
type jointValues struct {
	Between   float64 `id:"between_sd" unit:"{y}" difference:"yes" label:"sd between series"`
	Q         float64 `id:"q" style:"ratio" label:"Cochran's Q"`
	DF        float64 `id:"df" style:"df" label:"degrees of freedom of Q"`
	P         float64 `id:"p" style:"p" label:"p of Q: no difference between series"`
	Mean      float64 `id:"mean" unit:"{y}" label:"over all series"`
	Low       float64 `id:"low" unit:"{y}" label:"low of that"`
	High      float64 `id:"high" unit:"{y}" label:"high of that"`
	FixedMean float64 `id:"fixed_mean" unit:"{y}" label:"were there one truth behind all"`
	FixedLow  float64 `id:"fixed_low" unit:"{y}" label:"low of that"`
	FixedHigh float64 `id:"fixed_high" unit:"{y}" label:"high of that"`
}

// Agreement asks whether series tell one story.
func Agreement(k *session.Call, cmd *phrase.Agree) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.AgreeMean:
		return agreeMean(k, of, cmd.Series)
	case phrase.AgreeEffect:
		return agreeEffect(k, of, nil, cmd.Series)
	case phrase.AgreeMeasure:
		return agreeEffect(k, of.AgreeEffect, &of.Y, cmd.Series)
	}
	return nil, k.Unhandled()
}

// agreeMean asks whether the means of several series tell one story, and what they say together. A series is a level of
// a column: of specimens, or of rows that hold a mean beside its n and sd.
func agreeMean(k *session.Call, of phrase.AgreeMean, by phrase.ColumnRef) (*session.Outcome, error) {
	s, r, groups, err := k.MeasuredByLevel(phrase.ByLevels{Y: of.Y, A: by})
	if err != nil {
		return nil, err
	}
	groups = inTime(s, groups, by.Column)
	means, summed, err := summed(k, s, r, groups, of.Y.At, by)
	if err != nil {
		return nil, err
	}
	kind := &kinds{}
	if !summed {
		if kind, err = likeWithLike(k, s, by.Column, r.Column.Name); err != nil {
			return nil, err
		}
		if kind.leftOut > 0 {
			if r, err = k.ReadResponse(s, of.Y); err != nil {
				return nil, err
			}
			if groups, err = k.Groups(s, r.Values, by); err != nil {
				return nil, err
			}
			groups = inTime(s, groups, by.Column)
		}
		means = meansOf(k, groups)
		groups = slices.DeleteFunc(groups, func(g session.Group) bool { return len(g.Values) < 2 })
	}
	all := make([]meta.Series, len(means))
	for i, m := range means {
		all[i] = meta.Series{Estimate: m.mean, SE: m.sd / math.Sqrt(m.n), DF: m.n - 1}
	}
	conf := k.Confidence()
	steps, err := meta.Steps(all, conf)
	if err != nil {
		return nil, seriesProblem(err, means, by)
	}
	t := steps[len(steps)-1]
	asMade, series := t, all
	alike, err := broughtTo(k, s, kind.columns, groups)
	if err != nil {
		return nil, err
	}
	if alike != nil {
		if steps, err = meta.Steps(alike, conf); err != nil {
			return nil, seriesProblem(err, means, by)
		}
		t, series = steps[len(steps)-1], alike
		for i, a := range alike {
			means[i].alike = &alikeMean{a.Estimate, a.SE}
		}
	}
	u := r.Unit()
	lead := oneStory(page.Say(r.Measure()), len(means), t.Between, u, t.QP)
	k.Entry.Find(lead, kind.note())
	if alike != nil {
		k.Entry.Find(madeUp(kind.columns, asMade.QP, t.QP))
	}
	k.Entry.Find(page.Say("Together they put "+r.Measure()+" at ", page.Num{Value: t.Mean,
		Unit: u, Resolution: (t.Range.High - t.Range.Low) / 2}, " (", page.Share(conf), " interval ",
		page.Span{Low: t.Range.Low, High: t.Range.High, Unit: u}, "); were there one truth behind all series, ",
		page.Span{Low: t.FixedRange.Low, High: t.FixedRange.High, Unit: u}, "."))
	for i := 1; i < len(steps); i++ {
		k.Entry.Find(added(means[i+1].name, steps[i-1].Range, steps[i].Range, u, page.Plain))
	}
	if !summed {
		k.Entry.Find(pooledFit(pooledLine(k, of.Y, kind.columns, by.Column)))
	}
	if len(means) == 2 {
		k.Entry.Warn(nearlyEmpty(false))
	}
	k.Entry.Tables = []page.Table{meanTable(means, t, r, by), addingTable(means, steps, u, conf)}
	k.Entry.Values = agreeValues(t, u)
	one := session.Answer{Key: "mean", Finding: lead, Gap: say.Gap{Value: t.Mean, Range: t.Range}}
	if t.QP < say.Alarm {
		one.Gap.Answer = verdict.Differs
	}
	own := lists.Mapped(series, func(m meta.Series) verdict.Range { return m.Own(conf) })
	return session.Tested(s, r, []string{by.Column}, []session.Answer{one}).Keeping(
		session.Result{Columns: []string{by.Column},
			Gaps: meansTogether(r, means, own, t.Mean, t.Range, by.Column, conf)}), nil
}

// inTime puts series in the order they came in, the newest last: that of their levels, or where nobody gave them one
// and no number in their names does, that of the file, if the rows of each stand together there.
func inTime(s *session.Sample, groups []session.Group, by string) []session.Group {
	if s.Frame.HasGivenOrder(by) {
		return groups
	}
	for _, g := range groups {
		if strings.ContainsFunc(g.Level, unicode.IsDigit) || g.Rows[len(g.Rows)-1]-g.Rows[0] >= len(g.Rows) {
			return groups
		}
	}
	return slices.SortedFunc(slices.Values(groups), func(a, b session.Group) int { return a.Rows[0] - b.Rows[0] })
}

// meanTable has one row a series.
func meanTable(means []seriesMean, t *meta.Together, r *session.Response, by phrase.ColumnRef) page.Table {
	var rows []seriesRow
	for i, m := range means {
		rows = append(rows, seriesRow{m.name, m.n, m.mean, m.sd, m.alike, t.Weights[i]})
	}
	note := page.Say("weight: of the series in their joint mean")
	if means[0].alike != nil {
		note = page.Say("at one make-up: by the least-squares fit within each series, its residual sd with it in the " +
			"standard error; weight: of the series in their joint mean")
	}
	return page.Filled(page.Table{ID: "series", Title: page.Say(r.Name() + " by " + by.Column),
		Note: note}, rows, page.Names{"y": r.Unit()})
}

// addingTable has one row a series after the first: what it made of the joint mean.
func addingTable(means []seriesMean, steps []*meta.Together, u string, conf float64) page.Table {
	var rows []addingRow
	for i, step := range steps {
		rows = append(rows, addingRow{means[i+1].name, i + 2, step.Mean, step.Range.Low, step.Range.High, step.Between})
	}
	return page.Filled(page.Table{ID: "adding", Title: page.Say("What each series added"),
		Note: page.Say("low and high: ", page.Share(conf), " interval of the mean over series (t, ", len(means)-1,
			" degrees of freedom at the end; Hartung and Knapp's factor never below 1)")}, rows, page.Names{"y": u})
}

func agreeValues(t *meta.Together, u string) []page.Value {
	return page.ValuesOf(jointValues{t.Between, t.Q, t.QDF, t.QP, t.Mean, t.Range.Low, t.Range.High,
		t.FixedMean, t.FixedRange.Low, t.FixedRange.High}, page.Names{"y": u})
}

// meansOf are the means of series of specimens; one of a single specimen tells no spread and is left out.
func meansOf(k *session.Call, groups []session.Group) []seriesMean {
	var out []seriesMean
	var alone []string
	for _, g := range groups {
		m := compare.Summarise(k.Context, g.Values, 0.95)
		if m.N < 2 {
			alone = append(alone, g.Level)
			continue
		}
		out = append(out, seriesMean{name: g.Level, n: float64(m.N), mean: m.Mean, sd: m.SD})
	}
	if len(alone) > 0 {
		k.Entry.Warn(leftOutSeries(alone, "a single specimen tells nothing of its spread"))
	}
	return out
}

// summed reads series that are one row each, with their n and sd beside the mean; false where the rows are specimens.
func summed(k *session.Call, s *session.Sample, r *session.Response, groups []session.Group, at int,
	by phrase.ColumnRef) ([]seriesMean, bool, error) {
	for _, g := range groups {
		if len(g.Values) != 1 {
			return nil, false, nil
		}
	}
	if len(groups) < 2 {
		return nil, false, nil
	}
	if err := lacksBeside(k, s, at); err != nil {
		return nil, false, err
	}
	spread, _ := s.Frame.Column("sd")
	if r.Function != "" {
		return nil, false, page.Refuse(page.CodeSummedAlready, at,
			r.Name()+" cannot be had of means: their specimens are not here",
			phrase.Line(&phrase.Agree{Subject: phrase.AgreeMean{Y: session.Plainly(r.Column.Name)}, Series: by}))
	}
	n, err := s.Number("n")
	if err != nil {
		return nil, false, err
	}
	sd, err := s.Number("sd")
	if err != nil {
		return nil, false, err
	}
	var out []seriesMean
	var lacking []string
	for _, g := range groups {
		row := g.Rows[0]
		m := seriesMean{name: g.Level, n: n[row], mean: g.Values[0], sd: sd[row]}
		if !spread.Unit.None() && !r.Column.Unit.None() {
			if m.sd, err = units.ConvertDifference(m.sd, spread.Unit, r.Column.Unit); err != nil {
				return nil, false, err
			}
		}
		if !(m.n >= 2) || !(m.sd >= 0) {
			lacking = append(lacking, g.Level)
			continue
		}
		out = append(out, m)
	}
	if len(lacking) > 0 {
		k.Entry.Warn(leftOutSeries(lacking, "an n of two or more and an sd are needed"))
	}
	return out, true, nil
}

// besideMeans are the columns that stand beside the means of series, with the words that headers have for them.
var besideMeans = []struct {
	name  string
	words []string
}{{"n", []string{"n", "count", "number", "specimens", "joints"}}, {"sd", []string{"sd", "stdev", "std"}}}

// lacksBeside says which of them is not there, with the line that renames what is called nearly so.
func lacksBeside(k *session.Call, s *session.Sample, at int) error {
	var lacking, renames []string
	for _, b := range besideMeans {
		if c, ok := s.Frame.Column(b.name); ok && c.Kind == frames.Number {
			continue
		}
		lacking = append(lacking, b.name)
		for _, c := range s.Frame.Columns() {
			if c.Kind == frames.Number && slices.ContainsFunc(strings.Split(c.Name, "_"), func(word string) bool {
				return slices.Contains(b.words, word)
			}) {
				renames = append(renames, phrase.Line(&phrase.Rename{Column: phrase.ColumnRef{Column: c.Name},
					Name: phrase.Text{Text: b.name}}))
				break
			}
		}
	}
	if len(lacking) == 0 {
		return nil
	}
	hint := "give the means their n and sd in columns called so, or the specimens of each series"
	if len(renames) == len(lacking) {
		hint = phrase.Try(strings.Join(append(renames, session.WithoutName(k.Command)), "; "))
	}
	return page.Refuse(page.CodeTooFewSeries, at, "each series is one row here; to weigh a mean its n and sd have to "+
		"stand beside it, and no column of numbers is called "+session.And(lacking), hint)
}

// seriesProblem words what keeps series from being put together.
func seriesProblem(err error, means []seriesMean, by phrase.ColumnRef) error {
	var e *meta.Error
	if !errors.As(err, &e) {
		return err
	}
	p := page.Refuse(page.Code(e.Code), by.At, e.Error(), "")
	switch e.Code {
	case "too-few-series":
		p.Message = "one series alone has nothing to agree with"
		p.Hint = "pool A, B as NAME puts series together, with a series column"
	case "no-spread":
		p.Message = "the specimens of " + means[e.Series].name + " are all alike, so it has no error to weigh it by"
		p.Hint = "leave it out with for " + phrase.ConditionText(phrase.Is{Column: by, Negate: true,
			Values: []phrase.Value{{Text: means[e.Series].name}}})
	}
	return p
}

// loadColumn is the response where the command names none: the column marked as load, else one called so.
func loadColumn(f *frames.Frame, a phrase.ColumnRef) (string, error) {
	if c, ok := f.RoleColumn(frames.Load); ok && c.Kind == frames.Number {
		return c.Name, nil
	}
	if c, ok := f.Column("load"); ok && c.Kind == frames.Number {
		return c.Name, nil
	}
	mark := "mark COLUMN as load"
	if c, _ := f.Likely(frames.Load); c != "" {
		mark = phrase.Line(&phrase.Mark{Column: phrase.ColumnRef{Column: c}, Role: phrase.Choice{Word: "load"}})
	}
	return "", page.Refuse(page.CodeWhichResponse, a.At, "no column is marked as load, so it is not known of what",
		mark+", or agree compare COLUMN by "+phrase.Spelled(a.Column)+" against …")
}
