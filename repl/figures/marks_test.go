package figures

import (
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/recorder"

	"breakbook/repl/page"
)

// outlineBox is the middle of a closed path and how far it reaches.
type outlineBox struct {
	middle  vg.Point
	corners int
	reach   float64
}

// edgesDrawn gives the marks whose edges were drawn in a colour, in order.
func edgesDrawn(actions []recorder.Action, want color.NRGBA) []outlineBox {
	var now color.Color
	var out []outlineBox
	for _, a := range actions {
		switch a := a.(type) {
		case *recorder.SetColor:
			now = a.Color
		case *recorder.Stroke:
			if now != color.Color(want) {
				continue
			}
			for _, one := range subpaths(a.Path) {
				out = append(out, measured(one))
			}
		}
	}
	return out
}

// subpaths cuts a path at its moves.
func subpaths(p vg.Path) (out []vg.Path) {
	for _, c := range p {
		if c.Type == vg.MoveComp {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], c)
	}
	return out
}

// measured gives the middle of a mark: of its circle, else of its corners.
func measured(p vg.Path) outlineBox {
	var b outlineBox
	for _, c := range p {
		switch c.Type {
		case vg.ArcComp:
			return outlineBox{middle: c.Pos, reach: float64(c.Radius)}
		case vg.MoveComp, vg.LineComp:
			b.middle.X += c.Pos.X
			b.middle.Y += c.Pos.Y
			b.corners++
		}
	}
	b.middle.X /= vg.Length(b.corners)
	b.middle.Y /= vg.Length(b.corners)
	b.reach = math.Hypot(float64(p[0].Pos.X-b.middle.X), float64(p[0].Pos.Y-b.middle.Y))
	return b
}

func inside(p vg.Point, r vg.Rectangle) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

func TestEverySpecimenIsDrawnInsideTheAxesWithItsLook(t *testing.T) {
	const looks, each = 4, 15
	corners := []int{0, 3, 4, 4} // circle, triangle, diamond, square
	for _, mm := range sheetSizes {
		f := against(looks, each)
		f.WidthMM, f.HeightMM = mm[0], mm[1]
		s := lay(t.Context(), f, ownLetters)
		_, actions := drawn(t, s)
		for look := range looks {
			inAxes, inKey := 0, 0
			for _, m := range edgesDrawn(actions, edgeOf(look)) {
				if m.corners != corners[look] {
					t.Errorf("%v: look %d was drawn with %d corners", mm, look, m.corners)
				}
				if inside(m.middle, s.data) {
					inAxes++
				} else {
					inKey++
				}
			}
			if inAxes != each || inKey != 1 {
				t.Errorf("%v: look %d has %d marks inside the axes and %d outside, want %d and the key's", mm, look,
					inAxes, inKey, each)
			}
		}
	}
}

func TestPlacesSayWhatTheDataSay(t *testing.T) {
	f := page.Figure{X: page.Axis{Label: "x"}, Y: page.Axis{Label: "y"},
		Layers: []page.Layer{page.Points{X: []float64{0, 25, 100}, Y: []float64{-10, 0, 30}}}}
	s := lay(t.Context(), f, ownLetters)
	_, actions := drawn(t, s)
	m := edgesDrawn(actions, edgeOf(0))
	if len(m) != 3 {
		t.Fatalf("%d marks for 3 specimens", len(m))
	}
	share := func(a, b, c vg.Length) float64 { return float64((b - a) / (c - a)) }
	if x := share(m[0].middle.X, m[1].middle.X, m[2].middle.X); math.Abs(x-0.25) > 1e-9 {
		t.Errorf("x = 25 of 0 to 100 stands at %g", x)
	}
	if y := share(m[0].middle.Y, m[1].middle.Y, m[2].middle.Y); math.Abs(y-0.25) > 1e-9 {
		t.Errorf("y = 0 of −10 to 30 stands at %g", y)
	}
}

func TestStripsShowEverySpecimenAtItsHeightAndInItsLevel(t *testing.T) {
	for _, each := range []int{1, 12, 60} {
		f := levelled(fewNames, each)
		s := lay(t.Context(), f, ownLetters)
		_, actions := drawn(t, s)
		marks := edgesDrawn(actions, edgeOf(0))
		if len(marks) != len(fewNames)*each {
			t.Fatalf("%d marks for %d specimens", len(marks), len(fewNames)*each)
		}
		p := f.Layers[len(f.Layers)-1].(page.Points)
		half := float64(s.atX(1)-s.atX(0)) / 2
		for i, m := range marks {
			if d := math.Abs(float64(m.middle.Y - s.atY(s.y.of(p.Y[i])))); d > 1e-9 {
				t.Errorf("specimen %d stands %g off its height", i, d)
			}
			if d := math.Abs(float64(m.middle.X - s.atX(p.X[i]))); d+m.reach > half {
				t.Errorf("specimen %d stands %g from its level's middle, the level ends at %g", i, d, half)
			}
			for j, o := range marks[:i] {
				if d := math.Hypot(float64(m.middle.X-o.middle.X), float64(m.middle.Y-o.middle.Y)); d < 2*m.reach {
					t.Errorf("specimens %d and %d cover each other: %g apart, radius %g", i, j, d, m.reach)
				}
			}
		}
	}
}

