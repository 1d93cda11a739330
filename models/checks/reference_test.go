package checks

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"testing"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
)

// reference is testdata/reference/checks.json: random series with the answers of scipy
// and statsmodels, by the routes that the script beside it names.
type reference struct {
	Shapes []struct {
		Values []float64
		W, P   float64
		ExactW float64 `json:"exact_w"`
		ExactP float64 `json:"exact_p"`
	}
	Spreads []struct {
		Groups [][]float64
		F, P   float64
	}
	Samples []struct {
		Values []float64
		Steps  [][2]float64
	}
	Fits []struct {
		Y, X, Z, Weights            []float64
		A                           []int
		Leverage, Deleted, Distance []float64
		SpreadF                     float64 `json:"spread_f"`
		SpreadP                     float64 `json:"spread_p"`
		Bends                       [][2]float64
	}
}

func read(t *testing.T) reference {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/reference/checks.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(raw, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// near fails where got is off by more than within of want (of 1, where want is smaller).
func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Max(1, math.Abs(want))) {
		t.Errorf("%s: %.14g, want %.14g", what, got, want)
	}
}

func solve(t *testing.T, y []float64, m design.Model) *linear.Fit {
	t.Helper()
	f, err := linear.Solve(context.Background(), y, m)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestShapesReference(t *testing.T) {
	shapes := read(t).Shapes
	if len(shapes) != 48 {
		t.Fatalf("%d shapes", len(shapes))
	}
	for _, s := range shapes {
		w, p, err := ShapiroWilk(s.Values)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "W", w, s.ExactW, 1e-12)
		near(t, "p", p, s.ExactP, 1e-8)
		if s.ExactP > 1e-250 && !(math.Abs(p/s.ExactP-1) <= 1e-6) {
			t.Errorf("n %d: p %g, want %g", len(s.Values), p, s.ExactP)
		}
		// scipy works in single precision: W to 5e-6 throughout, and a p that depends on
		// 1 − W only while that is not small itself.
		near(t, "W of scipy", w, s.W, 5e-6)
		if len(s.Values) <= 150 {
			near(t, "p of scipy", p, s.P, 1e-5)
		}
	}
}

func TestSpreadsReference(t *testing.T) {
	spreads := read(t).Spreads
	if len(spreads) != 40 {
		t.Fatalf("%d series", len(spreads))
	}
	for _, s := range spreads {
		o, err := compare.BrownForsythe(t.Context(), s.Groups)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "F", o.F, s.F, 1e-8)
		near(t, "p", o.P, s.P, 1e-8)
	}
}

func TestSeveralReference(t *testing.T) {
	samples := read(t).Samples
	if len(samples) != 30 {
		t.Fatalf("%d samples", len(samples))
	}
	for _, s := range samples {
		steps, odd, err := Several(context.Background(), solve(t, s.Values, design.Model{}), len(s.Steps), 0.05)
		if err != nil || len(steps) != len(s.Steps) {
			t.Fatalf("%d steps of %d (%v)", len(steps), len(s.Steps), err)
		}
		last := 0
		for i, step := range steps {
			near(t, "G", step.G, s.Steps[i][0], 1e-8)
			near(t, "critical G", step.Critical, s.Steps[i][1], 1e-8)
			if s.Steps[i][0] > s.Steps[i][1] {
				last = i + 1
			}
		}
		if odd != last {
			t.Errorf("%d odd, want %d", odd, last)
		}
	}
}

func TestFitsReference(t *testing.T) {
	fits := read(t).Fits
	if len(fits) != 60 {
		t.Fatalf("%d fits", len(fits))
	}
	for _, c := range fits {
		m := design.Model{Weights: c.Weights, Variables: []design.Variable{
			{Name: "a", Codes: c.A, Levels: []string{"0", "1", "2"}}, {Name: "x", Numbers: c.X},
			{Name: "z", Numbers: c.Z}}}
		for v := range m.Variables {
			m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{Variable: v}}})
		}
		f := solve(t, c.Y, m)
		all := Influences(t.Context(), f)
		if len(all) != len(c.Leverage) {
			t.Fatalf("%d influences of %d", len(all), len(c.Leverage))
		}
		for i, one := range all {
			near(t, "leverage", one.Leverage, c.Leverage[i], 1e-8)
			near(t, "deleted", one.Deleted, c.Deleted[i], 1e-8)
			near(t, "distance", one.Distance, c.Distance[i], 1e-8)
		}
		s, err := SpreadAgainstFit(context.Background(), f)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "spread against fit", s.Statistic, c.SpreadF, 1e-8)
		near(t, "its p", s.P, c.SpreadP, 1e-8)
		bends, err := Bends(context.Background(), f)
		if err != nil || len(bends) != 2 {
			t.Fatalf("%d bends (%v)", len(bends), err)
		}
		for i, b := range bends {
			near(t, "bend", b.Statistic, c.Bends[i][0], 1e-8)
			near(t, "its p", b.P, c.Bends[i][1], 1e-8)
		}
	}
}
