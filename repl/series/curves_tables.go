package series

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/curves"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// fileRemarks puts what was odd about several files into words: of each kind of
// remark the first, and in how many more places the like was met.
func fileRemarks(all []frames.FileRemark) []page.Sentence {
	var out []page.Sentence
	for i, r := range all {
		like := func(o frames.FileRemark) bool { return o.Code == r.Code }
		if r.Code == "mass-as-load" || slices.IndexFunc(all, like) < i {
			continue
		}
		more := -1
		for _, o := range all {
			if like(o) {
				more++
			}
		}
		out = append(out, page.Say(r.File+": ", remark(r.Remark, reopening{}),
			page.If(more > 0, " The like was met in ", more, say.Plural(more, " place", " places")+" more.")))
	}
	return out
}

// reasons say in words why a curve does not hold a figure.
var reasons = map[curves.Reason]string{
	curves.StartsHigh:    "the first reading is already above a quarter of the largest load",
	curves.Upright:       "the slip does not move between 10 % and 40 % of the largest load",
	curves.NotRising:     "the load does not rise with slip between 10 % and 40 % of the largest load",
	curves.DropsEarly:    "it drops before 40 % of the largest load is reached",
	curves.NoStiffness:   "it needs the stiffness, which this curve does not show",
	curves.NeverDrops:    "the load never drops and stays down",
	curves.NothingAfter:  "there is no reading after the drop",
	curves.NeverSoftens:  "the curve stays steeper than a sixth of its stiffness",
	curves.MeetsOffCurve: "the two lines of the yield load meet off the curve",
}

// curveError says in words why nothing can be measured on a curve.
func curveError(err error) string {
	var e *curves.Error
	if errors.As(err, &e) {
		if words, ok := faults[e.Code]; ok {
			return words
		}
	}
	return err.Error()
}

var faults = map[string]string{
	"too-few-readings":  "there are fewer than five readings",
	"not-a-number":      "a reading is endless",
	"too-large":         "a reading is too large to work with",
	"slip-stands-still": "the slip never moves",
	"slip-backwards":    "the slip counts down; its sign may be turned round",
	"no-rise":           "the load never rises above its first reading",
	"upside-down":       "the loads run below zero; their sign may be turned round",
}

// tellCurves says which curves found a specimen, what they did not hold, and what was odd about them.
func tellCurves(k *session.Call, key string, f *frames.Frame, c *frames.Curves, m []session.CurveFigures,
	matching frames.Matching) {
	var without []string
	for _, row := range matching.Without {
		name, ok := f.Cell(key, row)
		if !ok {
			name = f.SpecimenName(row)
		}
		without = append(without, name)
	}
	strangers := lists.Mapped(matching.Strangers, func(i int) string { return c.Names[i] })
	done := 0
	var failed []string
	for row := range f.Len() {
		switch i, ok := f.CurveOf(row); {
		case ok && m[i].Err != nil:
			failed = append(failed, c.Names[i])
		case ok:
			done++
		}
	}
	all := c.Len()
	belong := page.Say(done, say.Plural(done, " belongs", " belong"))
	if done == all {
		belong = page.Say(say.Plural(all, "it belongs", "all belong"))
	}
	k.Entry.Findings = []page.Sentence{page.Say(c.Readings(), " readings of ", all, say.Plural(all, " curve",
		" curves")+"; ", belong, " to a specimen and "+say.Plural(done, "was", "were")+" measured.")}
	named := func(names []string, one, many string) page.Sentence {
		return page.If(len(names) > 0, len(names), say.Plural(len(names), one, many)+": "+say.Listed(names)+".")
	}
	k.Entry.Find(named(without, " specimen has no curve, so the figures are missing there",
		" specimens have no curve, so the figures are missing there"))
	k.Entry.Warn(named(failed, " curve could not be measured (the table of missing figures says why)",
		" curves could not be measured (the table of missing figures says why)"),
		named(strangers, " curve belongs to no specimen of the series and was left alone",
			" curves belong to no specimen of the series and were left alone"),
		page.If(c.LoadUnit.Dimension() == "mass", "The loads of the readings are in ", page.Unit(c.LoadUnit.String()),
			", a mass. If they were forces, say so in the header of the file (kgf, lbf)."))
	k.Entry.Warn(fileRemarks(c.Remarks)...)
	k.Entry.Warn(page.If(c.Skipped > 0, c.Skipped, say.Plural(c.Skipped, " row has", " rows have")+
		" no specimen, no slip or no load and "+say.Plural(c.Skipped, "was", "were")+" left out."))
	k.Entry.Warn(curveCautions(f, c, m)...)
	if t := absentTable(f, m); len(t.Rows) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, t)
	}
	k.Entry.Values = page.ValuesOf(curveValues{c.Len(), c.Readings(), done, len(failed), len(without), len(strangers),
		c.Skipped}, nil)
}

