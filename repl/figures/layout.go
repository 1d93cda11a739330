package figures

import (
	"context"
	"image/color"
	"slices"
	"unicode/utf8"

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
	panels []panel   // one a level, where there are many
	cells  []cell    // in which very many specimens are counted
	held   int       // rows of numbers still holding under the axis
	mark   vg.Length // radius of the marks; 0 until they are placed
	lying  bool      // the levels lie at the left, and the numbers run to the right
}

// text is one line of words, its baseline starting at a place; turned text reads upwards.
type text struct {
	words  string
	at     vg.Point
	size   vg.Length
	colour color.NRGBA
	turned bool
}

// lay finds a place for everything: from the top the title, the note, a key that does not fit beside, the y axis's
// label (lying, so that it can be long), then the data with the words of the axes around them and the key to the right.
func lay(ctx context.Context, f page.Figure, l letters) *sheet {
	start := ""
	for range 4 { // the note says where the axis starts, which depends on the room that the note leaves
		s := layWith(ctx, f, l, start)
		now := s.startsAt()
		if now == start {
			return s
		}
		start = now
	}
	return layWith(ctx, f, l, "")
}

// layWith is lay with what the note says of the start of the axis.
func layWith(ctx context.Context, f page.Figure, l letters, start string) *sheet {
	w, h := Size(f)
	s := &sheet{
		typesetter: typesetter{letters: l, ctx: ctx},
		measures:   measure(w, heightOf(f, w, h)),
		size:       vg.Point{X: vg.Length(w) * vg.Millimeter, Y: vg.Length(h) * vg.Millimeter},
	}
	s.figure = s.cleaned(f)
	s.x, s.y = ranges(s.figure)

	s.data = vg.Rectangle{
		Min: vg.Point{X: s.margin, Y: s.margin},
		Max: vg.Point{X: s.size.X - s.margin, Y: s.size.Y - s.margin},
	}
	s.layTop(s.clean(render.Title(s.figure, render.Options{})), s.title, ink)
	s.layNote(s.clean(s.noted(start)))
	if s.panelled() && s.layPanels() {
		return s
	}
	s.layKey()
	if s.lying = lies(s.figure); s.lying {
		s.layLying()
		s.placeKey()
		return s
	}
	yLabel := axisLabel(s.figure.Y.Label, s.figure.Y.Unit, s.y)
	s.layTop(yLabel, s.label, ink)
	s.data.Max.Y -= s.tick * ascent / 2 // half of the top tick label
	s.layRuleRoom()
	if len(s.figure.X.Levels) == 0 {
		s.data.Max.X -= s.tick // half of the last tick label
	}
	// the label is centred once the place of the data is known
	s.roomAtBottom(axisLabel(s.figure.X.Label, s.figure.X.Unit, s.x))
	s.roomForHolding()
	s.layAxes()
	s.placeKey()
	s.layRules()
	return s
}

// only are the layers of one kind.
func only[L page.Layer](layers []page.Layer) []L {
	var out []L
	for _, l := range layers {
		if one, ok := l.(L); ok {
			out = append(out, one)
		}
	}
	return out
}

// longName is how many letters of a level's name lie at the left rather than under the data.
const longName = 12

// lies reports whether the levels lie at the left: where the figure asks for it, or a name is long.
func lies(f page.Figure) bool {
	if layers := f.Layers; len(only[page.Line](layers)) > 0 || len(only[page.Band](layers)) > 0 {
		return false
	}
	return f.Lying || slices.ContainsFunc(f.X.Levels, func(l string) bool {
		return utf8.RuneCountInString(l) > longName
	})
}

// mostLarger is how many times as high a lying figure counts at most.
const mostLarger = 1.7

// heightOf is the height that the theme's sizes go by: a lying figure is as high as its rows need, and
// its words are no smaller where they are few.
func heightOf(f page.Figure, w, h float64) float64 {
	if f.Lying {
		return max(h, min(w*defaultHeight/defaultWidth, h*mostLarger))
	}
	return h
}

// cleaned is the figure with words that can be drawn.
func (s *sheet) cleaned(f page.Figure) page.Figure {
	f.Title, f.KeyTitle = s.clean(f.Title), s.clean(f.KeyTitle)
	axis := func(a page.Axis) page.Axis {
		a.Label, a.Unit = s.clean(a.Label), s.clean(render.Unit(a.Unit))
		levels := make([]string, len(a.Levels))
		for i, l := range a.Levels {
			if i < len(a.Names) {
				l = render.Sentence(a.Names[i], render.Options{})
			}
			if levels[i] = s.clean(l); a.Unit != "" {
				levels[i] += "\u00a0" + a.Unit
			}
		}
		if a.Levels = levels; len(levels) > 0 {
			a.Unit = ""
		}
		return a
	}
	f.X, f.Y = axis(f.X), axis(f.Y)
	f.Keys, f.Holding, f.Layers = slices.Clone(f.Keys), slices.Clone(f.Holding), slices.Clone(f.Layers)
	for i := range f.Keys {
		f.Keys[i].Label = s.clean(f.Keys[i].Label)
	}
	for i := range f.Holding {
		f.Holding[i].Label = s.clean(f.Holding[i].Label)
	}
	for i, l := range f.Layers {
		switch l := l.(type) {
		case page.Rule:
			l.Label = s.clean(l.Label)
			f.Layers[i] = l
		case page.Zone:
			l.Label = s.clean(l.Label)
			f.Layers[i] = l
		case page.Interval:
			l.Words = s.clean(l.Words)
			f.Layers[i] = l
		}
	}
	return f
}

