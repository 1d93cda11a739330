package kernel

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// parts are the series that the command lists, and the name of the one to be made.
func (k *call) parts() ([]frames.Part, string, error) {
	list := k.c.Slots["list"].(phrase.NameList)
	var parts []frames.Part
	for _, n := range list.List {
		if slices.ContainsFunc(parts, func(p frames.Part) bool { return p.Name == n.Text }) {
			return nil, "", &page.Problem{Code: "series-twice", At: n.At, Message: n.Text + " is named twice"}
		}
		f, _ := k.s.frame(n.Text)
		parts = append(parts, frames.Part{Name: n.Text, Frame: f})
	}
	name := k.c.Slots["name"].(phrase.Name)
	if k.s.taken(name.Text) {
		return nil, "", nameTaken(name.Text, name.At)
	}
	k.e.Series = name.Text
	return parts, name.Text, nil
}

// pool puts series one below the other.
func pool(k *call) (*Session, error) {
	parts, name, err := k.parts()
	if err != nil {
		return nil, err
	}
	next, odd, err := frames.Pool(k.ctx, parts)
	if err != nil {
		return nil, placed(err, k.slotPlace("list"))
	}
	load, origins := originsOf(k.ctx, next)
	t := page.Table{ID: "series", Title: page.Say("Series in " + name), Columns: []page.Column{{ID: "series"},
		{ID: "specimens", Style: page.Count}, {ID: "set_aside", Style: page.Count}, {ID: "median", Unit: load.Unit.String()}}}
	if load.Name != "" {
		t.Note = page.Say("median: of " + load.Name)
	}
	var names []string
	var medians []float64
	for _, o := range origins {
		names, medians = append(names, o.series), append(medians, o.median)
		t.Rows = append(t.Rows, []page.Cell{page.T(o.series), page.N(float64(o.specimens)), page.N(float64(o.aside)), page.N(o.median)})
	}
	k.e.Findings = []page.Sentence{say.Pooled(name, parts, next.Len(), len(next.Columns()))}
	k.e.Tables = []page.Table{t, columnTable(k.ctx, next, next.Columns())}
	k.e.Cautions = append(say.Mismatched(odd), mixedUnits(names, medians, load.Unit.String())...)
	if c, n := namesShared(next); n > 0 {
		k.e.Cautions = append(k.e.Cautions, say.NamesShared(n, c))
	}
	return k.s.withFrame(name, next), nil
}

// origin is what a pool holds of one series; median is that of its loads without what is
// set aside, NaN where there are none.
type origin struct {
	series           string
	specimens, aside int
	median           float64
}

// originsOf takes a pool apart by its series, and tells the column of loads: the one
// marked so, else the first of forces.
func originsOf(ctx context.Context, f *frames.Frame) (frames.Column, []origin) {
	load, ok := f.RoleColumn(frames.Load)
	if !ok || load.Kind != frames.Number {
		load = frames.Column{}
		for _, c := range f.Columns() {
			if load.Name == "" && c.Kind == frames.Number && c.Unit.Dimension() == "force" {
				load = c
			}
		}
	}
	c, _ := f.Column(frames.SeriesColumn)
	codes, _ := f.Codes(ctx, frames.SeriesColumn) // every pool has the column
	loads, err := f.Numbers(load.Name)
	all := make([]origin, len(c.Levels))
	values := make([][]float64, len(c.Levels))
	for row, code := range codes {
		all[code].specimens++
		if _, aside := f.Aside(row); aside {
			all[code].aside++
		} else if err == nil && !math.IsNaN(loads[row]) {
			values[code] = append(values[code], loads[row])
		}
	}
	for i := range all {
		all[i].series, all[i].median = c.Levels[i], math.NaN()
		if len(values[i]) > 0 {
			all[i].median = compare.Summarise(ctx, values[i], 0.95).Median
		}
	}
	return load, all
}

// namesShared counts the values of the specimen column that stand more than once.
func namesShared(f *frames.Frame) (column string, n int) {
	c, ok := f.RoleColumn(frames.Specimen)
	if !ok {
		return "", 0
	}
	times := map[string]int{}
	for row := range f.Len() {
		if cell, ok := f.Cell(c.Name, row); ok {
			if times[cell]++; times[cell] == 2 {
				n++
			}
		}
	}
	return c.Name, n
}

// lineUp puts the columns of two series side by side.
func lineUp(k *call) (*Session, error) {
	parts, name, err := k.parts()
	if err != nil {
		return nil, err
	}
	if len(parts) > 2 {
		return nil, &page.Problem{Code: "too-many-series", At: k.c.Slots["list"].(phrase.NameList).List[2].At,
			Message: "two series are lined up at a time", Hint: "line up the result with " + parts[2].Name + " after that"}
	}
	ref := k.column("key")
	next, met, err := frames.LineUp(k.ctx, parts[0], parts[1], ref.Column)
	if err != nil {
		if ue, isUnits := err.(*units.Error); isUnits {
			return nil, &page.Problem{Code: "wrong-dimension", At: ref.At, Message: ref.Column + " does not measure the same in both: " + ue.Error()}
		}
		return nil, placed(err, ref.At)
	}
	t := page.Table{ID: "unmatched", Title: page.Say("Without a partner"), Columns: []page.Column{{ID: "series"},
		{ID: "row", Style: page.Count}, {ID: "line", Style: page.Count}, {ID: ref.Column}}}
	for i, rows := range [][]int{met.Alone, met.LeftOut} {
		f := parts[i].Frame
		for _, row := range rows {
			cell, _ := f.Cell(ref.Column, row)
			t.Rows = append(t.Rows, []page.Cell{page.T(parts[i].Name), page.N(float64(row + 1)), page.N(float64(f.Line(row))), maybe(cell)})
		}
	}
	k.e.Findings = []page.Sentence{say.LinedUp(name, parts[0], parts[1], ref.Column, met, len(next.Columns()))}
	k.e.Cautions = say.WithoutPartner(parts[0], parts[1], ref.Column, met)
	if len(t.Rows) > 0 {
		k.e.Tables = append(k.e.Tables, t)
	}
	k.e.Tables = append(k.e.Tables, columnTable(k.ctx, next, next.Columns()))
	return k.s.withFrame(name, next), nil
}
