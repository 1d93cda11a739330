package render

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"breakbook/repl/page"
)

// A sketch of levels has a row for each name, a mark for each specimen over its place, the
// mean with its range under it, and an axis with round numbers and the unit. Worked out by
// hand: 38 columns less 5 for the names and 2 between leave 31 cells, the first and the last
// half of one of which is air about 0 and 30: the value is the cell but for the air.
func TestSketchOfLevels(t *testing.T) {
	f := page.Figure{Title: "Load by pins", X: page.Axis{Label: "Pins", Levels: []string{"none", "pair"}},
		Y: page.Axis{Label: "Load", Unit: "kg/m3"},
		Layers: []page.Layer{
			page.Points{X: []float64{0, 0, 0, 1, 1}, Y: []float64{0, 0, 6, 12, 30}},
			page.Interval{X: 0, Mean: 3, Low: 0, High: 6}}}
	want := `  Load by pins

         •
  none   •     •
  n = 3  ├──◆──┤

  pair               •                 •
  n = 2
         ┬─────────┬─────────┬─────────┬
         0        10        20        30
                  Load (kg/m³)

  • one specimen; ├─◆─┤ mean and its
  interval
`
	if got := soft(sketch(f, Options{Width: 40})); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// drawnFigure is a figure of numbers, on levels or against a number.
func drawnFigure(t *rapid.T) (page.Figure, int) {
	size := math.Pow(10, float64(rapid.IntRange(-12, 12).Draw(t, "size")))
	value := rapid.Custom(func(t *rapid.T) float64 { return size * rapid.Float64Range(-1, 1).Draw(t, "value") })
	n := rapid.IntRange(1, 60).Draw(t, "n")
	f := page.Figure{Title: "Load", X: page.Axis{Label: "Density", Unit: "kg/m3"},
		Y: page.Axis{Label: "Break load of the joint", Unit: "N"}}
	p := page.Points{}
	levels := rapid.IntRange(0, 4).Draw(t, "levels")
	for i := range n {
		x := value.Draw(t, "x")
		if levels > 0 {
			x = float64(i % levels)
		}
		p.X, p.Y = append(p.X, x), append(p.Y, value.Draw(t, "y"))
	}
	for i := range min(levels, n) {
		f.X.Levels = append(f.X.Levels, strings.Repeat("long ", i*4)+string(rune('a'+i)))
		f.Layers = append(f.Layers, page.Interval{X: float64(i), Mean: p.Y[i], Low: p.Y[i], High: p.Y[i]})
	}
	f.Layers = append(f.Layers, p)
	return f, n
}

// Whatever the numbers, every specimen is in the sketch and no line is wider than the screen.
func TestSketchesHoldEverySpecimen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, n := drawnFigure(t)
		width := rapid.IntRange(leastSketch, 120).Draw(t, "width")
		text := soft(sketch(f, Options{Width: width}))
		picture, legend, _ := strings.Cut(text, oneSpecimen+" one specimen")
		if picture == text { // too many for a mark each
			picture, legend, _ = strings.Cut(text, oneSpecimen+" up to ")
			if !strings.Contains(legend, " specimens") {
				t.Fatalf("no legend in\n%s", text)
			}
			for _, level := range f.X.Levels {
				if !strings.Contains(picture, "n = ") {
					t.Errorf("level %s is not counted in\n%s", level, text)
				}
			}
		} else {
			got, tens := countedIn(picture, len(f.X.Levels) > 0), strings.Count(picture, manySpecimen)
			if tens == 0 && got != n || tens > 0 && got+10*tens > n {
				t.Errorf("%d specimens counted and %d times ten or more, want %d, in\n%s", got, tens, n, text)
			}
			if explained := strings.Contains(strings.Join(strings.Fields(legend), " "),
				"# ten or more"); explained != (tens > 0) {
				t.Errorf("the legend tells of ten or more: %v, in\n%s", explained, text)
			}
		}
		for _, line := range strings.Split(text, "\n") {
			if w := utf8.RuneCountInString(line); w > width {
				t.Errorf("a line is %d wide on a screen of %d:\n%s", w, width, text)
			}
		}
	})
}

// countedIn counts the marks of a picture; in a field a digit stands for so many.
func countedIn(picture string, levels bool) int {
	if levels {
		return strings.Count(picture, oneSpecimen)
	}
	total := 0
	for _, line := range strings.Split(picture, "\n") {
		_, row, found := strings.Cut(line, "│")
		if !found {
			_, row, _ = strings.Cut(line, "┤")
		}
		total += strings.Count(row, oneSpecimen)
		for _, r := range row {
			if r >= '2' && r <= '9' {
				total += int(r - '0')
			}
		}
	}
	return total
}

// The marked numbers of an axis are round, in order, evenly apart and where they say.
func TestAxesMarkRoundNumbers(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{184, 451.5, "200 250 300 350 400 450"},
		{0, 1, "0.0 0.2 0.4 0.6 0.8 1.0"},
		{-3, 4, "−2 0 2 4"},
		{1e6, 1e6 + 3, "1000000 1000001 1000002 1000003"},
		{0.0123, 0.0171, "0.013 0.014 0.015 0.016 0.017"},
		{7, 7, "6.8 7.0 7.2"},
		{0, 0, "−1.0 −0.5 0.0 0.5 1.0"},
	} {
		a := newAxis(c.low, c.high, 50, 6, Options{})
		var got []string
		for i, m := range a.ticks {
			got = append(got, m.text)
			if i > 0 && m.cell <= a.ticks[i-1].cell {
				t.Errorf("%g to %g: the marks are out of order: %v", c.low, c.high, a.ticks)
			}
		}
		if text := strings.Join(got, " "); text != c.want {
			t.Errorf("%g to %g is marked %s, want %s", c.low, c.high, text, c.want)
		}
	}
}

// Very many specimens are drawn several to a mark, and the legend says how many.
func TestSketchOfVeryMany(t *testing.T) {
	p := page.Points{X: make([]float64, 1000), Y: make([]float64, 1000)}
	f := page.Figure{X: page.Axis{Levels: []string{"all"}}, Layers: []page.Layer{p}}
	if got := soft(sketch(f, Options{})); !strings.Contains(got, "• up to 200 specimens") ||
		strings.Count(got, "•") != 6 || !strings.Contains(got, "n = 1000") {
		t.Errorf("a thousand in one place:\n%s", got)
	}
	f.X.Levels = nil
	if got := soft(sketch(f, Options{})); !strings.Contains(got, "# ten or more, at most 1000") {
		t.Errorf("a thousand in one place of a field:\n%s", got)
	}
}
