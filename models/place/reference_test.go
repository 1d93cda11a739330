package place

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// referenceCase is one series of testdata/reference/place.json, with what numpy's and scipy's full search makes of it.
type referenceCase struct {
	Kind                string
	X, Y, W             []float64
	Base                [][]float64
	RSS0, RSS, At, Size float64
	Low, High           float64      // of the size of a step, its place left open
	Places              [][2]float64 // of a step: middle of the gap, residual sum of squares
}

func referenceCases(t *testing.T) []referenceCase {
	raw, err := os.ReadFile("../../testdata/reference/place.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Cases []referenceCase }
	if err := json.Unmarshal(raw, &all); err != nil {
		t.Fatal(err)
	}
	return all.Cases
}

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// TestFullSearch holds place, sums of squares and sizes to a fit of its own at every place: numpy 1.24.2,
// scipy 1.10.1. The place of a kink is as exact as a minimum is to 16 digits of its sum of squares.
func TestFullSearch(t *testing.T) {
	for i, c := range referenceCases(t) {
		kind := map[string]Kind{"step": Step, "kink": Kink}[c.Kind]
		d := Data{Y: c.Y, Weights: c.W, Base: c.Base, X: c.X}
		f, err := Find(t.Context(), kind, d, Options{Confidence: 0.95, Seed: 1})
		if err != nil {
			t.Fatalf("%d: %v", i, err)
		}
		if !near(f.RSS, c.RSS, 1e-10) || !near(f.RSS0, c.RSS0, 1e-10) {
			t.Errorf("%d %s: sums of squares %.12g and %.12g, not %.12g and %.12g", i, c.Kind, f.RSS, f.RSS0, c.RSS,
				c.RSS0)
		}
		within := 1e-12
		if kind == Kink {
			within = 1e-5
		}
		if !near(f.At, c.At, within) || !near(f.Size, c.Size, 100*within) {
			t.Errorf("%d %s: %.12g of size %.12g, not %.12g of %.12g", i, c.Kind, f.At, f.Size, c.At, c.Size)
		}
		if at, err := Least(t.Context(), kind, d); err != nil || at != f.At {
			t.Errorf("%d: the least is at %v, found at %v: %v", i, at, f.At, err)
		}
		if kind == Kink {
			continue
		}
		if !near(f.SizeLow, c.Low, 1e-5) || !near(f.SizeHigh, c.High, 1e-5) { // shares under 1e-7 are left out
			t.Errorf("%d: size from %.9g to %.9g, not %.9g to %.9g", i, f.SizeLow, f.SizeHigh, c.Low, c.High)
		}
		if f.Looked != len(c.Places) {
			t.Errorf("%d: %d places looked at, not %d", i, f.Looked, len(c.Places))
		}
		for _, p := range f.Places {
			found := false
			for _, want := range c.Places {
				found = found || near(p.At, want[0], 1e-12) && near(p.RSS, want[1], 1e-10)
			}
			if !found {
				t.Errorf("%d: %v is no place of the full search", i, p)
			}
		}
	}
}
