package linear

import (
	"context"
	"errors"
	"math"

	"breakbook/models/design"
	"breakbook/models/parallel"
)

// used counts the specimens with weight, and finds a response that is no number.
func used(y []float64, m design.Model) (int, error) {
	if m.Weights != nil && len(m.Weights) != len(y) {
		return 0, because("uneven-lengths", len(y), 0)
	}
	n := 0
	for i, v := range y {
		if m.Weight(i) == 0 {
			continue
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return 0, &Error{Code: "not-a-number", Term: -1, N: len(y), Variable: -1, Specimen: i}
		}
		n++
	}
	return n, nil
}

// tooManyLevels finds a plain category with a level for every specimen before a column is
// made for each.
func tooManyLevels(ctx context.Context, y []float64, m design.Model, n int) error {
	for t, term := range m.Terms {
		if len(term.Factors) != 1 {
			continue
		}
		x := m.Variables[term.Factors[0].Variable]
		if !x.IsCategory() || len(x.Codes) != len(y) {
			continue
		}
		seen := map[int]bool{}
		for i, code := range x.Codes {
			parallel.LookAt(ctx, i)
			if m.Weight(i) != 0 {
				seen[code] = true
			}
		}
		if n > 1 && len(seen) >= n {
			e := because("no-freedom-left", n, len(seen))
			e.Term = t
			return e
		}
	}
	return nil
}

// Taken is a design error as one of this package; any other is itself.
func Taken(err error) error {
	var e *design.Error
	if errors.As(err, &e) {
		return &Error{Code: e.Code, Term: e.Term, Variable: e.Variable, Specimen: e.Specimen}
	}
	return err
}

// constant reports whether the response has one value (through zero: only zeros).
func constant(y []float64, m design.Model) bool {
	first, any := 0.0, m.ThroughZero
	for i, v := range y {
		switch {
		case m.Weight(i) == 0:
		case !any:
			first, any = v, true
		case v != first:
			return false
		}
	}
	return true
}
