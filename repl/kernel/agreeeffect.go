package kernel

import (
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/meta"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// seriesEffect is the difference between two levels in one series, with the spread of
// all levels of that series.
type seriesEffect struct {
	series             string
	n                  int // specimens of the two levels
	difference, se, df float64
	baseline           float64 // mean of the level it is set against
}

// story is one level against another over all series that have both.
type story struct {
	level    string
	effects  []seriesEffect
	steps    []*meta.Together
	all      *meta.Together
	gap      say.Gap
	sentence page.Sentence
}

// agreeEffect asks whether a difference between levels repeats from series to series:
// days and glues shift every mean, and what should repeat is one level less another.
func agreeEffect(k *call) (*Session, error) {
	a, by := k.column("a"), k.column("series")
	s, r, err := k.effectSample(a, by)
	if err != nil {
		return nil, err
	}
	against := k.c.Slots["against"].(phrase.LevelRef)
	stories, err := k.stories(s, r, a, by, against.Level)
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
	for i := range stories {
		if err := k.tellStory(&stories[i], r, a.Column, against.Level, conf); err != nil {
			return nil, err
		}
	}
	lead := clearestStory(stories)
	style, u := lead.gap.Style, r.unit()
	if r.logged() {
		u = ""
	}
	k.e.Findings = append(k.e.Findings, lead.sentence)
	for _, t := range stories {
		if t.level != lead.level {
			k.e.Findings = append(k.e.Findings, t.sentence)
		}
	}
	k.e.Findings = append(k.e.Findings, say.OneStory(a.Column+" "+lead.level+" against "+against.Level, len(lead.effects), lead.all.Between, r.unit(), lead.all.QP))
	newest := lead.effects[len(lead.effects)-1]
	shown := func(v verdict.Range) verdict.Range {
		if r.logged() {
			return verdict.Range{Low: math.Expm1(v.Low), High: math.Expm1(v.High)}
		}
		return v
	}
	if len(lead.steps) > 1 {
		k.e.Findings = append(k.e.Findings, say.Newest(newest.series, shown(ownRange(newest.difference, newest.se, newest.df, conf)),
			shown(lead.steps[len(lead.steps)-2].Range), u, style))
		for i := 1; i < len(lead.steps); i++ {
			k.e.Findings = append(k.e.Findings, say.Added(lead.effects[i+1].series, shown(lead.steps[i-1].Range), shown(lead.steps[i].Range), u, style))
		}
	} else {
		k.e.Cautions = append(k.e.Cautions, say.NearlyEmpty())
	}
	k.e.Tables = []page.Table{effectTable(stories, against.Level, r, a.Column, conf), jointTable(stories, against.Level, r, conf)}
	k.e.Values = agreeValues(lead.all, r.unit())
	mains := []main{{key: lead.level, told: lead.sentence, gap: lead.gap}}
	for _, t := range stories {
		if t.level != lead.level {
			mains = append(mains, main{key: t.level, told: t.sentence, gap: t.gap})
		}
	}
	return k.book(k.answered(s, r, []string{a.Column, by.Column}, mains), result{columns: []string{a.Column, by.Column}})
}

// effectSample is the specimens, and the response named or marked.
func (k *call) effectSample(a, by phrase.ColumnRef) (*sample, *response, error) {
	if k.has("y") {
		return k.measured(a.Column, by.Column)
	}
	_, f, err := k.frame()
	if err != nil {
		return nil, nil, err
	}
	load, err := k.loadColumn(f)
	if err != nil {
		return nil, nil, err
	}
	s, err := k.sample(load, a.Column, by.Column)
	if err != nil {
		return nil, nil, err
	}
	r, err := k.respond(s, phrase.Response{Column: phrase.ColumnRef{Column: load}})
	return s, r, err
}

// stories has one story for every level but the one set against, in the column's order.
// Series that lack one of the two levels, or any spread, take no part and are named.
func (k *call) stories(s *sample, r *response, a, by phrase.ColumnRef, against string) ([]story, error) {
	series, err := k.groups(s, r.values, by)
	if err != nil {
		return nil, err
	}
	codes, err := s.frame.Codes(k.ctx, a.Column)
	if err != nil {
		return nil, placed(err, a.At)
	}
	c, _ := s.frame.Column(a.Column)
	ref := slices.Index(c.Levels, against)
	byLevel := make([][]seriesEffect, len(c.Levels))
	var lacking []string
	for _, g := range series {
		effects, err := effectsIn(k.ctx, g, codes, len(c.Levels), ref)
		if err != nil {
			return nil, err
		}
		if len(effects) == 0 {
			lacking = append(lacking, g.level)
		}
		for level, e := range effects {
			byLevel[level] = append(byLevel[level], e)
		}
	}
	if len(lacking) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.LeftOutSeries(lacking, "no level to set against "+against+" there, or no spread to judge by"))
	}
	var out []story
	for level, effects := range byLevel {
		if len(effects) >= 2 {
			out = append(out, story{level: c.Levels[level], effects: effects})
		}
	}
	if len(out) == 0 {
		return nil, &page.Problem{Code: "too-few-series", At: by.At, Message: "fewer than two series have both " + against + " and another level of " + a.Column,
			Hint: "pool A, B as NAME puts series together, with a series column"}
	}
	return out, nil
}

