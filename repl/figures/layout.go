package figures

import (
	"context"
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// sheet is a figure laid out: where the data go, every word with its place, and
// the axes. Lengths are points from the lower left corner.
type sheet struct {
	typesetter
	measures
	figure page.Figure
	size   vg.Point
	data   vg.Rectangle // the area inside the axes
	x, y   scale
	texts  []text
	guides [][2]vg.Point // thin lines from the axis to level names set lower
	key    keyBox
	mark   vg.Length // radius of the marks; 0 until they are placed
}

// text is one line of words, its baseline starting at a place; turned text reads
// upwards.
type text struct {
	words  string
	at     vg.Point
	size   vg.Length
	colour color.NRGBA
	turned bool
}

// leastWithNote is how high a figure is, in millimetres, that has room for its note.
const leastWithNote = 50

// lay finds a place for everything: from the top the title, the note, a key that does not
// fit beside, the y axis's label (lying, so that it can be long), then the data
// with the words of the axes around them and the key to the right.
func lay(ctx context.Context, f page.Figure, l letters) *sheet {
	w, h := size(f)
	s := &sheet{
		typesetter: typesetter{letters: l, ctx: ctx},
		measures:   measure(w, h),
		size:       vg.Point{X: vg.Length(w) * vg.Millimeter, Y: vg.Length(h) * vg.Millimeter},
	}
	s.figure = s.cleaned(f)
	s.x, s.y = ranges(s.figure)

	s.data = vg.Rectangle{
		Min: vg.Point{X: s.margin, Y: s.margin},
		Max: vg.Point{X: s.size.X - s.margin, Y: s.size.Y - s.margin},
	}
	s.layTop(s.figure.Title, s.title, ink)
	if s.size.Y >= leastWithNote*vg.Millimeter {
		s.layTop(s.clean(render.Sentence(s.figure.Note, render.Options{})), s.tick, soft)
	}
	s.layKey()
	yLabel := axisLabel(s.figure.Y.Label, s.figure.Y.Unit, s.y)
	s.layTop(yLabel, s.label, ink)
	s.data.Max.Y -= s.tick * ascent / 2 // half of the top tick label
	s.layRuleRoom()
	if len(s.figure.X.Levels) == 0 {
		s.data.Max.X -= s.tick // half of the last tick label
	}
	s.layXLabel()
	s.layAxes()
	s.placeKey()
	s.layRules()
	return s
}

// cleaned is the figure with words that can be drawn.
func (s *sheet) cleaned(f page.Figure) page.Figure {
	f.Title, f.KeyTitle = s.clean(f.Title), s.clean(f.KeyTitle)
	axis := func(a page.Axis) page.Axis {
		a.Label, a.Unit = s.clean(a.Label), s.clean(render.Unit(a.Unit))
		levels := make([]string, len(a.Levels))
		for i, l := range a.Levels {
			levels[i] = s.clean(l)
		}
		a.Levels = levels
		return a
	}
	f.X, f.Y = axis(f.X), axis(f.Y)
	keys := make([]page.Key, len(f.Keys))
	for i, k := range f.Keys {
		keys[i] = k
		keys[i].Label = s.clean(k.Label)
	}
	f.Keys = keys
	layers := make([]page.Layer, len(f.Layers))
	for i, l := range f.Layers {
		if r, ok := l.(page.Rule); ok {
			r.Label = s.clean(r.Label)
			l = r
		}
		layers[i] = l
	}
	f.Layers = layers
	return f
}

// mostStretch is how far, in lengths of the range of specimens and means, an interval may
// stretch the axis to either side: a level of two specimens shall not press all others flat.
const mostStretch = 0.5

// ranges takes in everything on the figure, and of intervals what leaves specimens room.
func ranges(f page.Figure) (x, y scale) {
	xLo, xHi, yLo, yHi := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	takeX := func(v ...float64) {
		for _, v := range v {
			xLo, xHi = min(xLo, v), max(xHi, v)
		}
	}
	takeY := func(v ...float64) {
		for _, v := range v {
			yLo, yHi = min(yLo, v), max(yHi, v)
		}
	}
	specimens := false
	for _, l := range f.Layers {
		switch l := l.(type) {
		case page.Points:
			specimens = specimens || len(l.X) > 0
			takeX(l.X...)
			takeY(l.Y...)
		case page.Line:
			takeX(l.X...)
			takeY(l.Y...)
		case page.Band:
			takeX(l.X...)
			takeY(l.Low...)
			takeY(l.High...)
		case page.Interval:
			takeX(l.X)
			takeY(l.Mean)
		case page.Rule:
			takeY(l.Y)
		}
	}
	least, most := math.Inf(-1), math.Inf(1) // how far an interval may stretch the axis
	if span := yHi - yLo; specimens && span > 0 {
		least, most = yLo-mostStretch*span, yHi+mostStretch*span
	}
	for _, l := range f.Layers {
		if l, ok := l.(page.Interval); ok {
			takeY(max(l.Low, least), min(l.High, most))
		}
	}
	if f.Y.FromZero {
		takeY(0)
	}
	y = newScale(yLo, yHi)
	if k := len(f.X.Levels); k > 0 {
		return scale{lo: -0.5, hi: float64(k) - 0.5}, y
	}
	return newScale(xLo, xHi), y
}

// put sets one line of words; x is where its part across (0 left, 0.5 middle, 1
// right) comes to lie, base its baseline.
func (s *sheet) put(words string, size vg.Length, colour color.NRGBA, x, across, base vg.Length) {
	if words == "" {
		return
	}
	s.texts = append(s.texts, text{words: words, size: size, colour: colour,
		at: vg.Point{X: x - across*s.width(words, size), Y: base}})
}

// mostLines is how many lines a title or an axis label may take.
func (s *sheet) mostLines() int {
	if s.size.Y < 60*vg.Millimeter {
		return 1
	}
	return 2
}

// layTop sets a few lines at the top, from the left margin.
func (s *sheet) layTop(words string, size vg.Length, colour color.NRGBA) {
	for _, line := range s.block(words, size, s.data.Max.X-s.margin, s.mostLines()) {
		s.put(line, size, colour, s.margin, 0, s.data.Max.Y-size*ascent)
		s.data.Max.Y -= size * leading
	}
	if words != "" {
		s.data.Max.Y -= s.gap
	}
}

// layXLabel sets the x axis's label at the foot; it is centred under the data once
// their place is known, so only room is made here.
func (s *sheet) layXLabel() {
	label := axisLabel(s.figure.X.Label, s.figure.X.Unit, s.x)
	lines := s.block(label, s.label, s.data.Max.X-s.margin, s.mostLines())
	if len(lines) > 0 {
		s.data.Min.Y += s.label*vg.Length(leading*float64(len(lines))) + s.gap*0.6
	}
}

// layAxes settles the left edge and the foot of the data: the y tick labels need
// width, the x axis's words need height, and each depends on the other. The left
// edge only ever moves inwards, so this ends.
func (s *sheet) layAxes() {
	bottom := s.data.Min.Y
	var names levelNames
	for range 6 {
		s.data.Min.Y = bottom + s.tickLen + s.tick*1.5
		if len(s.figure.X.Levels) > 0 {
			names = s.fitLevels(bottom)
			s.data.Min.Y = bottom + s.tickLen + s.gap*0.7 + names.height
		}
		height := s.data.Max.Y - s.data.Min.Y
		y := s.y
		y.setTicks(max(2, min(7, int(height/(s.tick*1.7)))))
		left := s.margin + s.widest(y.labels(), s.tick) + s.gap
		if left <= s.data.Min.X+0.01 {
			s.y = y
			break
		}
		s.data.Min.X = left
	}
	s.layYTicks()
	if len(s.figure.X.Levels) > 0 {
		s.layLevels(names)
	} else {
		s.layXTicks()
	}
	label := axisLabel(s.figure.X.Label, s.figure.X.Unit, s.x)
	base := bottom - s.gap*0.6 - s.label*ascent
	for _, line := range s.block(label, s.label, s.data.Max.X-s.margin, s.mostLines()) {
		middle := (s.data.Min.X + s.data.Max.X) / 2
		half := s.width(line, s.label) / 2
		middle = max(s.margin+half, min(middle, s.size.X-s.margin-half))
		s.put(line, s.label, ink, middle, 0.5, base)
		base -= s.label * leading
	}
}

// layYTicks sets the tick labels of the y axis.
func (s *sheet) layYTicks() {
	if len(s.y.ticks) == 0 {
		s.y.setTicks(2)
	}
	for _, t := range s.y.ticks {
		s.put(t.label, s.tick, soft, s.data.Min.X-s.gap, 1, s.atY(t.at)-s.tick*(ascent-descent)/2)
	}
}

// layXTicks sets as many tick labels as fit side by side.
func (s *sheet) layXTicks() {
	for most := 7; most >= 2; most-- {
		x := s.x
		x.setTicks(most)
		wide := s.widest(x.labels(), s.tick)
		if most > 2 && s.overlapX(x, wide+s.tick*0.7) {
			continue
		}
		s.x = x
		break
	}
	for i, t := range s.x.ticks {
		w := s.width(t.label, s.tick)
		at := min(max(s.atX(t.at), s.margin/2+w/2), s.size.X-s.margin/2-w/2)
		if i > 0 && len(s.x.ticks) == 2 && w > (s.data.Max.X-s.data.Min.X)*0.8 {
			break // not even two fit
		}
		s.put(t.label, s.tick, soft, at, 0.5, s.data.Min.Y-s.tickLen-s.tick*1.3)
	}
}

// overlapX tells whether labels so wide are wider than the ticks are apart.
func (s *sheet) overlapX(x scale, wide vg.Length) bool {
	step := vg.Length((x.ticks[1].at - x.ticks[0].at) / (x.hi - x.lo))
	return step*(s.data.Max.X-s.data.Min.X) < wide
}

// atX and atY turn the scales' own terms into places on the sheet.
func (s *sheet) atX(v float64) vg.Length {
	return s.data.Min.X + (s.data.Max.X-s.data.Min.X)*vg.Length((v-s.x.lo)/(s.x.hi-s.x.lo))
}

func (s *sheet) atY(v float64) vg.Length {
	return s.data.Min.Y + (s.data.Max.Y-s.data.Min.Y)*vg.Length((v-s.y.lo)/(s.y.hi-s.y.lo))
}
