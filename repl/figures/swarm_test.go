package figures

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestSwarmKeepsSpecimensApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.OneOf(rapid.Float64Range(0, 100),
			rapid.Map(rapid.IntRange(0, 12), func(i int) float64 { return float64(i) * 4 }))
		y := rapid.SliceOfN(height, 0, 60).Draw(t, "y")
		const apart, reach = 5.0, 200.0
		clear := rapid.SampledFrom([]float64{0, 4}).Draw(t, "clear")
		dx, ok := swarm(t.Context(), y, apart, reach, clear)
		if !ok {
			t.Fatalf("%d specimens did not fit within %g", len(y), reach)
		}
		for i := range y {
			if math.Abs(dx[i]) > reach {
				t.Fatalf("specimen %d went to %g", i, dx[i])
			}
			if math.Abs(dx[i]) < clear*(1-1e-6) {
				t.Fatalf("specimen %d stands at %g, where %g to either side are kept free", i, dx[i], clear)
			}
			for j := range i {
				if d := math.Hypot(dx[i]-dx[j], y[i]-y[j]); d < apart*(1-1e-6) {
					t.Fatalf("specimens %d and %d are %g apart", i, j, d)
				}
			}
		}
	})
}

func TestSwarmStaysOnTheMiddleLineWhereItCan(t *testing.T) {
	dx, ok := swarm(t.Context(), []float64{30, 10, 20}, 5, 1, 0)
	if !ok || dx[0] != 0 || dx[1] != 0 || dx[2] != 0 {
		t.Errorf("specimens that do not touch were moved: %v, %v", dx, ok)
	}
	dx, ok = swarm(t.Context(), []float64{7, 7, 7}, 5, 6, 0)
	if !ok || math.Abs(dx[0])+math.Abs(dx[1])+math.Abs(dx[2]) != 10 {
		t.Errorf("three equal specimens stand side by side around the middle: %v, %v", dx, ok)
	}
	if _, ok := swarm(t.Context(), []float64{7, 7, 7, 7}, 5, 6, 0); ok {
		t.Error("four specimens 5 apart were said to fit within 6 of the middle")
	}
}

func TestCrowdUsesTheWholeReachWithoutRepeating(t *testing.T) {
	dx := crowd(t.Context(), make([]float64, 1000), 10, 1)
	seen := map[float64]bool{}
	least, most := 0.0, 0.0
	for _, d := range dx {
		least, most = min(least, d), max(most, d)
		if seen[d] {
			t.Fatalf("two specimens at %g", d)
		}
		seen[d] = true
	}
	if least < -10 || most > 10 || most-least < 19 {
		t.Errorf("1000 specimens spread from %g to %g within ±10", least, most)
	}
}

// A crowd is as wide as it is dense: here 100, 400 and 100 specimens at three heights apart.
func TestCrowdIsWidestWhereMostSpecimensAre(t *testing.T) {
	var y []float64
	for h, n := range []int{100, 400, 100} {
		for range n {
			y = append(y, float64(10*h))
		}
	}
	widest := map[float64]float64{}
	for i, d := range crowd(t.Context(), y, 8, 3) {
		widest[y[i]] = max(widest[y[i]], math.Abs(d))
	}
	for h, want := range map[float64]float64{0: 2, 10: 8, 20: 2} {
		if got := widest[h]; got > want || got < 0.9*want {
			t.Errorf("the specimens at %g reach to %g, want about %g", h, got, want)
		}
	}
}
