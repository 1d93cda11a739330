// Package design turns variables and terms into the columns of a linear model.
package design

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
)

// Factor is a variable, or a function of it, as it enters a term.
type Factor struct {
	Variable int // index into Model.Variables
	Function Function
	Power    float64 // for PowerOf
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
}

// Label says what a column of the design stands for: the baseline when Term is -1,
// else a term and, factor by factor, the level it is for (-1 for a number factor).
type Label struct {
	Term   int
	Levels []int // one a factor of the term; index into Variable.Levels
}

// Matrix is a spelled-out model: n rows, one column a Label, number factors measured
// from their value at the (weighted) mean of the column unless ThroughZero.
type Matrix struct {
	Model   Model
	Labels  []Label
	Columns [][]float64 // column by column, len(Labels) of them
	Centre  []float64   // by variable: the mean of a number variable; NaN for a category
}
