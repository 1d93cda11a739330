package linear

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"breakbook/models/design"
)

// referenceCase is one series of testdata/unbalanced.json with statsmodels' answers; the
// script beside it says by which route.
type referenceCase struct {
	Terms         []string
	Y, X, Z       []float64
	A, B, C       []int
	Weights       []float64
	Estimates     []float64
	StandardError []float64 `json:"standard_errors"`
	P             []float64
	RSS, TSS      float64
	Explained     float64
	Adjusted      float64
	Unseen        float64
	F             float64
	FP            float64 `json:"f_p"`
	LogLikelihood float64 `json:"log_likelihood"`
	AICc          float64
	Leverage      []float64
	DF            []int
	Anova         map[string][]float64
}

func (c referenceCase) model() design.Model {
	levels := []string{"first", "second", "third"}
	m := design.Model{Weights: c.Weights, Variables: []design.Variable{
		{Name: "a", Codes: c.A, Levels: levels}, {Name: "b", Codes: c.B, Levels: levels[:2]},
		{Name: "c", Codes: c.C, Levels: levels[:2]}, number("x", c.X), number("z", c.Z)}}
	at := map[string]int{"a": 0, "b": 1, "c": 2, "x": 3, "z": 4}
	for _, name := range c.Terms {
		var variables []int
		for _, v := range strings.Split(name, ":") {
			variables = append(variables, at[v])
		}
		m.Terms = append(m.Terms, term(variables...))
	}
	return m
}

// near fails where got is off by more than 1e-8 of want (of one, where want is smaller).
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if scale := max(1, want, -want); !(got-want <= 1e-8*scale && want-got <= 1e-8*scale) {
		t.Errorf("%s: %.12g, statsmodels %.12g", what, got, want)
	}
}

func TestUnbalancedSeries(t *testing.T) {
	raw, err := os.ReadFile("testdata/unbalanced.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []referenceCase }
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) != 48 {
		t.Fatalf("%d cases", len(file.Cases))
	}
	for _, c := range file.Cases {
		t.Run(strings.Join(c.Terms, "+"), func(t *testing.T) {
			f := solve(t, c.Y, c.model())
			if len(f.Coefficients) != len(c.Estimates) {
				t.Fatalf("%d coefficients, not %d", len(f.Coefficients), len(c.Estimates))
			}
			for j, row := range f.Coefficients {
				near(t, "estimate", row.Estimate, c.Estimates[j])
				near(t, "standard error", row.SE, c.StandardError[j])
				near(t, "p", row.P, c.P[j])
			}
			for i, h := range f.Leverage {
				near(t, "leverage", h, c.Leverage[i])
			}
			near(t, "rss", f.RSS, c.RSS)
			near(t, "tss", f.TSS, c.TSS)
			near(t, "explained", f.Explained, c.Explained)
			near(t, "adjusted", f.ExplainedAdjusted, c.Adjusted)
			near(t, "unseen", f.ExplainedUnseen, c.Unseen)
			near(t, "F", f.F, c.F)
			near(t, "p of F", f.P, c.FP)
			near(t, "log-likelihood", f.LogLikelihood, c.LogLikelihood)
			near(t, "AICc", f.AICc, c.AICc)
			for name, a := range map[string]Adjustment{"marginal": Marginal, "sequential": Sequential,
				"each last": EachLast} {
				for s, source := range anova(t, f, a).Sources {
					near(t, name+" "+c.Terms[s], source.SS, c.Anova[name][s])
					near(t, name+" df", source.DF, float64(c.DF[s]))
				}
			}
		})
	}
}

// Paint adhesion: Montgomery and Runger, Applied Statistics and Probability for Engineers,
// example 14-1 (table 14-5). Printed: total 10.72, primer 4.58, method 4.91,
// both together 0.24, error 0.99; the longer figures were recomputed with scipy 1.10.1.
func TestPaintAdhesion(t *testing.T) {
	y := []float64{4.0, 4.5, 4.3, 5.4, 4.9, 5.6, 5.6, 4.9, 5.4, 5.8, 6.1, 6.3, 3.8, 3.7, 4.0, 5.5, 5.0, 5.0}
	primer := design.Variable{Codes: make([]int, 18), Levels: []string{"1", "2", "3"}}
	method := design.Variable{Codes: make([]int, 18), Levels: []string{"dipping", "spraying"}}
	for i := range y {
		primer.Codes[i], method.Codes[i] = i/6, i/3%2
	}
	f := solve(t, y, design.Model{Variables: []design.Variable{primer, method},
		Terms: []design.Term{term(0), term(1), term(0, 1)}})
	for _, a := range []Adjustment{Marginal, Sequential, EachLast} {
		table := anova(t, f, a)
		if !table.AddsUp || table.ResidualDF != 12 || table.TotalDF != 17 {
			t.Errorf("balanced table: adds up %v, residual %g, total %g", table.AddsUp, table.ResidualDF, table.TotalDF)
		}
		for s, want := range []struct{ ss, df, f, p float64 }{
			{4.581111111, 2, 27.858108108, 3.0969e-05}, {4.908888889, 1, 59.702702703, 5.3568e-06},
			{0.241111111, 2, 1.466216216, 0.269342028}} {
			got := table.Sources[s]
			atLeast(t, "source", 9, []figure{{"ss", got.SS, want.ss}, {"df", got.DF, want.df}, {"f", got.F, want.f}})
			atLeast(t, "source", 4.5, []figure{{"p", got.P, want.p}})
		}
		atLeast(t, "table", 8.9, []figure{{"left over", table.ResidualSS, 0.986666667},
			{"total", table.TotalSS, 10.717777778}})
	}
}
