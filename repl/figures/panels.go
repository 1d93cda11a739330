package figures

import (
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"breakbook/repl/page"
)

// Of more levels than mostInOne each has a panel of its own, if that is no smaller than leastPanel, in points.
const mostInOne = 6

// leastHead is how much smaller than other words the name over a panel may be, so that all of it is read; and
// paleBehind how much of its colour a specimen of another level keeps.
const (
	leastHead  = 0.65
	paleBehind = 0.2
)

var leastPanel = vg.Point{X: 55, Y: 25}

// panel is a small picture of one level, the others pale behind it.
type panel struct {
	data vg.Rectangle
	look int
}

// panelled reports whether the figure is one that panels can show: a level a key, against a number.
func (s *sheet) panelled() bool {
	f := s.figure
	if len(f.X.Levels) > 0 || len(f.Keys) <= mostInOne || len(f.Holding) > 0 || s.crowded() {
		return false
	}
	if slices.ContainsFunc(f.Keys, func(k page.Key) bool { return k.Sample != page.SampleOfLook || k.Look < 0 }) {
		return false
	}
	return !slices.ContainsFunc(only[page.Rule](f.Layers), func(r page.Rule) bool { return r.Label != "" })
}

// layPanels places a panel for each key, with its name over it and the axes' numbers at the left and at the
// foot of the whole; false, with nothing placed, where they would be too small.
func (s *sheet) layPanels() bool {
	before, texts := s.data, len(s.texts)
	s.layTop(axisLabel(s.figure.Y.Label, s.figure.Y.Unit, s.y), s.label, ink)
	s.roomAtBottom(axisLabel(s.figure.X.Label, s.figure.X.Unit, s.x))
	bottom := s.data.Min.Y
	s.data.Min.Y += s.tickLen + s.tick*1.5
	y := s.y
	y.setTicks(4)
	s.data.Min.X += s.widest(y.labels(), s.tick) + s.gap
	n := len(s.figure.Keys)
	head := s.tick*leading + s.gap*0.5
	between := 2 * s.gap
	var size vg.Point
	across := 0
	for c := 1; c <= n; c++ {
		rows := (n + c - 1) / c
		one := vg.Point{X: (s.data.Max.X - s.data.Min.X - between*vg.Length(c-1)) / vg.Length(c),
			Y: (s.data.Max.Y - s.data.Min.Y - head*vg.Length(rows)) / vg.Length(rows)}
		if min(one.X/1.3, one.Y) > min(size.X/1.3, size.Y) {
			size, across = one, c
		}
	}
	if across == 0 || size.X < leastPanel.X || size.Y < leastPanel.Y {
		s.data, s.texts = before, s.texts[:texts]
		return false
	}
	s.y.setTicks(max(2, min(4, int(size.Y/(s.tick*1.7)))))
	s.panelTicks(size.X)
	for i, k := range s.figure.Keys {
		low := vg.Point{X: s.data.Min.X + (size.X+between)*vg.Length(i%across),
			Y: s.data.Max.Y - (size.Y+head)*vg.Length(i/across+1)}
		p := panel{data: vg.Rectangle{Min: low, Max: low.Add(size)}, look: k.Look}
		s.panels = append(s.panels, p)
		head := s.tick
		for head > s.tick*leastHead && s.width(k.Label, head) > size.X {
			head *= 0.95
		}
		s.put(s.clip(k.Label, head, size.X), head, ink, low.X, 0, p.data.Max.Y+s.gap*0.5)
		whole := s.data
		s.data = p.data
		if i%across == 0 {
			s.layYTicks()
		}
		if i+across >= n {
			for _, t := range s.x.ticks {
				half := s.width(t.label, s.tick) / 2
				at := min(max(s.atX(t.at), low.X+half-s.gap), p.data.Max.X-half+s.gap)
				s.put(t.label, s.tick, soft, at, 0.5, low.Y-s.tickLen-s.tick*1.3)
			}
		}
		s.data = whole
	}
	s.layBottomLabel(axisLabel(s.figure.X.Label, s.figure.X.Unit, s.x), bottom, s.data.Max.X-s.margin)
	return true
}

// panelTicks puts as many ticks on the x axis as have room under a panel.
func (s *sheet) panelTicks(wide vg.Length) {
	for most := 4; most >= 2; most-- {
		x := s.x
		x.setTicks(most)
		step := vg.Length((x.ticks[1].at-x.ticks[0].at)/(x.hi-x.lo)) * wide
		if step >= s.widest(x.labels(), s.tick)+s.tick*0.5 || most == 2 {
			s.x = x
			if step < s.widest(x.labels(), s.tick)+s.tick*0.5 {
				s.x.ticks = s.x.ticks[:1]
			}
			return
		}
	}
}

// manyLines reports whether a line is of a specimen and not of a level: marks without their lines say little.
func (s *sheet) manyLines() bool {
	lines := len(only[page.Line](s.figure.Layers))
	return lines > len(s.figure.Keys) || lines > 0 && len(s.figure.Layers) == lines+1
}

// paintPanels draws each panel: its own level over the specimens of all others.
func (s *sheet) paintPanels(canvas vg.Canvas) error {
	whole, layers, behind := s.data, s.figure.Layers, !s.manyLines()
	defer func() { s.data, s.figure.Layers = whole, layers }()
	s.mark = s.radius(s.specimens()) * 0.8
	for _, p := range s.panels {
		s.data, s.figure.Layers = p.data, layersOf(layers, p.look, behind)
		plot, err := s.picture()
		if err != nil {
			return err
		}
		plot.Draw(draw.Canvas{Canvas: canvas, Rectangle: s.data})
	}
	return nil
}

// layersOf are the layers of one look, with the specimens of the others pale behind them if that is asked.
func layersOf(layers []page.Layer, look int, behind bool) (out []page.Layer) {
	for _, l := range layers {
		switch l := l.(type) {
		case page.Points:
			own, others := page.Points{Faint: l.Faint, Aside: l.Aside}, page.Points{Faint: true}
			for i := range l.X {
				to, as, is := &others, page.NoLook, 0
				if l.Looks != nil {
					is = l.Looks[i]
				}
				if is == look {
					to, as = &own, look
				} else if l.Aside || !behind {
					continue
				}
				if i < len(l.Names) && to == &own {
					if slices.Contains(l.Odd, i) {
						own.Odd = append(own.Odd, len(own.X))
					}
					own.Names = append(own.Names, l.Names[i])
				}
				to.X, to.Y, to.Looks = append(to.X, l.X[i]), append(to.Y, l.Y[i]), append(to.Looks, as)
			}
			out = append(out, others, own)
		case page.Line:
			if l.Look == look || l.Look < 0 {
				out = append(out, l)
			}
		case page.Band:
			if l.Look == look || l.Look < 0 {
				out = append(out, l)
			}
		default:
			out = append(out, l)
		}
	}
	return out
}
