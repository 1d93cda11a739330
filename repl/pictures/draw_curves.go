package pictures

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

type levelCount struct {
	Level string
	N     int
}

// curvesAlt tells what a picture of load–slip curves shows.
func curvesAlt(n, drops int, by string, levels []levelCount) page.Sentence {
	firstDrop := page.Say("a mark on ", drops, " of them shows the first drop")
	switch {
	case drops == 0:
		firstDrop = page.Say("the load of none of them drops")
	case n > mostCurves:
		firstDrop = page.Say("the load of ", drops, " of them drops")
	}
	return page.Say("Load against slip of ", n, say.Plural(n, " specimen", " specimens"),
		page.If(len(levels) > 0, " by "+
			by+": ", page.Joined(levels, ", ", func(l levelCount) page.Sentence { return page.Say(l.Level+" ", l.N) })),
		"; ", firstDrop, ".")
}

// CurvesNote says what the lines and marks of load-slip curves are; of many, whose readings are counted, that
// their drops are not marked.
func CurvesNote(n, drops int) page.Sentence {
	if n > mostCurves {
		return page.Say("Readings of ", n, " specimens; where loads drop is not marked")
	}
	return page.Say("Each line one specimen", page.If(drops > 0, "; mark: where its load first drops"))
}

// mostCurves is how many curves are drawn as lines: of more their readings are counted, in up to crowdReadings
// stretches in all.
const (
	mostCurves    = 150
	crowdReadings = 300_000
)

// A drawn curve is cut into stretches of slip, of which each keeps its lowest and highest
// reading: as many as a figure shows, fewer each where there are very many curves.
const (
	mostStretches  = 300
	leastStretches = 50
	allStretches   = 30000
)

// DrawCurves shows the load–slip curve of every specimen and where it first drops.
func DrawCurves(k *session.Call, cmd *phrase.DrawCurves) (*session.Outcome, error) {
	var by phrase.ColumnRef
	grouped := cmd.A != nil
	var columns []string
	if grouped {
		by = *cmd.A
		columns = append(columns, by.Column)
	}
	s, err := k.Sample(columns...)
	if err != nil {
		return nil, err
	}
	c := s.Frame.Curves()
	if c == nil {
		return nil, page.Refuse(page.CodeNoCurves, 0, "no load-slip readings were read for "+s.Series,
			"read curves FILE.csv by COLUMN")
	}
	title := "Load against slip"
	column, _ := s.Frame.Column(by.Column)
	if grouped {
		title += " by " + session.InSentence(column)
	}
	fig, err := k.Picture(title, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = page.Axis{Label: "Slip", Unit: c.SlipUnit.String()},
		page.Axis{Label: "Load", Unit: c.LoadUnit.String()}
	all, err := session.MeasureAll(k.Context, c, curves.Options{Drop: c.Drop})
	if err != nil {
		return nil, err
	}
	drops := page.Points{}
	counts := map[string]int{}
	var crowd *page.Points
	drawn, stretches := 0, min(mostStretches, max(leastStretches, allStretches/s.Frame.Len()))
	if s.Frame.Len() > mostCurves {
		crowd = &page.Points{Of: "readings"}
		stretches = min(mostStretches, max(leastStretches, crowdReadings/s.Frame.Len()))
	}
	for row := range s.Frame.Len() {
		i, ok := s.Frame.CurveOf(row)
		if !ok || all[i].Err != nil {
			continue
		}
		look, level := page.NoLook, ""
		if grouped {
			level, _ = s.Frame.Cell(by.Column, row)
			look = session.LookOf(column, level)
		}
		counts[level]++
		drawn++
		x, y := thinned(c, i, all[i].Tare, stretches)
		if crowd != nil {
			crowd.X, crowd.Y = append(crowd.X, x...), append(crowd.Y, y...)
			crowd.Looks = append(crowd.Looks, slices.Repeat([]int{max(look, 0)}, len(x))...)
		} else {
			fig.Layers = append(fig.Layers, page.Line{X: x, Y: y, Look: look})
		}
		if at := all[i].Marks.DropSlip; !math.IsNaN(at) {
			drops.Add(at, all[i].Values[curves.FirstDropLoad], max(look, 0), s.Frame.SpecimenName(row))
		}
	}
	if drawn == 0 {
		return nil, page.Refuse(page.CodeNoCurves, 0, "none of these specimens has a curve that can be drawn", "")
	}
	k.Entry.Specimens.Missing += k.Entry.Specimens.Used - drawn
	k.Entry.Specimens.Used = drawn
	marked := drops
	if crowd != nil {
		marked = *crowd
	} else if grouped {
		marked.Odd = highest(drops)
	}
	fig.Layers = append(fig.Layers, marked)
	counted := curveKeys(&fig, column, counts)
	fig.Note = CurvesNote(drawn, len(drops.X))
	if len(marked.Odd) > 0 {
		fig.Note = andNote(fig.Note, page.Say("named: the highest of each level"))
	}
	fig.Alt = curvesAlt(drawn, len(drops.X), by.Column, counted)
	return k.Drawn(fig)
}

// highest are the points that lie highest of all of their look, in the order in which the looks come.
func highest(p page.Points) []int {
	var out []int
	for i, look := range p.Looks {
		at := slices.IndexFunc(out, func(j int) bool { return p.Looks[j] == look })
		switch {
		case at < 0:
			out = append(out, i)
		case p.Y[i] > p.Y[out[at]]:
			out[at] = i
		}
	}
	return out
}

// curveKeys names in the figure's key, and tells, the levels that have a curve; none where the curves go by no column.
func curveKeys(fig *page.Figure, column frames.Column, counts map[string]int) (counted []levelCount) {
	fig.KeyTitle = column.Label
	for _, level := range column.Levels {
		if counts[level] > 0 {
			fig.Keys = append(fig.Keys, page.Key{Label: level, Look: session.LookOf(column, level)})
			counted = append(counted, levelCount{Level: level, N: counts[level]})
		}
	}
	return counted
}

// thinned is a curve for drawing: never going back in slip, with the tare taken off, and
// of each stretch of slip only the lowest and the highest reading.
func thinned(c *frames.Curves, i int, tare float64, stretches int) (x, y []float64) {
	slip, load := c.Curve(i)
	first, last := math.Inf(1), math.Inf(-1)
	for _, s := range slip {
		first, last = min(first, s), max(last, s)
	}
	width := (last - first) / float64(stretches)
	far := math.Inf(-1)
	for j := 0; j < len(slip); {
		if slip[j] < far {
			j++
			continue
		}
		end, low, high := slip[j]+width, j, j
		for ; j < len(slip) && slip[j] <= end; j++ {
			if slip[j] < far {
				continue
			}
			far = slip[j]
			if load[j] < load[low] {
				low = j
			}
			if load[j] >= load[high] {
				high = j
			}
		}
		x, y = append(x, slip[min(low, high)]), append(y, load[min(low, high)]-tare)
		if low != high {
			x, y = append(x, slip[max(low, high)]), append(y, load[max(low, high)]-tare)
		}
	}
	return x, y
}
