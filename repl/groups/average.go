package groups

import (
	"context"
	"math"
	"strings"

	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Average tells the mean, spread and interval of each group of specimens.
func Average(k *session.Call, cmd *phrase.Average) (*session.Outcome, error) {
	by := cmd.Categories()
	columns := lists.Mapped(by, func(c phrase.ColumnRef) string { return c.Column })
	s, r, err := k.Measured(cmd.Y, columns...)
	if err != nil {
		return nil, err
	}
	cells, err := k.Cells(s, r.Values, by)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	k.Entry.Tables = []page.Table{groupTable(k.Context, r, columns, cells, conf)}
	groups := lists.Mapped(cells, func(c session.Cell) session.Group { return c.Group })
	k.Entry.Warn(smallLevels(groups))
	mains := tellAverages(k, r, by, cells, valuesOf(groups), conf)
	return session.Tested(s, r, columns, mains), nil
}

// groupRow is one group of specimens.
type groupRow struct {
	A string `id:"{a}"`
	*secondLevel
	N      int     `id:"n"`
	Mean   float64 `id:"mean" unit:"{y}"`
	SD     float64 `id:"sd" unit:"{y}" difference:"yes"`
	CV     float64 `id:"cv" style:"fraction"`
	Least  float64 `id:"smallest" unit:"{y}" wide:"yes"`
	Median float64 `id:"median" unit:"{y}" wide:"yes"`
	Most   float64 `id:"largest" unit:"{y}" wide:"yes"`
	Low    float64 `id:"low" unit:"{y}"`
	High   float64 `id:"high" unit:"{y}"`
}

// secondLevel is the level of the second category that groups go by.
type secondLevel struct {
	B string `id:"{b}"`
}

func groupTable(ctx context.Context, r *session.Response, by []string, cells []session.Cell, conf float64) page.Table {
	names := page.Names{"y": r.Unit(), "a": by[0]}
	var rows []groupRow
	for _, c := range cells {
		m := compare.Summarise(ctx, c.Values, conf)
		if session.NoRatio(r.Column) || !r.Plain() {
			m.CV = math.NaN()
		}
		row := groupRow{A: c.Levels[0], N: m.N, Mean: m.Mean, SD: m.SD, CV: m.CV, Least: m.Least, Median: m.Median,
			Most: m.Most, Low: m.Interval.Low, High: m.Interval.High}
		if len(by) > 1 {
			row.secondLevel, names["b"] = &secondLevel{c.Levels[1]}, by[1]
		}
		rows = append(rows, row)
	}
	return page.Filled(page.Table{ID: "groups", Title: page.Say(r.Name() + " by " + session.Listed(by)),
		Note: page.Say("low and high: ", page.Share(conf),
			" interval of the mean, from the group's own spread")}, rows, names)
}

// tellAverages tells the largest gap between groups, adjusted for comparing all pairs.
func tellAverages(k *session.Call, r *session.Response, by []phrase.ColumnRef, cells []session.Cell,
	values [][]float64, conf float64) []session.Answer {
	if len(cells) < 2 {
		m := compare.Summarise(k.Context, cells[0].Values, conf)
		u := r.Unit()
		k.Entry.Find(page.Say("There is one group only, "+cells[0].Level+": mean ", page.In(m.Mean, u), " (",
			page.Share(conf), " interval ", page.Span{Low: m.Interval.Low, High: m.Interval.High, Unit: u}, ")."))
		return nil
	}
	names := lists.Mapped(cells, func(c session.Cell) string { return c.Level })
	var means compare.Means
	err := k.FewLevels(len(cells), by[0].Column, false)
	if err == nil {
		means, err = compare.Groups(k.Context, values)
	}
	if err != nil {
		k.Entry.Find(notCompared(k, err))
		return nil
	}
	f := fitted.Family{Response: r, Measure: r.Measure(), Unit: r.Unit(), Factor: by[0].Column, Names: names,
		Logged: r.Logged(), Probability: math.NaN()}
	if len(by) > 1 { // each level with its own factor
		f.Factor = ""
		for i, c := range cells {
			names[i] = cellName(k, by, c.Levels)
		}
	} else if c, ok := k.Session.Column(k.Entry.Series, f.Factor); ok {
		f.LevelUnit = c.Unit.String()
	}
	if err := f.AllPairs(k, means, conf); err != nil {
		k.Entry.Find(notCompared(k, err))
		return nil
	}
	k.Entry.Find(f.Leads()...)
	return f.Answers()
}

// cellName names a cell of two categories: "pins pair, thickness 44 mm".
func cellName(k *session.Call, by []phrase.ColumnRef, levels []string) string {
	var parts []string
	for i, b := range by {
		part := b.Column + " " + levels[i]
		if c, ok := k.Session.Column(k.Entry.Series, b.Column); ok && c.Unit.String() != "" {
			part += " " + c.Unit.String()
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", ")
}

// notCompared says why groups have means but no comparison.
func notCompared(k *session.Call, err error) page.Sentence {
	return page.Say("The groups cannot be compared: " + k.Problem(err).Message + ".")
}
