package groups

import (
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/models/meta"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// oneStory tells whether several series have one mean: how far they lie apart beyond their own scatter.
func oneStory(of page.Sentence, series int, betweenSD float64, unit string, q float64) page.Sentence {
	switch {
	case q < say.Alarm:
		return page.Say("The ", series, " series do not tell one story of ", of, ": they differ by more than "+
			"their own scatter allows, by ", page.Difference(betweenSD, unit), " (sd) between series, ", page.Chance(q),
			".")
	case betweenSD > 0:
		return page.Say("The ", series, " series may tell one story of ", of, ": they lie ",
			page.Difference(betweenSD, unit),
			" (sd) further apart than their own scatter makes them, which chance could do, ", page.Chance(q), ".")
	}
	return page.Say("The ", series, " series tell one story of ", of,
		", as far as they can show: they differ no more than their own scatter makes them, ", page.Chance(q), ".")
}

// nearlyEmpty warns of an interval from two series.
func nearlyEmpty(asOne bool) page.Sentence {
	if asOne {
		return page.Say("Two series say almost nothing of how series differ: the interval that allows for it means " +
			"next to nothing, and the answer rests on one truth behind both. A third would tell more than any number " +
			"of specimens.")
	}
	return page.Say("Two series say almost nothing of how series differ: their interval means next to nothing. " +
		"A third would narrow it more than any number of specimens.")
}

// added tells what one more series did to the interval of the mean or effect over series.
func added(series string, before, after verdict.Range, unit string, style page.Style) page.Sentence {
	was, is := (before.High-before.Low)/2, (after.High-after.Low)/2
	num := func(x float64) page.Num { return page.Num{Value: x, Unit: page.DifferenceUnit(unit), Style: style} }
	switch {
	case is < 0.95*was:
		return page.Say(series+" narrowed what the series before it said together from ± ", num(was), " to ± ",
			num(is), ".")
	case is > 1.05*was:
		return page.Say(series+" widened what the series before it said together from ± ", num(was), " to ± ", num(is),
			": it does not fit in with them.")
	}
	return page.Say(series+" left what the series before it said together as wide as it was, ± ", num(is), ".")
}

// leftOutSeries names series that could not take part.
func leftOutSeries(names []string, why string) page.Sentence {
	return page.Say(say.Listed(names) + say.Plural(len(names), " was", " were") + " left out: " + why + ".")
}

// seriesEffect is the difference between two levels in one series, with the spread of all levels of that series.
type seriesEffect struct {
	meta.Series // the difference
	series      string
	n           int // specimens of the two levels
}

// pooledEffect is one level against another over all series that have both.
type pooledEffect struct {
	level    string
	effects  []seriesEffect
	steps    []*meta.Together
	all      *meta.Together
	gap      say.Gap
	sentence page.Sentence
}

// agreeEffect asks whether a difference between levels repeats from series to series:
// days and glues shift every mean, and what should repeat is one level less another.
func agreeEffect(k *session.Call, of phrase.AgreeEffect, y *phrase.Response,
	by phrase.ColumnRef) (*session.Outcome, error) {
	a, against := of.A, of.Against
	s, r, err := effectSample(k, y, a, by)
	if err != nil {
		return nil, err
	}
	kind, err := likeWithLike(k, s, by.Column, r.Column.Name, a.Column)
	if err != nil {
		return nil, err
	}
	if kind.leftOut > 0 {
		if r, err = k.ReadResponse(s, effectResponse(r, y)); err != nil {
			return nil, err
		}
	}
	stories, err := stories(k, s, r, a, by, against.Level)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	for i := range stories {
		if err := tellStory(k, &stories[i], r, a.Column, against.Level, conf); err != nil {
			return nil, err
		}
	}
	lead := stories[0]
	for _, t := range stories[1:] { // the difference furthest off zero for its error
		if math.Abs(t.all.Mean)/t.all.SE > math.Abs(lead.all.Mean)/lead.all.SE {
			lead = t
		}
	}
	style, u := lead.gap.Style, r.Unit()
	if r.Logged() {
		u = ""
	}
	k.Entry.Find(lead.sentence)
	mains := []session.Answer{{Key: lead.gap.Of, Finding: lead.sentence, Gap: lead.gap}}
	for _, t := range stories {
		if t.level != lead.level {
			k.Entry.Find(t.sentence)
			mains = append(mains, session.Answer{Key: t.gap.Of, Finding: t.sentence, Gap: t.gap})
		}
	}
	k.Entry.Find(oneStory(page.Say(lead.gap.With, " against ", lead.gap.Than),
		len(lead.effects), lead.all.Between, r.Unit(), lead.all.QP))
	k.Entry.Find(kind.note())
	newest := lead.effects[len(lead.effects)-1]
	shown := func(v verdict.Range) verdict.Range {
		if r.Logged() {
			return ratios(v)
		}
		return v
	}
	together := func(t *meta.Together) verdict.Range {
		_, at, _, _ := t.Answering()
		return shown(at)
	}
	if len(lead.steps) > 1 {
		span := func(r verdict.Range) page.Span {
			return page.Span{Low: r.Low, High: r.High, Unit: page.DifferenceUnit(u), Style: style}
		}
		alone, without := shown(newest.Own(conf)), together(lead.steps[len(lead.steps)-2])
		k.Entry.Find(page.Say("The newest, "+newest.series+", alone: ", span(alone), "; the series before it: ",
			span(without), page.If(alone.Low > without.High || alone.High < without.Low,
				". These do not overlap: something was different this time"), "."))
		for i := 1; i < len(lead.steps); i++ {
			k.Entry.Find(added(lead.effects[i+1].series, together(lead.steps[i-1]), together(lead.steps[i]), u, style))
		}
	} else {
		k.Entry.Warn(nearlyEmpty(lead.all.AsOne))
	}
	k.Entry.Find(pooledFit(pooledLine(k, effectResponse(r, y), append([]string{a.Column}, kind.columns...), by.Column)))
	k.Entry.Tables = []page.Table{effectTable(stories, against.Level, r, a.Column, conf),
		jointTable(stories, against.Level, r, conf)}
	k.Entry.Values = agreeValues(lead.all, r.Unit())
	return session.Tested(s, r, []string{a.Column, by.Column},
		mains).Keeping(session.Result{Columns: []string{a.Column, by.Column},
		Gaps: effectsTogether(r, stories, a.Column, by.Column, conf)}), nil
}

// effectResponse is the response as typed, or the column that was marked.
func effectResponse(r *session.Response, y *phrase.Response) phrase.Response {
	if y != nil {
		return *y
	}
	return session.Plainly(r.Column.Name)
}

// effectSample is the specimens, and the response named or marked.
func effectSample(k *session.Call, y *phrase.Response,
	a, by phrase.ColumnRef) (*session.Sample, *session.Response, error) {
	if y != nil {
		return k.Measured(*y, a.Column, by.Column)
	}
	_, f, err := k.Frame()
	if err != nil {
		return nil, nil, err
	}
	load, err := loadColumn(f, a)
	if err != nil {
		return nil, nil, err
	}
	s, err := k.Sample(load, a.Column, by.Column)
	if err != nil {
		return nil, nil, err
	}
	r, err := k.ReadResponse(s, phrase.Response{Column: phrase.ColumnRef{Column: load}})
	return s, r, err
}

// stories has one story for every level but the one compared with, in the column's order.
// Series that lack one of the two levels, or any spread, take no part and are named.
func stories(k *session.Call, s *session.Sample, r *session.Response, a, by phrase.ColumnRef,
	against string) ([]pooledEffect, error) {
	series, err := k.Groups(s, r.Values, by)
	if err != nil {
		return nil, err
	}
	series = inTime(s, series, by.Column)
	codes, err := s.Frame.Codes(k.Context, a.Column)
	if err != nil {
		return nil, session.WithPlace(err, a.At)
	}
	c, _ := s.Frame.Column(a.Column)
	ref := slices.Index(c.Levels, against)
	byLevel := make([][]seriesEffect, len(c.Levels))
	var lacking []string
	for _, g := range series {
		effects, err := effectsIn(k.Context, g, codes, len(c.Levels), ref)
		if err != nil {
			return nil, err
		}
		if len(effects) == 0 {
			lacking = append(lacking, g.Level)
		}
		for level, e := range effects {
			byLevel[level] = append(byLevel[level], e)
		}
	}
	if len(lacking) > 0 {
		k.Entry.Warn(leftOutSeries(lacking, "no level to compare with "+against+" there, or no spread to judge by"))
	}
	var out []pooledEffect
	for level, effects := range byLevel {
		if len(effects) >= 2 {
			out = append(out, pooledEffect{level: c.Levels[level], effects: effects})
		}
	}
	if len(out) == 0 {
		return nil, page.Refuse(page.CodeTooFewSeries, by.At, "fewer than two series have both "+against+
			" and another level of "+a.Column, "pool A, B as NAME puts series together, with a series column")
	}
	return out, nil
}

// effectsIn is the difference of each level that occurs in one series to the level ref,
// by level; empty where ref is missing or nothing tells the spread.
func effectsIn(ctx context.Context, g session.Group, codes []int, levels, ref int) (map[int]seriesEffect, error) {
	values := make([][]float64, levels)
	for i, row := range g.Rows {
		values[codes[row]] = append(values[codes[row]], g.Values[i])
	}
	var present []int
	var used [][]float64
	for level, v := range values {
		if len(v) > 0 {
			present, used = append(present, level), append(used, v)
		}
	}
	m, err := compare.Groups(ctx, used)
	var unfit *compare.Error
	if errors.As(err, &unfit) || ref < 0 || len(values[ref]) == 0 {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	at := slices.Index(present, ref)
	out := map[int]seriesEffect{}
	for i, level := range present {
		if i != at {
			out[level] = seriesEffect{meta.Series{Estimate: m.Mean[i] - m.Mean[at],
				SE: math.Sqrt(m.Cov[i][i] + m.Cov[at][at]), DF: m.DF}, g.Level, len(used[i]) + len(used[at])}
		}
	}
	return out, nil
}

// tellStory puts the series of one level together and into words.
func tellStory(k *session.Call, t *pooledEffect, r *session.Response, factor, against string,
	conf float64) (err error) {
	all := lists.Mapped(t.effects, func(e seriesEffect) meta.Series { return e.Series })
	if t.steps, err = meta.Steps(all, conf); err != nil {
		return err
	}
	t.all = t.steps[len(t.steps)-1]
	w, err := k.WorthOf(r)
	if err != nil {
		return err
	}
	c, _ := k.Session.Column(k.Entry.Series, factor)
	level := func(name string) page.Sentence {
		if u := c.Unit.String(); u != "" {
			name += " " + u
		}
		return page.Say(name)
	}
	mean, at, ninety, p := t.all.Answering()
	t.gap = say.Gap{Of: factor + ": " + against + ", " + t.level, Measure: r.Measure(),
		With: append(page.Say(factor+" "), level(t.level)...), Than: level(against), Value: mean, Range: at,
		Unit: r.Unit(), Confidence: conf, Probability: p, Answer: verdict.Decide(at, ninety, w.Value), Worth: w.Said}
	other := t.all.FixedRange
	if t.all.AsOne {
		other = t.all.Range
	}
	if r.Logged() {
		session.AsRatio(&t.gap)
		other = ratios(other)
	}
	t.sentence = t.gap.Repeated(len(t.effects), t.all.AsOne, other)
	return nil
}

// ratios turns differences of logarithms into shares.
func ratios(r verdict.Range) verdict.Range {
	return verdict.Range{Low: math.Expm1(r.Low), High: math.Expm1(r.High)}
}

// effectRow is one level against another in one series.
type effectRow struct {
	Series     string  `id:"series"`
	First      string  `id:"first"`
	Second     string  `id:"second"`
	N          int     `id:"n"`
	Difference float64 `id:"difference" unit:"{y}" difference:"yes"`
	Low        float64 `id:"low" unit:"{y}" difference:"yes"`
	High       float64 `id:"high" unit:"{y}" difference:"yes"`
	SE         float64 `id:"standard_error" unit:"{y}" difference:"yes" wide:"yes"`
	Weight     float64 `id:"weight" style:"fraction"`
}

// jointRow is one level against another over several series.
type jointRow struct {
	First      string  `id:"first"`
	Second     string  `id:"second"`
	Which      string  `id:"which"`
	Together   int     `id:"together" label:"series"`
	Difference float64 `id:"difference" unit:"{y}" difference:"yes"`
	Low        float64 `id:"low" unit:"{y}" difference:"yes"`
	High       float64 `id:"high" unit:"{y}" difference:"yes"`
	Between    float64 `id:"between_sd" unit:"{y}" difference:"yes"`
	Q          float64 `id:"q" style:"ratio" wide:"yes"`
	DF         float64 `id:"df" label:"degrees of freedom" style:"df" wide:"yes"`
	P          float64 `id:"p" style:"p"`
}

func effectTable(stories []pooledEffect, against string, r *session.Response, factor string, conf float64) page.Table {
	var rows []effectRow
	for _, s := range stories {
		for i, e := range s.effects {
			own := e.Own(conf)
			rows = append(rows, effectRow{e.series, against, s.level, e.n, e.Estimate, own.Low, own.High, e.SE,
				s.all.Weights[i]})
		}
	}
	return page.Filled(page.Table{ID: "series", Title: page.Say(r.Name() + " by " + factor + " against " +
		against + ", series by series"), Note: page.Say("low and high: each series' own ", page.Share(conf),
		" interval; weight: in the joint difference")}, rows, page.Names{"y": r.Unit()})
}

// jointTable has the series of each level together, with and without the newest.
func jointTable(stories []pooledEffect, against string, r *session.Response, conf float64) page.Table {
	var rows []jointRow
	for _, s := range stories {
		row := func(which string, x *meta.Together, n int) {
			rows = append(rows, jointRow{against, s.level, which, n, x.Mean, x.Range.Low, x.Range.High, x.Between, x.Q,
				x.QDF, x.QP})
		}
		newest := s.effects[len(s.effects)-1].series
		row("all series", s.all, len(s.effects))
		if len(s.steps) > 1 {
			row("without "+newest, s.steps[len(s.steps)-2], len(s.effects)-1)
		} else {
			e, none := s.effects[0], math.NaN()
			own := e.Own(conf)
			rows = append(rows, jointRow{against, s.level, "without " + newest, 1, e.Estimate, own.Low, own.High,
				none, none, none, none})
		}
	}
	return page.Filled(page.Table{ID: "together", Title: page.Say("Series together"),
		Note: page.Say("low and high: ", page.Share(conf), " interval over series (Hartung "+
			"and Knapp's factor never below 1); q, degrees of freedom, p: whether the series differ beyond their own "+
			"scatter; the newest is the last in the order of series")},
		rows, page.Names{"y": r.Unit()})
}
