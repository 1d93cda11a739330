package figures

import (
	"testing"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

func TestALineThroughAName(t *testing.T) {
	box := vg.Rectangle{Min: vg.Point{X: 10, Y: 20}, Max: vg.Point{X: 30, Y: 25}}
	for _, c := range []struct {
		line []vg.Point
		want bool
	}{
		{[]vg.Point{{X: 0, Y: 22}, {X: 40, Y: 22}}, true},                  // through
		{[]vg.Point{{X: 20, Y: 0}, {X: 20, Y: 40}}, true},                  // upright
		{[]vg.Point{{X: 15, Y: 22}, {X: 16, Y: 23}}, true},                 // inside
		{[]vg.Point{{X: 0, Y: 0}, {X: 5, Y: 40}, {X: 40, Y: 18}}, true},    // its second piece
		{[]vg.Point{{X: 40, Y: 18}, {X: 5, Y: 40}, {X: 0, Y: 0}}, true},    // the other way
		{[]vg.Point{{X: 0, Y: 26}, {X: 40, Y: 26}}, false},                 // over it
		{[]vg.Point{{X: 31, Y: 0}, {X: 31, Y: 40}}, false},                 // beside it
		{[]vg.Point{{X: 0, Y: 18}, {X: 9, Y: 40}, {X: 40, Y: 40}}, false},  // round it
		{[]vg.Point{{X: 0, Y: 10}, {X: 20, Y: 15}, {X: 31, Y: 19}}, false}, // past a corner
		{[]vg.Point{{X: 20, Y: 22}}, false},                                // no line
	} {
		if got := passes(c.line, box); got != c.want {
			t.Errorf("%v: %t", c.line, got)
		}
	}
}

// A name goes where no line passes: a line at the right, left and over the mark leaves it the place under it.
func TestNamesKeepOffLines(t *testing.T) {
	f := page.Figure{X: page.Axis{Label: "slip", Unit: "mm"}, Y: page.Axis{Label: "load", Unit: "kgf"},
		Layers: []page.Layer{
			page.Line{X: []float64{0, 4.5, 5.5, 10}, Y: []float64{50, 50, 50, 50}},
			page.Line{X: []float64{0, 10}, Y: []float64{54, 54}},
			page.Line{X: []float64{0, 10}, Y: []float64{0, 0}}, page.Line{X: []float64{0, 10}, Y: []float64{100, 100}},
			page.Points{X: []float64{5}, Y: []float64{50}, Names: []string{"G10"}, Odd: []int{0}}}}
	s := lay(t.Context(), f, ownLetters)
	if _, err := s.picture(); err != nil {
		t.Fatal(err)
	}
	for _, w := range s.texts {
		if w.words == "G10" {
			if at := (vg.Point{X: s.atX(s.x.of(5)), Y: s.atY(s.y.of(50))}); !(w.at.Y+w.size/2 < at.Y && w.at.X < at.X) {
				t.Errorf("the name stands at %v, its mark and a line at %v", w.at, at)
			}
			return
		}
	}
	t.Error("the mark is not named")
}
