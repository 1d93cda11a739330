package design

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"pgregory.net/rapid"
)

func TestColumnsComeBackFromTheirCoordinates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		k := rapid.IntRange(1, 8).Draw(t, "k")
		var s Span
		var columns [][]float64
		for j := range k {
			c := make([]float64, n) // in thousandths: the squares of a column's numbers must not vanish
			for i, x := range rapid.SliceOfN(rapid.IntRange(-100000, 100000), n, n).Draw(t, "column") {
				c[i] = float64(x) / 1000
			}
			if j > 0 && rapid.IntRange(0, 3).Draw(t, "repeat") == 0 {
				for i := range c {
					c[i] = 3 * columns[0][i]
				}
			}
			columns = append(columns, c)
			before := len(s.Directions)
			coords, added := s.Add(context.Background(), c)
			if added != (len(s.Directions) == before+1) || len(coords) != len(s.Directions) {
				t.Fatalf("%d directions after %d, %d coordinates, added %v", len(s.Directions), before, len(coords),
					added)
			}
			length := math.Sqrt(floats.Dot(c, c))
			for i := range c {
				made := 0.0
				for d, u := range s.Directions {
					made += coords[d] * u[i]
				}
				if !(math.Abs(made-c[i]) <= 1e-10*length) {
					t.Fatalf("column %v comes back as %g at %d", c, made, i)
				}
			}
		}
		if len(s.Directions) > n {
			t.Fatalf("%d directions in %d dimensions", len(s.Directions), n)
		}
		for a, u := range s.Directions {
			for b, v := range s.Directions {
				want := 0.0
				if a == b {
					want = 1
				}
				if !(math.Abs(floats.Dot(u, v)-want) <= 1e-12) {
					t.Fatalf("directions %d and %d: %g", a, b, floats.Dot(u, v))
				}
			}
		}
		y := rapid.SliceOfN(rapid.Float64Range(-100, 100), n, n).Draw(t, "y")
		rest := s.Rest(context.Background(), y)
		total, parts := floats.Dot(y, y), s.Squares(y, 0)+floats.Dot(rest, rest)
		if !(math.Abs(total-parts) <= 1e-10*(1+total)) {
			t.Fatalf("Pythagoras: %g and %g", total, parts)
		}
	})
}
