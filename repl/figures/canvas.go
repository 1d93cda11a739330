package figures

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"breakbook/repl/page"
)

// paint draws a sheet on any canvas of white paper.
func (s *sheet) paint(canvas vg.Canvas) error {
	c := draw.NewCanvas(canvas, s.size.X, s.size.Y)
	if len(s.panels) > 0 {
		if err := s.paintPanels(canvas); err != nil {
			return err
		}
	} else {
		p, err := s.picture()
		if err != nil {
			return err
		}
		p.Draw(draw.Canvas{Canvas: canvas, Rectangle: s.data})
	}
	s.drawKey(c)
	for _, t := range s.texts {
		s.heed()
		c.SetColor(t.colour)
		if !t.turned {
			c.FillString(faceOf(t.size), t.at, t.words)
			continue
		}
		c.Push()
		c.Translate(t.at)
		c.Rotate(math.Pi / 2)
		c.FillString(faceOf(t.size), vg.Point{}, t.words)
		c.Pop()
	}
	return nil
}

// drawKey draws the samples of the key: what the figure holds of that look.
func (s *sheet) drawKey(c draw.Canvas) {
	lines := only[page.Line](s.figure.Layers)
	for _, e := range s.key.entries {
		half := s.sampleWidth() / 2
		from, to := e.sample.X-half, e.sample.X+half
		if e.key.Sample != page.SampleOfLook {
			s.keyLine(c, e.key.Look, e.key.Sample == page.SampleDashes, from, to, e.sample.Y)
			continue
		}
		for _, l := range s.figure.Layers {
			switch l := l.(type) {
			case page.Band:
				ofLook := func(line page.Line) bool { return line.Look == l.Look }
				if l.Look == e.key.Look && !slices.ContainsFunc(lines, ofLook) {
					high := s.tick * 0.4
					c.FillPolygon(tintOf(l.Look), []vg.Point{{X: from, Y: e.sample.Y - high},
						{X: to, Y: e.sample.Y - high}, {X: to, Y: e.sample.Y + high}, {X: from, Y: e.sample.Y + high}})
				}
			case page.Line:
				if l.Look == e.key.Look {
					s.keyLine(c, l.Look, l.Dashed, from, to, e.sample.Y)
				}
			}
		}
		if s.hasMark(e.key.Look) {
			r := vg.Points(markRadius * s.scale)
			outline := shapeOf(e.key.Look)(e.sample, r)
			s.fillMark(c, colourOf(e.key.Look), edgeOf(e.key.Look), r, []vg.Path{outline}, []vg.Path{outline})
		}
	}
}

// keyLine is a sample of a line.
func (s *sheet) keyLine(c draw.Canvas, look int, dashed bool, from, to, y vg.Length) {
	style := draw.LineStyle{Color: lineOf(look), Width: vg.Points(lineWidth * s.scale)}
	if dashed {
		style.Dashes = s.dashes()
	}
	c.StrokeLine2(style, from, y, to, y)
}

// hasMark tells whether a look stands for marks: specimens or intervals of it are
// on the figure, or nothing else of it is.
func (s *sheet) hasMark(look int) bool {
	other := false
	for _, l := range s.figure.Layers {
		switch l := l.(type) {
		case page.Points:
			if l.Looks == nil && look == 0 && len(l.X) > 0 || slices.Contains(l.Looks, look) {
				return true
			}
		case page.Interval:
			if l.Look == look {
				return true
			}
		case page.Line:
			other = other || l.Look == look
		case page.Band:
			other = other || l.Look == look
		}
	}
	return !other
}
