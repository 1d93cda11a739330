package kernel

import (
	"math"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// A drawn curve is cut into stretches of slip, of which each keeps its lowest and highest
// reading: as many as a figure shows, fewer each where there are very many curves.
const (
	mostStretches  = 300
	leastStretches = 50
	allStretches   = 30000
)

// drawCurves shows the load–slip curve of every specimen and where it first drops.
func drawCurves(k *call, cmd *phrase.DrawCurves) (*outcome, error) {
	var by phrase.ColumnRef
	grouped := cmd.A != nil
	var columns []string
	if grouped {
		by = *cmd.A
		columns = append(columns, by.Column)
	}
	s, err := k.sample(columns...)
	if err != nil {
		return nil, err
	}
	c := s.frame.Curves()
	if c == nil {
		return nil, &page.Problem{Code: "no-curves", Message: "no load-slip readings were read for " + s.series, Hint: "read curves FILE.csv by COLUMN"}
	}
	title := "Load against slip"
	column, _ := s.frame.Column(by.Column)
	if grouped {
		title += " by " + inSentence(column)
	}
	fig, err := k.picture(title, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = page.Axis{Label: "Slip", Unit: c.SlipUnit.String()}, page.Axis{Label: "Load", Unit: c.LoadUnit.String()}
	all, err := measureAll(k.ctx, c, curves.Options{Drop: c.Drop})
	if err != nil {
		return nil, err
	}
	drops := page.Points{}
	counts := map[string]int{}
	drawn, stretches := 0, min(mostStretches, max(leastStretches, allStretches/s.frame.Len()))
	for row := range s.frame.Len() {
		i, ok := s.frame.CurveOf(row)
		if !ok || all[i].err != nil {
			continue
		}
		look, level := page.NoLook, ""
		if grouped {
			level, _ = s.frame.Cell(by.Column, row)
			look = lookOf(column, level)
		}
		counts[level]++
		drawn++
		x, y := thinned(c, i, all[i].Tare, stretches)
		fig.Layers = append(fig.Layers, page.Line{X: x, Y: y, Look: look})
		if at := all[i].Marks.DropSlip; !math.IsNaN(at) {
			drops.X, drops.Y = append(drops.X, at), append(drops.Y, all[i].Values[curves.FirstDropLoad])
			drops.Looks, drops.Names = append(drops.Looks, max(look, 0)), append(drops.Names, s.frame.SpecimenName(row))
		}
	}
	if drawn == 0 {
		return nil, &page.Problem{Code: "no-curves", Message: "none of these specimens has a curve that can be drawn"}
	}
	k.e.Specimens.Missing += k.e.Specimens.Used - drawn
	k.e.Specimens.Used = drawn
	fig.Layers = append(fig.Layers, drops)
	told := curveKeys(&fig, column, counts)
	fig.Note = say.CurvesNote(len(drops.X))
	fig.Alt = say.CurvesAlt(drawn, len(drops.X), by.Column, told)
	return k.drawn(fig)
}

// curveKeys names in the figure's key, and tells, the levels that have a curve; none where
// the curves go by no column.
func curveKeys(fig *page.Figure, column frames.Column, counts map[string]int) (told []say.LevelCount) {
	fig.KeyTitle = column.Label
	for _, level := range column.Levels {
		if counts[level] > 0 {
			fig.Keys = append(fig.Keys, page.Key{Label: level, Look: lookOf(column, level)})
			told = append(told, say.LevelCount{Level: level, N: counts[level]})
		}
	}
	return told
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
