// Package linear fits linear models by least squares to the digits the data allow:
// orthogonal factorisation of scaled columns in their own order, dependent ones passed
// over, refined in double-double arithmetic.
package linear

import (
	"fmt"
	"maps"

	"breakbook/models/design"
	"breakbook/models/exact"
)

// Coefficient is one row of a fit.
type Coefficient struct {
	Label     design.Label
	Estimate  float64 // response units, per unit of the column
	SE        float64
	T         float64
	DF        float64 // of T
	P         float64 // two-sided
	Dependent bool    // the column cannot be distinguished from those before it: the numbers above are NaN
	On        []int   // for a dependent column: the coefficients (indices) it is a combination of
}

// Fit is a fitted linear model.
type Fit struct {
	N                                             int // specimens used (weight above zero)
	Matrix                                        design.Matrix
	Response                                      []float64
	Coefficients                                  []Coefficient
	DF                                            float64   // residual degrees of freedom
	Sigma                                         float64   // residual sd
	RSS, TSS                                      float64   // about the mean; about zero through zero
	Explained, ExplainedAdjusted, ExplainedUnseen float64   // Unseen is NaN where a specimen is alone on its level
	F, FDF1, FDF2, P                              float64   // NaN when there is nothing but the baseline
	LogLikelihood, AICc                           float64   // AICc NaN when n ≤ parameters + 1
	AtZero, AtZeroSE                              float64   // NaN through zero
	Fitted, Residuals, Leverage                   []float64 // NaN for a specimen of weight 0

	factor   *factor
	offset   exact.DD   // what the response was measured from
	solution []exact.DD // coefficients to 32 digits, zero for dependent ones
	rss, tss exact.DD
	rounding float64 // of an exact fit: the squared length of the response up to which a part of it is rounding
}

// Estimate is a number with its standard error and degrees of freedom.
type Estimate struct{ Value, SE, DF float64 }

// Point is where a prediction is wanted: by variable index, a number or a level index;
// variables not given are at their mean, or averaged level by level.
type Point struct {
	Numbers map[int]float64
	Levels  map[int]int
}

// With is a point with all that either of two gives; where both give a variable, the other's counts.
func (p Point) With(other Point) Point {
	out := Point{Numbers: map[int]float64{}, Levels: map[int]int{}}
	for _, from := range []Point{p, other} {
		maps.Copy(out.Numbers, from.Numbers)
		maps.Copy(out.Levels, from.Levels)
	}
	return out
}

// Adjustment is how anova's sources are adjusted for each other.
type Adjustment uint8

const (
	Marginal   Adjustment = iota // each for every other that does not contain it
	Sequential                   // as listed
	EachLast                     // each for all others, levels coded to sum to zero
)

// Source is one row of an analysis of variance.
type Source struct {
	Term       int // index into Model.Terms
	DF         float64
	SS, MS     float64
	F, P       float64
	Against    float64 // degrees of freedom F is compared with
	Share      float64 // of the total about the mean
	Untestable bool    // nothing is left of it once the others are adjusted for: numbers are NaN
	Lost       int     // of its columns, how many are not tested because the others already hold them
}

// Anova is an analysis of variance.
type Anova struct {
	Sources                []Source
	ResidualDF             float64
	ResidualSS, ResidualMS float64
	TotalDF                float64
	TotalSS                float64
	AddsUp                 bool // the sums of squares add up to the total (balanced, or sequential)
}

// Error says why a model cannot be fitted. Codes: "too-few-specimens" (fewer than
// parameters), "no-freedom-left" (as many as parameters), "too-many-columns", "all-equal" (the
// response does not vary), "no-terms" (through zero with nothing to fit), "parts-missing"
// (an anova with levels coded to sum to zero of a combined term whose parts are not in
// the model), and those of design.Error, whose Term, Variable and Specimen are taken over;
// a "not-a-number" with Variable -1 is about the response.
type Error struct {
	Code               string
	Term               int // the term it is about, or -1
	N, P               int // specimens, parameters
	Variable, Specimen int // or -1
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s (term %d, variable %d, specimen %d; %d specimens, %d parameters)",
		e.Code, e.Term, e.Variable, e.Specimen, e.N, e.P)
}

// because makes an error that is about the model as a whole.
func because(code string, n, p int) *Error {
	return &Error{Code: code, Term: -1, N: n, P: p, Variable: -1, Specimen: -1}
}
