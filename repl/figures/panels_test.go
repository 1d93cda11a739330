package figures

import (
	"testing"

	"breakbook/repl/page"
)

// Of many levels each has a panel with all its specimens in its own look, where there is room; the axes are the
// same in all.
func TestManyLevelsHaveAPanelEach(t *testing.T) {
	const looks, each = 8, 12
	f := against(looks, each)
	s := lay(t.Context(), f, ownLetters)
	if len(s.panels) != looks || len(s.key.entries) > 0 {
		t.Fatalf("%d panels and %d entries in a key, want a panel a level", len(s.panels), len(s.key.entries))
	}
	_, actions := drawn(t, s)
	for look := range looks {
		marks := edgesDrawn(actions, edgeOf(look))
		in := 0
		for _, m := range marks {
			if inside(m.middle, s.panels[look].data) {
				in++
			}
		}
		if in != each {
			t.Errorf("the panel of look %d has %d of its %d specimens", look, in, each)
		}
	}
	for i, p := range s.panels {
		for _, o := range s.panels[:i] {
			if p.data.Min.X < o.data.Max.X && o.data.Min.X < p.data.Max.X && p.data.Min.Y < o.data.Max.Y &&
				o.data.Min.Y < p.data.Max.Y {
				t.Errorf("the panels %v and %v overlap", p.data, o.data)
			}
		}
	}
	f.WidthMM, f.HeightMM = 60, 40
	if s := lay(t.Context(), f, ownLetters); len(s.panels) > 0 || len(s.key.entries) == 0 {
		t.Error("panels that are too small to be read")
	}
	if s := lay(t.Context(), against(mostInOne, each), ownLetters); len(s.panels) > 0 {
		t.Error("few levels have panels")
	}
}

// A specimen keeps its name in the panel of its level, and is named in no other.
func TestPanelsNameTheirOwn(t *testing.T) {
	all := []page.Layer{page.Points{X: []float64{1, 2, 3}, Y: []float64{1, 2, 3}, Looks: []int{0, 1, 1},
		Names: []string{"A", "B", "C"}, Odd: []int{0, 2}}}
	for look, want := range []string{"A", "C"} {
		layers := layersOf(all, look, true)
		others, own := layers[0].(page.Points), layers[1].(page.Points)
		if len(own.Odd) != 1 || own.Names[own.Odd[0]] != want || len(others.Odd) != 0 {
			t.Errorf("in the panel of look %d %v of %v are named, and %v of the others, want %s", look, own.Odd,
				own.Names, others.Odd, want)
		}
	}
}
