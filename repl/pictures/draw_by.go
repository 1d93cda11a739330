package pictures

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// DrawBy shows every specimen of each level, with the mean and its interval; or all in test order.
func DrawBy(k *session.Call, cmd *phrase.DrawBy) (*session.Outcome, error) {
	draw := strip
	if cmd.OverOrder {
		draw = inOrder
	}
	fig, err := draw(k, cmd)
	if err != nil {
		return nil, err
	}
	return k.Drawn(fig)
}

// columnsOf are the columns whose levels a picture is by.
func columnsOf(cmd *phrase.DrawBy) (refs []phrase.ColumnRef, names []string) {
	refs = []phrase.ColumnRef{cmd.A}
	if cmd.Within != nil {
		refs = append(refs, *cmd.Within)
	}
	for _, r := range refs {
		names = append(names, r.Column)
	}
	return refs, names
}

// byTitle is "Break load by pins and place".
func byTitle(r *session.Response, f *frames.Frame, names []string, join string) string {
	var by []string
	for _, name := range names {
		c, _ := f.Column(name)
		by = append(by, session.InSentence(c))
	}
	return r.AxisLabel() + join + strings.Join(by, " and ")
}

// strip is the figure of every specimen of each level, or of the levels of one column within those of another.
func strip(k *session.Call, cmd *phrase.DrawBy) (page.Figure, error) {
	refs, names := columnsOf(cmd)
	s, r, err := k.Measured(cmd.Y, names...)
	if err != nil {
		return page.Figure{}, err
	}
	cells, err := k.Cells(s, r.Values, refs)
	if err != nil {
		return page.Figure{}, err
	}
	c, _ := s.Frame.Column(names[0])
	fig, err := k.Picture(byTitle(r, s.Frame, names, " by "), cmd.Picture)
	if err != nil {
		return page.Figure{}, err
	}
	fig.X, fig.Y = session.AxisOf(c), r.Axis()
	fig.Y.FromZero = cmd.FromZero
	label := cellLabel(s.Frame, names)
	if len(names) > 1 {
		inner, _ := s.Frame.Column(names[1])
		fig.X.Label, fig.X.Unit = fig.X.Label+", "+session.InSentence(inner), ""
	}
	means := []page.Layer(nil)
	points := roomFor(specimensOf(cells))
	var levelMeans []say.LevelMean
	for i, cell := range cells {
		look := session.LookOf(c, cell.Levels[0])
		fig.X.Levels, fig.X.Counts = append(fig.X.Levels, label(cell.Levels)), append(fig.X.Counts, len(cell.Values))
		for j, v := range cell.Values {
			parallel.LookAt(k.Context, j)
			points.Add(float64(i), v, look, s.Frame.SpecimenName(cell.Rows[j]))
		}
		m := compare.Summarise(k.Context, cell.Values, k.Confidence())
		levelMeans = append(levelMeans, say.LevelMean{Level: cell.Level, N: m.N, Mean: m.Mean})
		if m.N < 2 {
			continue // one specimen has no interval
		}
		means = append(means, page.Interval{X: float64(i), Mean: m.Mean, Low: m.Interval.Low, High: m.Interval.High,
			Look: look})
	}
	points.Odd = oddest(lessMean(cells))
	aside, err := asideByLevel(s, cmd.Y, names,
		func(levels []string) int { return slices.Index(fig.X.Levels, label(levels)) },
		func(levels []string) int { return session.LookOf(c, levels[0]) })
	if err != nil {
		return page.Figure{}, err
	}
	fig.Layers = append([]page.Layer{points, aside}, means...)
	fig.Note = andNote(StripNote(k.Confidence(), len(means) > 0), oddNote(points.Odd, "the mean of its level"),
		leftOutNote(s, len(aside.X)))
	fig.Alt = StripAlt(r.Measure(), r.Unit(), strings.Join(names, ", "), levelMeans)
	return fig, nil
}

