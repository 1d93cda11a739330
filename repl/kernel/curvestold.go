package kernel

import (
	"math"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// tellCurves says which curves found a specimen, what they did not hold, and what was
// odd about them.
func (k *call) tellCurves(key string, f *frames.Frame, c *frames.Curves, m []measured, matching frames.Matching) {
	var without []string
	for _, row := range matching.Without {
		name, ok := f.Cell(key, row)
		if !ok {
			name = f.SpecimenName(row)
		}
		without = append(without, name)
	}
	var strangers []string
	for _, i := range matching.Strangers {
		strangers = append(strangers, c.Names[i])
	}
	done := 0
	var failed []string
	for row := range f.Len() {
		switch i, ok := f.CurveOf(row); {
		case ok && m[i].err != nil:
			failed = append(failed, c.Names[i])
		case ok:
			done++
		}
	}
	k.e.Findings = []page.Sentence{say.CurvesRead(c.Readings(), c.Len(), done)}
	if len(without) > 0 {
		k.e.Findings = append(k.e.Findings, say.WithoutCurve(without))
	}
	if len(failed) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.NotMeasured(failed))
	}
	if len(strangers) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.Strangers(strangers))
	}
	if c.LoadUnit.Dimension() == "mass" {
		k.e.Cautions = append(k.e.Cautions, say.LoadsInMass(c.LoadUnit.String()))
	}
	k.e.Cautions = append(k.e.Cautions, say.FileRemarks(c.Remarks)...)
	if c.Skipped > 0 {
		k.e.Cautions = append(k.e.Cautions, say.SkippedReadings(c.Skipped))
	}
	k.e.Cautions = append(k.e.Cautions, curveCautions(f, c, m)...)
	if t := absentTable(f, m); len(t.Rows) > 0 {
		k.e.Tables = append(k.e.Tables, t)
	}
	for _, v := range []struct {
		id string
		n  int
	}{{"curves", c.Len()}, {"readings", c.Readings()}, {"measured", done}, {"not_measured", len(failed)},
		{"without_curve", len(without)}, {"without_specimen", len(strangers)}, {"skipped_readings", c.Skipped}} {
		k.e.Values = append(k.e.Values, page.Value{ID: v.id, Cell: page.N(float64(v.n)), Style: page.Count})
	}
}

// figureTable sums up the new columns.
func figureTable(columns []frames.NumberColumn) page.Table {
	t := page.Table{ID: "figures", Title: page.Say("New columns"), Columns: []page.Column{
		{ID: "figure"}, {ID: "unit"}, {ID: "n", Style: page.Count}, {ID: "mean"}, {ID: "least"}, {ID: "most"}}}
	for _, c := range columns {
		s := span{least: math.Inf(1), most: math.Inf(-1)}
		for _, x := range c.Values {
			if x == x {
				s.add(x)
			}
		}
		if s.n == 0 {
			s.mean = math.NaN()
		}
		t.Rows = append(t.Rows, []page.Cell{page.T(c.Name), maybe(c.Unit.String()), page.N(float64(s.n)), page.N(s.mean), page.N(s.least), page.N(s.most)})
	}
	return t
}

// absentTable lists the figures that curves do not hold, by figure and reason.
func absentTable(f *frames.Frame, m []measured) page.Table {
	t := page.Table{ID: "missing", Title: page.Say("Figures that curves do not hold"),
		Columns: []page.Column{{ID: "figure"}, {ID: "n", Style: page.Count}, {ID: "why"}, {ID: "specimens"}}}
	type absent struct {
		why   string
		names []string
	}
	add := func(list []absent, why, name string) []absent {
		for i := range list {
			if list[i].why == why {
				list[i].names = append(list[i].names, name)
				return list
			}
		}
		return append(list, absent{why, []string{name}})
	}
	var whole []absent
	figures := make([][]absent, len(curves.Kinds()))
	for row := range f.Len() {
		i, ok := f.CurveOf(row)
		if !ok {
			continue
		}
		name := f.Curves().Names[i]
		if m[i].err != nil {
			whole = add(whole, say.CurveError(m[i].err), name)
			continue
		}
		for _, kind := range curves.Kinds() {
			if why := m[i].Why[kind]; why != "" {
				figures[kind] = add(figures[kind], say.CurveReason(why), name)
			}
		}
	}
	put := func(figure string, list []absent) {
		for _, a := range list {
			t.Rows = append(t.Rows, []page.Cell{page.T(figure), page.N(float64(len(a.names))), page.T(a.why), page.T(say.Listed(a.names))})
		}
	}
	put("all", whole)
	for _, kind := range curves.Kinds() {
		put(kind.Key(), figures[kind])
	}
	return t
}

// curveCautions gathers what was done to curves before they were measured.
func curveCautions(f *frames.Frame, c *frames.Curves, m []measured) []page.Sentence {
	var odd say.OddCurves
	largest := 0.
	for row := range f.Len() {
		i, ok := f.CurveOf(row)
		if !ok || m[i].err != nil {
			continue
		}
		name, w := c.Names[i], m[i].Way
		note := func(list *[]string, is bool) {
			if is {
				*list = append(*list, name)
			}
		}
		note(&odd.Zeroed, m[i].Tare != 0)
		if math.Abs(m[i].Tare) > math.Abs(largest) {
			largest = m[i].Tare
		}
		note(&odd.Sorted, w.Sorted)
		note(&odd.Looped, len(w.Loops) > 0)
		note(&odd.CutShort, m[i].Marks.StillCarrying)
		note(&odd.ShortLine, m[i].Marks.ShortLine)
	}
	return odd.Sentences(page.Num{Value: largest, Unit: c.LoadUnit.String(), Resolution: math.Abs(largest) / 100})
}
