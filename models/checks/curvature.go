package checks

import (
	"context"
	"errors"
	"slices"

	"breakbook/models/design"
	"breakbook/models/linear"
)

// Bend is whether the square of a number column has something to add.
type Bend struct {
	Variable int // of the model
	Test
	Reason string // why it cannot be tested: "curved-already", "two-values", or a code of linear.Error
}

// Bends adds the square of each number column of the model to it, one at a time, and
// tests it: the F test of one term more. Errors are ctx's own.
func Bends(ctx context.Context, f *linear.Fit) ([]Bend, error) {
	m := f.Matrix.Model
	var out []Bend
	for v, x := range m.Variables {
		if x.IsCategory() {
			continue
		}
		square := design.Term{Factors: []design.Factor{{Variable: v, Function: design.Squared}}}
		with := m
		with.Terms = append(slices.Clone(m.Terms), square)
		b := Bend{Variable: v}
		if b.Reason = unbent(m, v); b.Reason != "" {
			out = append(out, b)
			continue
		}
		longer, err := linear.Solve(ctx, f.Response, with)
		var unfit *linear.Error
		switch {
		case errors.As(err, &unfit):
			b.Reason = unfit.Code
		case err != nil:
			return nil, err
		default:
			c := longer.Coefficients[len(longer.Coefficients)-1]
			if b.Test = (Test{Statistic: c.T * c.T, DF: 1, DF2: longer.DF, P: c.P}); c.Dependent {
				b.Test, b.Reason = Test{}, "two-values"
			}
		}
		out = append(out, b)
	}
	return out, nil
}

// unbent says why the square of a variable is not asked about, or "".
func unbent(m design.Model, v int) string {
	for _, t := range m.Terms {
		if slices.Contains(t.Factors, design.Factor{Variable: v, Function: design.Squared}) && len(t.Factors) == 1 {
			return "curved-already"
		}
	}
	var seen []float64
	for i, x := range m.Variables[v].Numbers {
		if m.Weight(i) != 0 && !slices.Contains(seen, x) {
			if seen = append(seen, x); len(seen) > 2 {
				return ""
			}
		}
	}
	return "two-values"
}
