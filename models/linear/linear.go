// Package linear fits linear models by least squares to the digits the data allow:
// pivoted orthogonal factorisation of scaled columns, refined in double-double arithmetic.
package linear

import (
	"context"

	"breakbook/models/design"
)

// Coefficient is one row of a fit.
type Coefficient struct {
	Label     design.Label
	Estimate  float64 // response units, per unit of the column
	SE        float64
	T         float64
	P         float64 // two-sided
	Dependent bool    // the column cannot be told apart from those before it: the numbers above are NaN
	On        []int   // for a dependent column: the coefficients (indices) it is a combination of
}

// Fit is a fitted linear model.
type Fit struct {
	N                                             int // specimens used (weight above zero)
	Matrix                                        design.Matrix
	Response                                      []float64
	Coefficients                                  []Coefficient
	DF                                            float64 // left over
	Sigma                                         float64 // sd left over
	RSS, TSS                                      float64 // about the mean; about zero through zero
	Explained, ExplainedAdjusted, ExplainedUnseen float64 // Unseen is NaN where a specimen is alone on its level
	F, FDF1, FDF2, P                              float64 // NaN when there is nothing but the baseline
	LogLikelihood, AICc                           float64 // AICc NaN when n ≤ parameters + 1
	AtZero, AtZeroSE                              float64 // NaN through zero
	Fitted, Residuals, Leverage                   []float64
}

// Estimate is a number with its standard error and degrees of freedom.
type Estimate struct{ Value, SE, DF float64 }

// Solve fits y (one a specimen) on the model. Errors are *Error.
func Solve(ctx context.Context, y []float64, m design.Model) (*Fit, error) { return nil, nil }

// Combination estimates Σ w·coefficient; w has one weight a coefficient. ok is false
// when it cannot be estimated because of dependent columns.
func (f *Fit) Combination(w []float64) (e Estimate, ok bool) { return }

// Covariance of several combinations: rows are weights as in Combination.
func (f *Fit) Covariance(w [][]float64) [][]float64 { return nil }

// Point is where a prediction is wanted: by variable index, a number or a level index;
// variables not given are at their mean, or averaged level by level.
type Point struct {
	Numbers map[int]float64
	Levels  map[int]int
}

// Weights are the coefficient weights of the expected value at a point. ok is false
// where an average over levels would need a combination of levels that has no specimen
// and the model cannot fill it in.
func (f *Fit) Weights(p Point) (w []float64, ok bool) { return nil, false }

// Adjustment is how anova's sources are allowed for each other.
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
	Share      float64 // of the total about the mean
	Untestable bool    // nothing is left of it once the others are allowed for: numbers are NaN
}

// Anova is an analysis of variance.
type Anova struct {
	Sources        []Source
	LeftDF         float64
	LeftSS, LeftMS float64
	TotalDF        float64
	TotalSS        float64
	AddsUp         bool // the sums of squares add up to the total (balanced, or sequential)
}

// Anova computes the analysis of variance of a fit.
func (f *Fit) Anova(ctx context.Context, a Adjustment) (*Anova, error) { return nil, nil }

// Error says why a model cannot be fitted.
type Error struct {
	Code string // "too-few-specimens", "all-equal", "one-level", "nothing-varies", "no-freedom-left", …
	Term int    // the term it is about, or -1
	N, P int    // specimens, parameters
}

func (e *Error) Error() string { return e.Code }
