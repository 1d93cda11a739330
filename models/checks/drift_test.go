package checks

import (
	"context"
	"errors"
	"testing"

	"breakbook/models/design"
)

// The t of the drift is that of the order as one more term of the fit, weights and all (the golden sessions hold it to
// statsmodels); where the terms account for the order whole, or leave one specimen over, there is none.
func TestDriftIsTheTermOfTheOrder(t *testing.T) {
	for _, c := range read(t).Fits {
		m := design.Model{Weights: c.Weights, Variables: []design.Variable{
			{Name: "a", Codes: c.A, Levels: []string{"0", "1", "2"}}, {Name: "x", Numbers: c.X},
			{Name: "z", Numbers: c.Z}}}
		for v := range m.Variables {
			m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{Variable: v}}})
		}
		with := solve(t, c.Y, m)
		order := with.Coefficients[len(with.Coefficients)-1]
		if _, err := Drift(t.Context(), with, c.Z); code(err) != "nothing-varies" {
			t.Errorf("the order is a term: %v", err)
		}
		m.Variables, m.Terms = m.Variables[:2], m.Terms[:2]
		d, err := Drift(t.Context(), solve(t, c.Y, m), c.Z)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "t", d.Statistic, order.T, 1e-8)
		near(t, "p", d.P, order.P, 1e-8)
		near(t, "degrees of freedom", d.DF, with.DF, 0)
	}
	few := solve(t, []float64{3, 5, 4, 9}, design.Model{
		Variables: []design.Variable{{Name: "x", Numbers: []float64{1, 2, 4, 8}},
			{Name: "z", Numbers: []float64{1, 4, 2, 2}}},
		Terms: []design.Term{{Factors: []design.Factor{{Variable: 0}}}, {Factors: []design.Factor{{Variable: 1}}}}})
	if _, err := Drift(t.Context(), few, []float64{1, 2, 3, 4}); code(err) != "no-freedom-left" {
		t.Errorf("one degree of freedom: %v", err)
	}
	ctx, stop := context.WithCancel(t.Context())
	fit := solve(t, []float64{3, 5, 4, 9}, design.Model{})
	stop()
	if _, err := Drift(ctx, fit, []float64{1, 2, 3, 4}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