// cellLabel names a cell on an axis: its level, whose unit the axis has, or two with their units.
func cellLabel(f *frames.Frame, names []string) func(levels []string) string {
	return func(levels []string) string {
		if len(levels) == 1 {
			return levels[0]
		}
		var out []string
		for i, l := range levels {
			c, _ := f.Column(names[i])
			out = append(out, strings.TrimSpace(l+" "+c.Unit.String()))
		}
		return strings.Join(out, ", ")
	}
}

// roomFor are no points yet, with room for so many.
func roomFor(n int) page.Points {
	return page.Points{X: make([]float64, 0, n), Y: make([]float64, 0, n), Looks: make([]int, 0, n),
		Names: make([]string, 0, n)}
}

// specimensOf is how many specimens cells have together.
func specimensOf(cells []session.Cell) (n int) {
	for _, c := range cells {
		n += len(c.Values)
	}
	return n
}

// lessMean is how far each specimen is off the mean of its cell, in the order of the cells.
func lessMean(cells []session.Cell) []float64 {
	out := make([]float64, 0, specimensOf(cells))
	for _, c := range cells {
		mean := session.Means([][]float64{c.Values})[0]
		for _, v := range c.Values {
			out = append(out, v-mean)
		}
	}
	return out
}

// inOrder is the figure of every specimen as they were tested one after the other, marked by level.
func inOrder(k *session.Call, cmd *phrase.DrawBy) (page.Figure, error) {
	if cmd.Within != nil {
		return page.Figure{}, page.Refuse(page.CodeTwoWays, cmd.Within.At,
			"in test order specimens are marked by one column", "leave "+cmd.Within.Column+" out")
	}
	_, names := columnsOf(cmd)
	s, r, err := k.Measured(cmd.Y, names...)
	if err != nil {
		return page.Figure{}, err
	}
	groups, err := k.Groups(s, r.Values, cmd.A)
	if err != nil {
		return page.Figure{}, err
	}
	order, err := orderOf(s)
	if err != nil {
		return page.Figure{}, err
	}
	fig, err := k.Picture(byTitle(r, s.Frame, names, order.in+" by "), cmd.Picture)
	if err != nil {
		return page.Figure{}, err
	}
	at := order.at
	fig.X, fig.Y = order.axis, r.Axis()
	fig.Y.FromZero = cmd.FromZero
	c, _ := s.Frame.Column(names[0])
	points := page.Points{X: at, Y: r.Values, Looks: make([]int, len(at)), Names: namesOf(k, s.Frame)}
	fig.KeyTitle = c.Label
	var levels []string
	for _, g := range groups {
		levels = append(levels, g.Level)
		fig.Keys = append(fig.Keys, page.Key{Label: strings.TrimSpace(g.Level + " " + c.Unit.String()),
			Look: session.LookOf(c, g.Level)})
		for _, row := range g.Rows {
			points.Looks[row] = session.LookOf(c, g.Level)
		}
	}
	fig.Layers = []page.Layer{points}
	fig.Note = andNote(StripNote(k.Confidence(), false), leftOutNote(s, 0))
	lo, hi := session.MinMax(at)
	fig.Alt = scatterAlt(r.Measure(), order.against, "", len(at), lo, hi, levels, false)
	return fig, nil
}

// ordering is an order of specimens that they are drawn in.
type ordering struct {
	at          []float64
	axis        page.Axis
	in, against string // how a title and a description name it
}

// orderOf is the test order of a sample: the column marked so, else the rows of the series, which may be in any order.
func orderOf(s *session.Sample) (ordering, error) {
	if c, ok := s.Frame.RoleColumn(frames.Order); ok && c.Kind == frames.Number {
		at, err := s.Number(c.Name)
		return ordering{at, session.AxisOf(c), " in test order", "test order"}, err
	}
	at := lists.Mapped(s.Rows, func(row int) float64 { return float64(row + 1) })
	return ordering{at, page.Axis{Label: "Row of the series (no column is marked as order)"},
		" as the rows stand in the sheet", "the rows as they stand in the sheet"}, nil
}

// namesOf are the names of the specimens of a frame.
func namesOf(k *session.Call, f *frames.Frame) []string {
	out := make([]string, f.Len())
	for i := range out {
		parallel.LookAt(k.Context, i)
		out[i] = f.SpecimenName(i)
	}
	return out
}
