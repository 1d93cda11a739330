package figures

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"breakbook/repl/page"
)

// interval is a mean with its range, in the frame.
type interval struct {
	x, mean, low, high vg.Length
	below, above       bool // the range goes on past the axis
	interlook
}

// interlook is how an interval looks.
type interlook struct {
	colour, edge, rim color.NRGBA // of the mark, of the bar, round the mark
	shape             shape
	broken            bool    // the bar
	thick             float64 // how many times as thick as usual the bar is
}

// plainMean is the look of an interval that answers nothing.
var plainMean = interlook{colour: ink, edge: ink, rim: paper, shape: circle, thick: 1}

// lookOfAnswer gives each answer a shape and a shade of its own: what differs is full, what does not is
// hollow, and what cannot be told is hollow with a broken bar.
func lookOfAnswer(h page.Held) interlook {
	switch h {
	case page.Differs:
		return interlook{colour: deep, edge: deep, rim: deep, shape: diamond, thick: 1.7}
	case page.DiffersLess:
		return interlook{colour: towardsPaper(deep, 0.45), edge: deep, rim: deep, shape: diamond, thick: 1.2}
	case page.NothingWorth:
		return interlook{colour: paper, edge: soft, rim: ink, shape: square, thick: 1.2}
	case page.CannotTell:
		return interlook{colour: paper, edge: quiet, rim: soft, shape: circle, broken: true, thick: 1}
	}
	return plainMean
}

// drawIntervals draws means with their ranges, lifted off the marks under them; an end that
// goes on beyond the axis is an arrow.
func (s *sheet) drawIntervals(c draw.Canvas, all []interval) {
	width, cap := vg.Points(1.1*s.scale), s.capWidth()
	for _, v := range all {
		s.heed()
		at := func(x, y vg.Length) vg.Point { return vg.Point{X: x, Y: y} }
		stem := s.lineOnSheet(at(v.x, v.low), at(v.x, v.high))
		var ends [][]vg.Point
		for _, end := range []struct {
			y    vg.Length
			past bool
			sign vg.Length
		}{{v.low, v.below, 1}, {v.high, v.above, -1}} {
			switch {
			case v.low == v.high: // there is no interval
			case end.past:
				ends = append(ends, s.lineOnSheet(at(v.x-cap, end.y+end.sign*1.4*cap), at(v.x, end.y),
					at(v.x+cap, end.y+end.sign*1.4*cap)))
			default:
				ends = append(ends, s.lineOnSheet(at(v.x-cap, end.y), at(v.x+cap, end.y)))
			}
		}
		bar := width * vg.Length(v.thick)
		c.StrokeLines(draw.LineStyle{Color: paper, Width: bar + 1.4*width}, append(ends, stem)...)
		style := draw.LineStyle{Color: v.edge, Width: bar}
		c.StrokeLines(style, ends...)
		if v.broken {
			style.Dashes = []vg.Length{vg.Points(2.5 * s.scale), vg.Points(1.5 * s.scale)}
		}
		c.StrokeLines(style, stem)
		mark := v.shape(s.onSheet(at(v.x, v.mean)), vg.Points(2.7*s.scale))
		c.SetColor(v.colour)
		c.Fill(mark)
		rim := edgeWidth
		if v.colour == paper {
			rim = 2 * edgeWidth
		}
		c.SetLineStyle(draw.LineStyle{Color: v.rim, Width: vg.Points(rim * s.scale)})
		c.Stroke(mark)
	}
}

// capWidth is half the width of a range's end bar.
func (s *sheet) capWidth() vg.Length { return vg.Points(2.6 * s.scale) }
