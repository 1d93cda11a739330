// Package functions is the one table of the functions of one number that can be typed: of
// responses, terms and expressions.
package functions

import "math"

// Names as they are typed.
const (
	Ln    = "ln"
	Log10 = "log10"
	Sqrt  = "sqrt"
	Exp   = "exp"
	Abs   = "abs"
	Round = "round" // to a whole number, halves away from zero
)

var table = []struct {
	name  string
	of    func(x float64) float64
	terms bool // responses and terms know it as well as expressions
}{
	{Ln, math.Log, true},
	{Log10, math.Log10, true},
	{Sqrt, math.Sqrt, true},
	{Exp, math.Exp, true},
	{Abs, math.Abs, true},
	{Round, math.Round, false},
}

// OfValues lists the functions that expressions know.
func OfValues() []string {
	var out []string
	for _, f := range table {
		out = append(out, f.name)
	}
	return out
}

// OfColumns lists those that responses and terms know.
func OfColumns() []string {
	var out []string
	for _, f := range table {
		if f.terms {
			out = append(out, f.name)
		}
	}
	return out
}

// Named is the function of a name, NaN or infinite where it does not exist; no name is the
// number itself. False where there is no such function.
func Named(name string) (of func(x float64) float64, ok bool) {
	if name == "" {
		return func(x float64) float64 { return x }, true
	}
	for _, f := range table {
		if f.name == name {
			return f.of, true
		}
	}
	return nil, false
}
