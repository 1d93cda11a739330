// Package design turns variables and terms into the columns of a linear model.
package design

import (
	"fmt"

	"breakbook/models/exact"
)

// Variable is one column of a series as a model sees it: a number column (Numbers)
// or a category column (Codes into Levels, the baseline first). One of the two is set.
// Specimens with a missing value must have been left out by the caller.
type Variable struct {
	Name    string // only carried along, for labels made elsewhere
	Unit    string
	Numbers []float64
	Codes   []int
	Levels  []string
}

// IsCategory reports whether the variable is a category.
func (v Variable) IsCategory() bool { return v.Codes != nil }

// Function is a function of one number variable.
type Function uint8

const (
	Identity Function = iota
	Ln
	Log10
	Sqrt
	Exp
	Abs
	PowerOf // x^Power
	Squared // from `curved`: (x - mean)²
	Step    // 0 up to Place, 1 beyond it
	Kink    // 0 up to Place, x − Place beyond it
)

// IsChange reports whether the function changes at a place, which has to be found first.
func (f Function) IsChange() bool { return f == Step || f == Kink }

// Factor is a variable, or a function of it, as it enters a term.
type Factor struct {
	Variable int // index into Model.Variables
	Function Function
	Power    float64 // for PowerOf
	Place    float64 // for Step and Kink
	Placed   bool    // whether Place was found: a change without a place has no column
}

// Term is a product of factors. A plain column has one factor.
type Term struct{ Factors []Factor }

// Model is what a response is fitted on. Terms are already spelled out: together(a, b)
// is the three terms a, b, a×b; `density curved` is density and its Squared.
// Every Variable has the same number of specimens; level lists may hold levels that no
// specimen has: those get no column.
type Model struct {
	Variables   []Variable
	Terms       []Term
	ThroughZero bool
	Weights     []float64 // nil: all one
	// Searched is how many places of changes were found from the response: each is a parameter beside
	// the coefficients, and takes a residual degree of freedom.
	Searched int
}

// Label says what a column of the design stands for: the baseline when Term is -1,
// else a term and, factor by factor, the level it is for (-1 for a number factor).
type Label struct {
	Term   int
	Levels []int // one a factor of the term; index into Variable.Levels
}

// Matrix is a spelled-out model: n rows, one column a Label, number factors measured
// from their value at the (weighted) mean of the column unless ThroughZero. A row of
// weight 0 has its column values too, where they exist; nothing is computed from it.
type Matrix struct {
	Model   Model
	Labels  []Label
	Columns [][]float64 // column by column, len(Labels) of them
	// what float64 leaves off each column (Columns + Low is good for 32 digits); nil for a column held exactly
	Low     [][]float64
	Centre  []float64  // by variable: the mean of a number variable; NaN for a category
	Present [][]int    // by variable: the levels some specimen used has, in order, the baseline first; nil for a number
	Empty   []Label    // combinations of levels that no specimen used has, and that therefore have no column
	mean    []exact.DD // Centre to 32 digits
}

// Error says which variable, term or specimen a model cannot be spelled out for.
// Codes: "uneven-lengths", "not-a-number" (a value, or a function of it, that does not
// exist; Specimen -1 when it is the function at the mean), "unknown-level" (a code
// outside Levels), "bad-weight" (negative or not finite), "one-level" (a category with
// one level), "nothing-varies" (a number column with one value), "too-many-columns" (see
// MostColumns), "no-place" (a Step or Kink whose place was not found).
type Error struct {
	Code                     string
	Term, Variable, Specimen int // -1 where it is about none
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s (term %d, variable %d, specimen %d)", e.Code, e.Term, e.Variable, e.Specimen)
}

// Weight of a specimen: 1 where the model has no weights.
func (m Model) Weight(specimen int) float64 {
	if m.Weights == nil {
		return 1
	}
	return m.Weights[specimen]
}

// Contains reports whether outer contains inner: it is another term, it has a factor for
// every factor of inner, and was built from them (together(a, b) from a and b, x curved from x).
// Source of the use: Nelder (1977), J. R. Statist. Soc. A 140, on marginality.
func Contains(outer, inner Term) bool {
	taken := make([]bool, len(outer.Factors))
	same := len(outer.Factors) == len(inner.Factors)
	for _, f := range inner.Factors {
		k := match(outer.Factors, taken, f)
		if k < 0 {
			return false
		}
		taken[k] = true
		same = same && outer.Factors[k] == f
	}
	return !same
}

// match finds an untaken factor that is f or was built from f, the same one first.
func match(factors []Factor, taken []bool, f Factor) int {
	built := -1
	for k, g := range factors {
		switch {
		case taken[k]:
		case g == f:
			return k
		case g.Variable == f.Variable && g.Function == Squared && f.Function == Identity:
			built = k
		}
	}
	return built
}
