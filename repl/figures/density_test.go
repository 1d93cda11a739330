package figures

import (
	"math"
	"testing"

	"breakbook/repl/page"
)

// many are n specimens by a fixed rule, on an oval with a fringe, against a number or on levels.
func many(n, levels int) page.Figure {
	f := page.Figure{X: page.Axis{Label: "Density"}, Y: page.Axis{Label: "Load", Unit: "kgf"}}
	var p page.Points
	for i := range n {
		turn, far := float64(i)*2.399963, math.Sqrt(float64(i)/float64(n)) // the golden angle
		x := 600 + 80*far*math.Cos(turn)
		if levels > 0 {
			x = float64(i % levels)
		}
		p.X, p.Y = append(p.X, x), append(p.Y, 300+90*far*far*far*math.Sin(turn))
		p.Looks = append(p.Looks, i%3)
	}
	for l := range levels {
		f.X.Levels = append(f.X.Levels, string(rune('a'+l)))
	}
	f.Layers = []page.Layer{p}
	return f
}

// Every specimen of a large series is in a cell or a mark, and none in both.
func TestLargeSeriesAreCountedInCells(t *testing.T) {
	const n = 60000
	for _, levels := range []int{0, 4} {
		s := lay(t.Context(), many(n, levels), ownLetters)
		g := s.newGrid()
		s.eachSpecimen(func(m specimen, _ float64) { g.add(m.at, m.look) })
		single, counted := 0, 0
		for c, k := range g.counts {
			byLook := int32(0)
			for _, of := range g.looks {
				byLook += of[c]
			}
			if byLook != k {
				t.Fatalf("cell %d has %d specimens, and %d by look", c, k, byLook)
			}
			if k <= fewInCell {
				single += int(k)
			} else {
				counted++
			}
		}
		cells, few, _ := s.thin()
		if len(few) != single || len(cells) != counted || single == 0 || counted == 0 {
			t.Errorf("%d levels: %d marks and %d cells, want %d and %d", levels, len(few), len(cells), single, counted)
		}
		for _, c := range cells {
			if !inside(c.at.Min, s.data) || !inside(c.at.Max, s.data) {
				t.Errorf("the cell %v lies outside %v", c.at, s.data)
			}
			if !(c.amount > 0 && c.amount <= 1) {
				t.Errorf("a cell has %g of the fullest", c.amount)
			}
		}
		for _, format := range []string{"png", "svg", "pdf"} {
			b, err := Bytes(t.Context(), many(n, levels), format)
			if err != nil {
				t.Fatal(err)
			}
			if len(b) > 1<<20 {
				t.Errorf("%d levels: %s has %d bytes", levels, format, len(b))
			}
		}
	}
	if s := lay(t.Context(), many(mostMarks, 0), ownLetters); s.crowded() {
		t.Error("as many specimens as may be drawn singly are counted in cells")
	}
}

// A million specimens against a number and by level: go test ./repl/figures -run X -bench Million.
func BenchmarkMillion(b *testing.B) {
	for name, levels := range map[string]int{"against": 0, "by level": 4} {
		f := many(1_000_000, levels)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := Bytes(b.Context(), f, "png"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