// Faint specimens are all drawn, in a shade nearer to the paper, each level centred, and
// the means stand in the middle of their level over them.
func TestFaintSpecimensStandBehindTheMeans(t *testing.T) {
	f := levelled(fewNames, 12)
	for i, l := range f.Layers {
		if p, ok := l.(page.Points); ok {
			p.Faint = true
			f.Layers[i] = p
		}
	}
	s := lay(t.Context(), f, ownLetters)
	_, actions := drawn(t, s)
	if full := edgesDrawn(actions, edgeOf(0)); len(full) != 0 {
		t.Errorf("%d specimens are drawn in full colour", len(full))
	}
	if pale := edgesDrawn(actions, paleEdgeOf(0)); len(pale) != 12*len(fewNames) {
		t.Errorf("%d faint specimens, want %d", len(pale), 12*len(fewNames))
	}
	points, intervals := s.place()
	if len(intervals) != len(fewNames) {
		t.Fatalf("%d means for %d levels", len(intervals), len(fewNames))
	}
	for i, v := range intervals {
		if want := s.atX(float64(i)); math.Abs(float64(v.x-want)) > 1e-9 {
			t.Errorf("mean %d stands at %g, its level at %g", i, v.x, want)
		}
	}
	for _, p := range points {
		if !p.faint {
			t.Error("a specimen is not faint")
		}
		for _, v := range intervals {
			if math.Abs(float64(p.at.X-v.x)) < float64(s.mark+s.capWidth())*(1-1e-9) {
				t.Errorf("the specimen at %v hides behind a mean", p.at)
			}
		}
	}
}

// The edges of small marks are finer, so that their colour still shows.
func TestSmallMarksHaveFinerEdges(t *testing.T) {
	width := func(each int) vg.Length {
		_, actions := drawn(t, lay(t.Context(), levelled([]string{"none"}, each), ownLetters))
		var now color.Color
		var wide vg.Length
		for _, a := range actions {
			switch a := a.(type) {
			case *recorder.SetColor:
				now = a.Color
			case *recorder.SetLineWidth:
				if now == color.Color(edgeOf(0)) {
					wide = a.Width
				}
			}
		}
		return wide
	}
	few, many := width(10), width(2500)
	if !(few > 0 && many > 0 && many < few/2) {
		t.Errorf("edges of %v where there are few, %v where there are many", few, many)
	}
}

func TestIntervalsStandClearOfSpecimens(t *testing.T) {
	f := levelled(longNames, 12)
	s := lay(t.Context(), f, ownLetters)
	points, intervals := s.place()
	if len(intervals) != len(longNames) {
		t.Fatalf("%d intervals for %d levels", len(intervals), len(longNames))
	}
	for i, v := range intervals {
		if v.colour != ink {
			t.Errorf("the mean of level %d is not dark", i)
		}
		for _, p := range points {
			if math.Abs(float64(p.at.X-v.x)) < float64(s.mark) {
				t.Errorf("an interval stands on a specimen at %v", p.at)
			}
		}
	}
}

// Two specimens leave a mean almost free: its interval may stretch the axis by half the
// range of the rest, and then goes on beyond it; one that fits ends in bars.
func TestAWildIntervalDoesNotPressTheOthersFlat(t *testing.T) {
	f := page.Figure{X: page.Axis{Levels: []string{"few", "many"}}, Layers: []page.Layer{
		page.Points{X: []float64{0, 0, 1, 1}, Y: []float64{300, 400, 310, 390}},
		page.Interval{X: 0, Mean: 350, Low: -5000, High: 6000},
		page.Interval{X: 1, Mean: 350, Low: 290, High: 410},
	}}
	s := lay(t.Context(), f, ownLetters)
	if s.y.lo < 200 || s.y.hi > 500 {
		t.Errorf("the axis runs from %g to %g", s.y.lo, s.y.hi)
	}
	_, intervals := s.place()
	if wild, tame := intervals[0], intervals[1]; !wild.below || !wild.above || tame.below || tame.above {
		t.Errorf("%+v and %+v", wild, tame)
	}
	if wild := intervals[0]; wild.low != s.data.Min.Y || wild.high != s.data.Max.Y {
		t.Errorf("from %v to %v on %v", wild.low, wild.high, s.data)
	}
}

