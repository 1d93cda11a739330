// Package compare sets the means of levels against each other: all pairs by the
// studentised range (Tukey–Kramer), one against the rest by the many-to-one t (Dunnett),
// each level with its own spread (Games–Howell), by ranks, by reshuffling the labels, and
// against a figure.
package compare

import (
	"fmt"
	"math"

	"breakbook/models/lists"
	"breakbook/models/verdict"
)

// Means are the means of k levels with what is needed to compare them: from raw
// groups (Groups) or from a fit's adjusted means.
type Means struct {
	Mean []float64
	Cov  [][]float64 // k by k, the residual variance included
	N    []float64   // specimens a level; +Inf for a figure that is known
	// Blocks are how many blocks (boards, batches, days) each level has, where every block is of one
	// level and blocks differ: Enough then counts blocks of the size there are. nil: specimens.
	Blocks []float64
	DF     float64 // of the residual variance
	// PairDF are the degrees of freedom of each pair's own standard error, k by k, where
	// they differ (own spreads, blocked fits); nil: DF for all.
	PairDF [][]float64
	// Own says that each level has its own variance: DF is not used, and differences from
	// one level are adjusted by Šidák's inequality, not by the many-to-one t.
	Own bool
}

// Of are some of the levels, in the order given.
func (m Means) Of(levels []int) Means {
	pick := func(v []float64) []float64 {
		if v == nil {
			return nil
		}
		return lists.Mapped(levels, func(l int) float64 { return v[l] })
	}
	square := func(v [][]float64) [][]float64 {
		if v == nil {
			return nil
		}
		return lists.Mapped(levels, func(l int) []float64 { return pick(v[l]) })
	}
	return Means{Mean: pick(m.Mean), Cov: square(m.Cov), N: pick(m.N), Blocks: pick(m.Blocks), DF: m.DF,
		PairDF: square(m.PairDF), Own: m.Own}
}

// Options of a comparison.
type Options struct {
	Confidence float64 // 0 means 0.95
	Worth      float64 // smallest difference worth having, in response units; 0 unknown
	Chance     float64 // for Detectable and Enough; 0 means 0.80
	Families   int     // told together, adjusted for by Bonferroni's inequality; 0 means 1: this one alone
	Unplanned  bool    // without Detectable, Enough and Together, which take the longest
	Seed       uint64  // of reshuffling
	Times      int     // how many reshuffles; 0 means 99 999
	Progress   func(done, total int)
}

// Difference is second minus first.
type Difference struct {
	First, Second   int // level indices
	Diff, Low, High float64
	// of First's mean; the ends by Fieller (1954), NaN where First's mean is not clear of zero
	Percent, PercentLow, PercentHigh float64
	SE, DF                           float64
	// Diff/SE with its sign (the studentised range is √2 times its size); ByRanks: the rank sum of Second
	Statistic float64
	// of |Diff|/SE at o.Confidence for this row; NaN ByRanks, +Inf where no arrangement reaches it
	Critical float64
	// how far it stands off zero for its error: |Diff|/SE, or the size of the standardised rank sum
	Clear      float64
	P          float64 // adjusted for the family
	Detectable float64 // the smallest true difference these specimens had the Chance to show
	Answer     verdict.Answer
	// Enough is, for CannotTell, how many specimens a level, or blocks where Means.Blocks has
	// them (all levels alike, same spread), would settle it: the smallest n with which this
	// row's own test has the Chance to show a true difference as large as worth, and with no
	// true difference the Chance that the 90 % interval lies inside ± worth. 0 where unknown (worth unknown) or over 10
	// 000. It may be below what there is: then this series was unlucky.
	Enough int
	// Together is the same where the Chance is that none of the differences of its family leaves ± worth
	// when there are none, each having a part of what is left of it (Bonferroni's inequality).
	Together int
}

// Result is a whole comparison.
type Result struct {
	Differences []Difference
	Critical    float64 // of |difference|/SE; NaN where the rows differ
	Method      Method
	Error       float64 // of the adjusted probabilities where they were integrated with an error worth showing; else 0
	// For ByReshuffling: how many arrangements were looked at, whether those were all
	// there are, and the F test of all levels together with its own reshuffle p.
	Arrangements int
	Every        bool // all arrangements; by ranks: every P and interval is exact
	Overall      Overall
	LeastP       float64 // of the largest |t| there was
}

// Method says how the family was adjusted for.
type Method uint8

const (
	StudentisedRange Method = iota
	ManyToOne
	GamesHowell   // all pairs, each level with its own spread
	Sidak         // against one level or a figure, each level with its own spread
	ByRanks       // rank sums
	ByReshuffling // relabelled specimens
)

// Error says why levels cannot be compared. Codes: "too-few-levels" (fewer than two),
// "too-few-specimens" (a level has none, Level says which; or no level has two),
// "all-equal" (every value is the same), "no-spread" (the values of each level are all
// the same), "not-a-number" (a value, mean or variance is none), "no-such-level",
// "no-freedom-left" and "confidence" (not between 0 and 1).
type Error struct {
	Code  string
	Level int // the level it is about, or -1
}

func (e *Error) Error() string {
	if e.Level < 0 {
		return e.Code
	}
	return fmt.Sprintf("%s (level %d)", e.Code, e.Level)
}

// filled is the options with the defaults put in.
func (o Options) filled() (Options, error) {
	if o.Confidence == 0 {
		o.Confidence = 0.95
	}
	if o.Chance == 0 {
		o.Chance = 0.80
	}
	o.Families = max(o.Families, 1)
	if !(o.Confidence > 0 && o.Confidence < 1) || !(o.Chance > 0 && o.Chance < 1) {
		return o, &Error{"confidence", -1}
	}
	o.Worth = math.Abs(o.Worth)
	return o, nil
}