// put sets one line of words; x is where its part across (0 left, 0.5 middle, 1 right) comes to lie, base its baseline.
func (s *sheet) put(words string, size vg.Length, colour color.NRGBA, x, across, base vg.Length) {
	if words == "" {
		return
	}
	s.texts = append(s.texts, text{words: words, size: size, colour: colour,
		at: vg.Point{X: x - across*s.width(words, size), Y: base}})
}

// putDown sets lines below each other from x and from top on, and gives the height under them.
func (s *sheet) putDown(lines []string, size vg.Length, colour color.NRGBA, x, top vg.Length) vg.Length {
	for _, line := range lines {
		s.put(line, size, colour, x, 0, top-size*ascent)
		top -= size * leading
	}
	return top
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
	lines := s.block(words, size, s.data.Max.X-s.margin, s.mostLines())
	s.data.Max.Y = s.putDown(lines, size, colour, s.margin, s.data.Max.Y)
	if words != "" {
		s.data.Max.Y -= s.gap
	}
}

// mostNote is how much of the figure's height its note may take.
const mostNote = 0.16

// layNote sets the note under the title, whole, as small as that takes; what the smallest words have no
// room for is cut at its end.
func (s *sheet) layNote(words string) {
	least := vg.Points(leastSize)
	for size := s.tick; ; size *= 0.93 {
		size = max(size, least)
		lines := max(1, int(s.size.Y*mostNote/(size*leading)))
		if _, fits := s.wrap(words, size, s.data.Max.X-s.margin, lines); !fits && size > least {
			continue
		}
		block := s.block(words, size, s.data.Max.X-s.margin, lines)
		s.data.Max.Y = s.putDown(block, size, soft, s.margin, s.data.Max.Y)
		break
	}
	if words != "" {
		s.data.Max.Y -= s.gap
	}
}

// roomAtBottom keeps room for the label of the axis at the bottom.
func (s *sheet) roomAtBottom(label string) {
	if lines := s.block(label, s.label, s.data.Max.X-s.margin, s.mostLines()); len(lines) > 0 {
		s.data.Min.Y += s.label*vg.Length(leading*float64(len(lines))) + s.gap*0.6
	}
}

// layAxes settles the left edge and the foot of the data: the y tick labels need width, the x axis's words need height,
// and each depends on the other. The left edge only ever moves inwards, so this ends.
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
		left := s.margin + max(s.widest(y.labels(), s.tick), s.holdingNames()) + s.gap
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
		s.layXTicks(&s.x)
	}
	s.layHolding(bottom)
	s.layBottomLabel(axisLabel(s.figure.X.Label, s.figure.X.Unit, s.x), bottom-s.holdingHeight(), s.data.Max.X-s.margin)
}

// layBottomLabel sets the label of the axis at the bottom under the data, below bottom.
func (s *sheet) layBottomLabel(label string, bottom, most vg.Length) {
	base := bottom - s.gap*0.6 - s.label*ascent
	for _, line := range s.block(label, s.label, most, s.mostLines()) {
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

// layXTicks sets as many tick labels of the axis at the foot as fit side by side.
func (s *sheet) layXTicks(axis *scale) {
	for most := 7; most >= 2; most-- {
		x := *axis
		x.setTicks(most)
		if wide := s.widest(x.labels(), s.tick); most > 2 && s.overlapX(x, wide+s.tick*0.7) {
			continue
		}
		*axis = x
		break
	}
	for i, t := range axis.ticks {
		w := s.width(t.label, s.tick)
		at := s.data.Min.X + (s.data.Max.X-s.data.Min.X)*vg.Length((t.at-axis.lo)/(axis.hi-axis.lo))
		at = min(max(at, s.margin/2+w/2), s.size.X-s.margin/2-w/2)
		if i > 0 && len(axis.ticks) == 2 && w > (s.data.Max.X-s.data.Min.X)*0.8 {
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

// frame is what levels and numbers are placed in: the data, or of a lying figure the data turned so
// that the levels run to the right.
func (s *sheet) frame() vg.Rectangle {
	if !s.lying {
		return s.data
	}
	d := s.data.Size()
	return vg.Rectangle{Max: vg.Point{X: d.Y, Y: d.X}}
}

// onSheet is where a place of the frame is on the sheet.
func (s *sheet) onSheet(p vg.Point) vg.Point {
	if !s.lying {
		return p
	}
	return vg.Point{X: s.data.Min.X + p.Y, Y: s.data.Max.Y - p.X}
}

// lineOnSheet are the places of a line on the sheet.
func (s *sheet) lineOnSheet(line ...vg.Point) []vg.Point {
	for i, p := range line {
		line[i] = s.onSheet(p)
	}
	return line
}

// atX and atY turn the scales' own terms into places in the frame.
func (s *sheet) atX(v float64) vg.Length {
	f := s.frame()
	return f.Min.X + (f.Max.X-f.Min.X)*vg.Length((v-s.x.lo)/(s.x.hi-s.x.lo))
}

func (s *sheet) atY(v float64) vg.Length {
	f := s.frame()
	return f.Min.Y + (f.Max.Y-f.Min.Y)*vg.Length((v-s.y.lo)/(s.y.hi-s.y.lo))
}