func TestAnAxisFromZeroHoldsZero(t *testing.T) {
	f := page.Figure{Y: page.Axis{FromZero: true},
		Layers: []page.Layer{page.Line{X: []float64{1, 2}, Y: []float64{100, 60}}}}
	if s := lay(t.Context(), f, ownLetters); s.y.lo != 0 {
		t.Errorf("the axis begins at %g", s.y.lo)
	}
}

func TestSpecimensInOnePlaceAreRings(t *testing.T) {
	f := page.Figure{Layers: []page.Layer{page.Points{X: []float64{1, 2, 2, 2}, Y: []float64{1, 2, 2, 2}}}}
	_, actions := drawn(t, lay(t.Context(), f, ownLetters))
	reaches := map[float64]int{}
	for _, m := range edgesDrawn(actions, edgeOf(0)) {
		reaches[math.Round(m.reach*1000)]++
	}
	if len(reaches) != 3 {
		t.Errorf("three specimens in one place and one apart are drawn in %d sizes, want 3: %v", len(reaches), reaches)
	}
}

func TestBandsLieUnderLinesUnderSpecimens(t *testing.T) {
	_, actions := drawn(t, lay(t.Context(), against(1, 10), ownLetters))
	first := map[color.Color]int{}
	var now color.Color
	for i, a := range actions {
		switch a := a.(type) {
		case *recorder.SetColor:
			now = a.Color
		case *recorder.Fill, *recorder.Stroke:
			if _, ok := first[now]; !ok {
				first[now] = i
			}
		}
	}
	band, line, mark := first[tintOf(0)], first[colourOf(0)], first[edgeOf(0)]
	if !(0 < band && band < line && line < mark) {
		t.Errorf("band drawn at step %d, line at %d, marks at %d", band, line, mark)
	}
}

func TestKeyNeverCoversData(t *testing.T) {
	for name, f := range hard() {
		for _, mm := range sheetSizes {
			f.WidthMM, f.HeightMM = mm[0], mm[1]
			s := lay(t.Context(), f, ownLetters)
			for _, e := range s.key.entries {
				if inside(e.sample, s.data) {
					t.Errorf("%s, %v mm: the key sample of %q lies on the data", name, mm, e.key.Label)
				}
			}
		}
	}
}

// A crowd is drawn in several paths, and every specimen of it once.
func TestEverySpecimenOfACrowdIsDrawnOnce(t *testing.T) {
	const n = 3*handful + 7
	l := page.Points{}
	for i := range n {
		l.X, l.Y = append(l.X, float64(i)), append(l.Y, float64(i*i%1009))
	}
	l.Looks = make([]int, n)
	s := lay(t.Context(), page.Figure{Title: "load against order", X: page.Axis{Label: "order"},
		Y: page.Axis{Label: "load"}, Layers: []page.Layer{l}}, ownLetters)
	_, actions := drawn(t, s)
	if got := len(edgesDrawn(actions, edgeOf(0))); got != n {
		t.Errorf("%d of %d specimens are drawn", got, n)
	}
	paths := 0
	for _, a := range actions {
		if f, ok := a.(*recorder.Fill); ok {
			if paths++; len(subpaths(f.Path)) > handful {
				t.Errorf("a path of %d marks", len(subpaths(f.Path)))
			}
		}
	}
	if paths < 4 {
		t.Errorf("%d paths", paths)
	}
}

// The key tells an unbroken line from a broken one, and grey marks of no level have no colour.
func TestKeyOfLinesAndGreyMarks(t *testing.T) {
	f := against(2, 5)
	f.Layers = append(f.Layers, page.Points{X: []float64{600}, Y: []float64{400}, Looks: []int{page.Grey}})
	f.Keys = []page.Key{{Label: "in steps", Look: page.NoLook, Sample: page.SampleLine},
		{Label: "fitted", Look: page.NoLook, Sample: page.SampleDashes},
		{Label: "by chance", Look: page.Grey}}
	s := lay(t.Context(), f, ownLetters)
	_, actions := drawn(t, s)
	var now color.Color
	dashed := false
	lines := map[bool]int{} // of the ink's colour, by whether they are broken
	for _, a := range actions {
		switch a := a.(type) {
		case *recorder.SetColor:
			now = a.Color
		case *recorder.SetLineDash:
			dashed = len(a.Dashes) > 0
		case *recorder.Stroke:
			if now == color.Color(ink) {
				lines[dashed]++
			}
		}
	}
	if lines[true] != 1 || lines[false] != 1 {
		t.Errorf("%d broken and %d unbroken lines, want one of each, in the key", lines[true], lines[false])
	}
	if got := len(edgesDrawn(actions, edgeOf(page.Grey))); got != 2 {
		t.Errorf("%d grey marks, want one and its key", got)
	}
	if g := colourOf(page.Grey); g.R != g.G || g.G != g.B {
		t.Errorf("grey is %v", g)
	}
}