// curveValues count the curves that were read and what came of them.
type curveValues struct {
	Curves          int `id:"curves"`
	Readings        int `id:"readings"`
	Measured        int `id:"measured"`
	NotMeasured     int `id:"not_measured"`
	WithoutCurve    int `id:"without_curve"`
	WithoutSpecimen int `id:"without_specimen"`
	SkippedReadings int `id:"skipped_readings"`
}

// figureRow sums up one new column.
type figureRow struct {
	Figure string        `id:"figure"`
	Unit   string        `id:"unit"`
	N      int           `id:"n"`
	Mean   page.Quantity `id:"mean" style:"exact" apart:"yes"`
	Least  page.Quantity `id:"smallest" style:"exact" apart:"yes"`
	Most   page.Quantity `id:"largest" style:"exact" apart:"yes"`
}

// figureTable sums up the new columns.
func figureTable(ctx context.Context, columns []frames.NumberColumn) page.Table {
	var rows []figureRow
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
		mean := page.Quantity{Value: s.mean, Step: c.Step}
		if c.Step == 0 {
			mean.Step = notation.StepAt(ctx, []float64{s.mean}, notation.DigitsOf(ctx, c.Values))
		}
		rows = append(rows, figureRow{c.Name, c.Unit.String(), s.n, mean, page.Quantity{Value: s.least, Step: c.Step},
			page.Quantity{Value: s.most, Step: c.Step}})
	}
	return page.Filled(page.Table{ID: "figures", Title: page.Say("New columns")}, rows, nil)
}

// absentRow is a figure that some curves do not hold for one reason.
type absentRow struct {
	Figure    string `id:"figure"`
	N         int    `id:"n"`
	Why       string `id:"why"`
	Specimens string `id:"specimens"`
}

// absentTable lists the figures that curves do not hold, by figure and reason.
func absentTable(f *frames.Frame, m []session.CurveFigures) page.Table {
	var rows []absentRow
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
		if m[i].Err != nil {
			whole = add(whole, curveError(m[i].Err), name)
			continue
		}
		for _, kind := range curves.Kinds() {
			if why := m[i].Why[kind]; why != "" {
				figures[kind] = add(figures[kind], cmp.Or(reasons[why], string(why)), name)
			}
		}
	}
	put := func(figure string, list []absent) {
		for _, a := range list {
			rows = append(rows, absentRow{figure, len(a.names), a.why, say.Listed(a.names)})
		}
	}
	put("all", whole)
	for _, kind := range curves.Kinds() {
		put(kind.Key(), figures[kind])
	}
	return page.Filled(page.Table{ID: "missing", Title: page.Say("Figures that curves do not show")}, rows, nil)
}

// curveCautions gathers what was done to curves before they were measured.
func curveCautions(f *frames.Frame, c *frames.Curves, m []session.CurveFigures) []page.Sentence {
	var odd oddCurves
	largest := 0.
	for row := range f.Len() {
		i, ok := f.CurveOf(row)
		if !ok || m[i].Err != nil {
			continue
		}
		name, w := c.Names[i], m[i].Preparation
		note := func(list *[]string, is bool) {
			if is {
				*list = append(*list, name)
			}
		}
		note(&odd.zeroed, m[i].Tare != 0)
		if math.Abs(m[i].Tare) > math.Abs(largest) {
			largest = m[i].Tare
		}
		note(&odd.sorted, w.Sorted)
		note(&odd.looped, len(w.Loops) > 0)
		note(&odd.cutShort, m[i].Marks.StillCarrying)
		note(&odd.shortLine, m[i].Marks.ShortLine)
	}
	return odd.sentences(page.Num{Value: largest, Unit: c.LoadUnit.String(), Resolution: math.Abs(largest) / 100})
}
