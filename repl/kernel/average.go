package kernel

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/compare"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// average tells the mean, spread and range of each group of specimens.
func average(k *call) (*Session, error) {
	by := []phrase.ColumnRef{k.column("a")}
	columns := []string{by[0].Column}
	if k.has("b") {
		by = append(by, k.column("b"))
		columns = append(columns, by[1].Column)
	}
	s, r, err := k.measured(columns...)
	if err != nil {
		return nil, err
	}
	cells, err := k.cells(s, r.values, by)
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
	k.e.Tables = []page.Table{groupTable(k.ctx, s, r, by, cells, conf)}
	k.e.Cautions = append(k.e.Cautions, smallGroups(cells)...)
	mains := k.tellAverages(r, by, cells, conf)
	return k.answered(s, r, columns, mains), nil
}

// cells splits the values by one or two categories; the level reads "pair" or "pair, 34".
func (k *call) cells(s *sample, values []float64, by []phrase.ColumnRef) ([]cell, error) {
	outer, err := k.groups(s, values, by[0])
	if err != nil {
		return nil, err
	}
	var out []cell
	for _, g := range outer {
		if len(by) == 1 {
			out = append(out, cell{group: g, levels: []string{g.level}})
			continue
		}
		inner, err := k.groups(s, values, by[1])
		if err != nil {
			return nil, err
		}
		for _, h := range inner {
			both := group{level: g.level + ", " + h.level}
			for i, row := range h.rows { // rows are in order
				parallel.LookAt(k.ctx, i)
				if _, in := slices.BinarySearch(g.rows, row); in {
					both.values = append(both.values, h.values[i])
					both.rows = append(both.rows, row)
				}
			}
			if len(both.values) > 0 {
				out = append(out, cell{group: both, levels: []string{g.level, h.level}})
			}
		}
	}
	return out, nil
}

// cell is a group with its levels apart.
type cell struct {
	group
	levels []string
}

func groupTable(ctx context.Context, s *sample, r *response, by []phrase.ColumnRef, cells []cell, conf float64) page.Table {
	u := r.unit()
	t := page.Table{ID: "groups", Title: page.Say(r.name() + " by " + join(by)),
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range of the mean, from the group's own spread")}
	for _, c := range by {
		t.Columns = append(t.Columns, page.Column{ID: c.Column})
	}
	t.Columns = append(t.Columns, page.Column{ID: "n", Style: page.Count}, page.Column{ID: "mean", Unit: u},
		page.Column{ID: "sd", Unit: u}, page.Column{ID: "cv", Style: page.Fraction}, page.Column{ID: "least", Unit: u, Wide: true},
		page.Column{ID: "median", Unit: u, Wide: true}, page.Column{ID: "most", Unit: u, Wide: true},
		page.Column{ID: "low", Unit: u}, page.Column{ID: "high", Unit: u})
	for _, c := range cells {
		var row []page.Cell
		for _, l := range c.levels {
			row = append(row, page.T(l))
		}
		m := compare.Summarise(ctx, c.values, conf)
		if noRatio(r.column) || r.function != "" {
			m.CV = math.NaN()
		}
		row = append(row, page.N(float64(m.N)), page.N(m.Mean), page.N(m.SD), page.N(m.CV), page.N(m.Least),
			page.N(m.Median), page.N(m.Most), page.N(m.Interval.Low), page.N(m.Interval.High))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// noRatio reports whether ratios of the column's values mean nothing: degC and degF
// have no natural zero.
func noRatio(c frames.Column) bool { return c.Unit.Dimension() == "temperature" }

func join(by []phrase.ColumnRef) string {
	out := by[0].Column
	for _, c := range by[1:] {
		out += ", " + c.Column
	}
	return out
}

// tellAverages tells the largest gap between groups, all pairs allowed for.
func (k *call) tellAverages(r *response, by []phrase.ColumnRef, cells []cell, conf float64) []main {
	if len(cells) < 2 {
		m := compare.Summarise(k.ctx, cells[0].values, conf)
		u := r.unit()
		k.e.Findings = append(k.e.Findings, page.Say("There is one group only, "+cells[0].level+": mean ",
			page.Num{Value: m.Mean, Unit: u}, " (", page.Num{Value: conf, Style: page.Fraction}, " range ",
			page.Span{Low: m.Interval.Low, High: m.Interval.High, Unit: u}, ")."))
		return nil
	}
	values := make([][]float64, len(cells))
	names := make([]string, len(cells))
	for i, c := range cells {
		values[i], names[i] = c.values, c.level
	}
	var means compare.Means
	err := k.fewLevels(len(cells), by[0].Column, false)
	if err == nil {
		means, err = compare.Groups(k.ctx, values)
	}
	if err != nil {
		k.e.Findings = append(k.e.Findings, k.notCompared(err))
		return nil
	}
	f := family{measure: r.measure(), unit: r.unit(), factor: by[0].Column, names: names, logged: r.logged(), probability: math.NaN()}
	if len(by) > 1 { // each level with its own factor
		f.factor = ""
		for i, c := range cells {
			names[i] = k.both(by, c.levels)
		}
	} else if c, ok := k.s.column(k.e.Series, f.factor); ok {
		f.levelUnit = c.Unit.String()
	}
	if err := f.allPairs(k, means, conf); err != nil {
		k.e.Findings = append(k.e.Findings, k.notCompared(err))
		return nil
	}
	k.e.Findings = append(k.e.Findings, f.lead())
	return f.mains()
}

// both names a cell of two categories: "pins pair, thickness 44 mm".
func (k *call) both(by []phrase.ColumnRef, levels []string) string {
	var parts []string
	for i, b := range by {
		part := b.Column + " " + levels[i]
		if c, ok := k.s.column(k.e.Series, b.Column); ok && c.Unit.String() != "" {
			part += " " + c.Unit.String()
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", ")
}

// notCompared says why groups have means but no comparison.
func (k *call) notCompared(err error) page.Sentence {
	return page.Say("The groups cannot be set against each other: " + k.problem(err).Message + ".")
}

// smallGroups warns of groups that are too small to say much.
func smallGroups(cells []cell) []page.Sentence {
	var names []string
	for _, c := range cells {
		if len(c.values) < 3 {
			names = append(names, c.level)
		}
	}
	if len(names) == 0 {
		return nil
	}
	s := "Fewer than three specimens: "
	for i, n := range names {
		if i > 0 {
			s += "; "
		}
		s += n
	}
	return []page.Sentence{page.Say(s + ". One more break could move such a mean a long way.")}
}