// effectsIn is the difference of each level that occurs in one series to the level ref,
// by level; empty where ref is missing or nothing tells the spread.
func effectsIn(ctx context.Context, g group, codes []int, levels, ref int) (map[int]seriesEffect, error) {
	values := make([][]float64, levels)
	for i, row := range g.rows {
		values[codes[row]] = append(values[codes[row]], g.values[i])
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
			out[level] = seriesEffect{series: g.level, n: len(used[i]) + len(used[at]), difference: m.Mean[i] - m.Mean[at],
				se: math.Sqrt(m.Cov[i][i] + m.Cov[at][at]), df: m.DF, baseline: m.Mean[at]}
		}
	}
	return out, nil
}

// tellStory puts the series of one level together and into words.
func (k *call) tellStory(t *story, r *response, factor, against string, conf float64) (err error) {
	all := make([]meta.Series, len(t.effects))
	base := 0.0
	for i, e := range t.effects {
		all[i] = meta.Series{Estimate: e.difference, SE: e.se}
		base += e.baseline / float64(len(t.effects))
	}
	if t.steps, err = meta.Steps(all, conf); err != nil {
		return err
	}
	t.all = t.steps[len(t.steps)-1]
	w, err := k.worthOf(base, r.unit(), r.logged())
	if err != nil {
		return err
	}
	c, _ := k.s.column(k.e.Series, factor)
	level := func(name string) page.Sentence {
		if u := c.Unit.String(); u != "" {
			name += " " + u
		}
		return page.Say(name)
	}
	t.gap = say.Gap{Measure: r.measure(), With: append(page.Say(factor+" "), level(t.level)...), Than: level(against), Value: t.all.Mean, Range: t.all.Range,
		Unit: r.unit(), Confidence: conf, Probability: t.all.P, Answer: verdict.Decide(t.all.Range, t.all.Ninety, w.value), Worth: w.said}
	if r.logged() {
		asRatio(&t.gap)
	}
	t.sentence = t.gap.Repeated(len(t.effects))
	return nil
}

// clearestStory is the level whose difference stands furthest off zero for its error.
func clearestStory(stories []story) story {
	best := stories[0]
	for _, t := range stories[1:] {
		if math.Abs(t.all.Mean)/t.all.SE > math.Abs(best.all.Mean)/best.all.SE {
			best = t
		}
	}
	return best
}

// effectTable has one row a level and series.
func effectTable(stories []story, against string, r *response, factor string, conf float64) page.Table {
	u := r.unit()
	t := page.Table{ID: "series", Title: page.Say(r.name() + " by " + factor + " against " + against + ", series by series"), Columns: []page.Column{{ID: "series"},
		{ID: "first"}, {ID: "second"}, {ID: "n", Style: page.Count}, {ID: "difference", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u},
		{ID: "standard_error", Unit: u, Wide: true}, {ID: "weight", Style: page.Fraction}},
		Note: page.Say("low and high: each series' own ", page.Num{Value: conf, Style: page.Fraction}, " range; weight: in the joint difference")}
	for _, s := range stories {
		for i, e := range s.effects {
			own := ownRange(e.difference, e.se, e.df, conf)
			t.Rows = append(t.Rows, []page.Cell{page.T(e.series), page.T(against), page.T(s.level), page.N(float64(e.n)), page.N(e.difference),
				page.N(own.Low), page.N(own.High), page.N(e.se), page.N(s.all.Weights[i])})
		}
	}
	return t
}

// jointTable has the series of each level together, with and without the newest.
func jointTable(stories []story, against string, r *response, conf float64) page.Table {
	u := r.unit()
	t := page.Table{ID: "together", Title: page.Say("Series together"), Columns: []page.Column{{ID: "first"}, {ID: "second"}, {ID: "which"},
		{ID: "together", Label: "series", Style: page.Count}, {ID: "difference", Unit: u}, {ID: "low", Unit: u}, {ID: "high", Unit: u},
		{ID: "between_sd", Unit: u}, {ID: "q", Style: page.Ratio, Wide: true}, {ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range over series (Hartung and Knapp's factor never below 1); q, degrees of freedom, p: whether the series differ beyond their own scatter; the newest is the last in the order of series")}
	for _, s := range stories {
		row := func(which string, x *meta.Together, n int) {
			t.Rows = append(t.Rows, []page.Cell{page.T(against), page.T(s.level), page.T(which), page.N(float64(n)), page.N(x.Mean),
				page.N(x.Range.Low), page.N(x.Range.High), page.N(x.Between), page.N(x.Q), page.N(x.QDF), page.N(x.QP)})
		}
		newest := s.effects[len(s.effects)-1].series
		row("all series", s.all, len(s.effects))
		if len(s.steps) > 1 {
			row("without "+newest, s.steps[len(s.steps)-2], len(s.effects)-1)
		} else {
			e := s.effects[0]
			own := ownRange(e.difference, e.se, e.df, conf)
			t.Rows = append(t.Rows, []page.Cell{page.T(against), page.T(s.level), page.T("without " + newest), page.N(1), page.N(e.difference),
				page.N(own.Low), page.N(own.High), {}, {}, {}, {}})
		}
	}
	return t
}
