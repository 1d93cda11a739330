package compare

import (
	"math"
	"testing"
)

// Three families told together have each the critical value of one alone at a third of the error, and
// three times its p.
func TestFamiliesShareTheError(t *testing.T) {
	m, err := Groups(t.Context(), [][]float64{{402, 408, 427, 426}, {423, 441, 430, 455}, {418, 433, 440, 431}})
	if err != nil {
		t.Fatal(err)
	}
	for ref := -1; ref < 1; ref++ {
		run := func(o Options) *Result {
			r, err := AllPairs(t.Context(), m, o)
			if ref >= 0 {
				r, err = Against(t.Context(), m, ref, o)
			}
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		together, strict := run(Options{Confidence: 0.94, Families: 3}), run(Options{Confidence: 0.98})
		for i, d := range together.Differences {
			alone := strict.Differences[i]
			if !(math.Abs(d.Low-alone.Low) <= 1e-9) || !(math.Abs(d.High-alone.High) <= 1e-9) {
				t.Errorf("interval %v to %v, want %v to %v", d.Low, d.High, alone.Low, alone.High)
			}
			if want := math.Min(1, 3*alone.P); !(math.Abs(d.P-want) <= 1e-12) {
				t.Errorf("p %v, want %v", d.P, want)
			}
		}
	}
}
