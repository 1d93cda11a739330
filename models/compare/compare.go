// Package compare sets the means of levels against each other: all pairs by the
// studentised range (Tukey–Kramer), one against the rest by the many-to-one t (Dunnett).
package compare

import (
	"context"

	"breakbook/models/verdict"
)

// Means are the means of k levels with what is needed to compare them: from raw
// groups (Groups) or from a fit's adjusted means.
type Means struct {
	Mean []float64
	Cov  [][]float64 // k by k, the residual variance included
	N    []float64   // specimens a level
	DF   float64     // of the residual variance
}

// Groups makes Means from raw values, one slice a level, with one common variance.
// Errors are *Error: "too-few-levels", "too-few-specimens", "all-equal".
func Groups(values [][]float64) (Means, error) { return Means{}, nil }

// Options of a comparison.
type Options struct {
	Confidence float64 // 0.95
	Worth      float64 // smallest difference worth having, in response units; 0 unknown
	WorthShare float64 // … or as a share of the baseline (first, or against) mean; used when Worth is 0
	Chance     float64 // for Detectable and Enough; 0 means 0.80
}

// Difference is second minus first.
type Difference struct {
	First, Second                    int // level indices
	Diff, Low, High                  float64
	Percent, PercentLow, PercentHigh float64 // of First's mean; the ends by Fieller (1954), NaN where First's mean is not clear of zero
	SE, DF, Statistic, P             float64 // P adjusted for the family
	Detectable                       float64
	Answer                           verdict.Answer
	// Enough is, for CannotTell, how many specimens a level (all levels alike, same spread)
	// would settle it: the smallest n with which this row's own test has the Chance to show
	// a true difference as large as worth, and with no true difference the Chance that the
	// 90 % range lies inside ± worth. 0 where unknown (worth unknown) or over 10 000.
	Enough int
}

// Result is a whole comparison.
type Result struct {
	Differences []Difference
	Critical    float64 // of |difference|/SE
	Method      Method
	Error       float64 // of the adjusted probabilities where they were integrated with an error worth showing; else 0
}

// Method says how the family was adjusted for.
type Method uint8

const (
	StudentisedRange Method = iota
	ManyToOne
)

// AllPairs compares every level with every other.
func AllPairs(ctx context.Context, m Means, o Options) (*Result, error) { return nil, nil }

// Against compares every level with the level ref.
func Against(ctx context.Context, m Means, ref int, o Options) (*Result, error) { return nil, nil }

// Overall is the one-way analysis of variance of raw groups.
type Overall struct{ F, DF1, DF2, P float64 }

// OneWay tests whether all levels share one mean.
func OneWay(values [][]float64) (Overall, error) { return Overall{}, nil }

// Single answers about one difference on its own by the t distribution.
func Single(value, se, df, confidence, worth float64) (verdict.Answer, verdict.Range) {
	return 0, verdict.Range{}
}

// Error says why levels cannot be compared.
type Error struct {
	Code  string
	Level int // the level it is about, or -1
}

func (e *Error) Error() string { return e.Code }
