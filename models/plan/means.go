// Package plan works out how many specimens a series needs: to show a difference of means,
// to show a change of a share, or to pin a characteristic value down.
package plan

import (
	"errors"
	"math"
	"slices"

	"breakbook/models/dist"
	"breakbook/models/halving"
)

// Most is the largest number of specimens a level that is looked for.
const Most = 2000

// Means plans for a difference Delta between two levels of a factor, the other levels
// midway between them: the least favourable way for levels to stand that far apart.
type Means struct {
	Levels     []int   // of each factor; every combination is made
	Delta, SD  float64 // in one unit
	HighSD     float64 // the sd's upper limit; NaN where it is not an estimate
	Confidence float64 // of the comparisons to come
	Wanted     float64 // the chance that is asked for
	Blocks     *Blocks // nil: every specimen stands for itself
	Others     int     // degrees of freedom that terms beside the levels will take
}

// Size is what one number of specimens gives. Chances that do not apply are NaN.
type Size struct {
	PerLevel, N      int     // of each combination of levels, and in all
	Blocks           int     // to make them from; 0 where the plan knows of none
	Overall, Pair    float64 // chance that the F test, and that the pair's own test, shows it
	Chance           float64 // the smaller
	Detectable       float64 // the smallest difference with the wanted chance
	ChanceHighSpread float64 // Chance, the sd being HighSD
}

// Error says why there is no plan. Codes: "no-difference" (Delta, or the change of a share,
// is not over zero), "no-spread", "too-few-levels", "share" (a chance, share or confidence
// is not between 0 and 1), "too-few-specimens" (a level, to say anything), "uneven-blocks"
// (PerLevel is no multiple of Step), "out-of-reach" (over Most a level).
type Error struct{ Code string }

func (e *Error) Error() string { return e.Code }

// Because reports whether an error is an *Error with one of some codes.
func Because(err error, codes ...string) bool {
	var e *Error
	return errors.As(err, &e) && slices.Contains(codes, e.Code)
}

func (m Means) check() error {
	for _, k := range m.Levels {
		if k < 2 {
			return &Error{"too-few-levels"}
		}
	}
	switch {
	case len(m.Levels) == 0:
		return &Error{"too-few-levels"}
	case !(m.Delta > 0) || math.IsInf(m.Delta, 0):
		return &Error{"no-difference"}
	case !(m.SD > 0) || math.IsInf(m.SD, 0):
		return &Error{"no-spread"}
	case !between(m.Wanted) || !between(m.Confidence):
		return &Error{"share"}
	case m.Blocks != nil && (m.Blocks.Each < 1 || len(m.Blocks.Whole) != len(m.Levels) || !(m.Blocks.SD >= 0)):
		return &Error{"uneven-blocks"}
	}
	return nil
}

// between reports whether a chance lies between 0 and 1.
func between(chance float64) bool { return chance > 0 && chance < 1 }

func (m Means) cells() int {
	cells := 1
	for _, k := range m.Levels {
		cells *= k
	}
	return cells
}

// At is what perLevel specimens of each combination give; perLevel is at least 2, and a
// multiple of Step.
func (m Means) At(perLevel int) (Size, error) {
	if err := m.check(); err != nil {
		return Size{}, err
	}
	if perLevel < 2 || m.errorDF(perLevel) < 1 {
		return Size{}, &Error{"too-few-specimens"}
	}
	if perLevel%m.Step() != 0 {
		return Size{}, &Error{"uneven-blocks"}
	}
	s := Size{PerLevel: perLevel, N: perLevel * m.cells(), Blocks: m.blocks(perLevel), Detectable: math.NaN(),
		ChanceHighSpread: math.NaN()}
	tests := m.tests(perLevel)
	own := m.variances(perLevel, m.SD, m.blockSD())
	s.Overall, s.Pair = tests.chances(m.Delta, own)
	s.Chance = math.Min(s.Overall, s.Pair)
	if m.HighSD > 0 {
		a, b := tests.chances(m.Delta, m.variances(perLevel, m.HighSD, m.highBlockSD()))
		s.ChanceHighSpread = math.Min(a, b)
	}
	s.Detectable = m.SD * least(m.Wanted, func(d float64) float64 {
		a, b := tests.chances(d*m.SD, own)
		return math.Min(a, b)
	})
	return s, nil
}

// least is where a chance, below the wanted one at 0 and above it far out, comes to it, to some 1e-13 of the chance;
// NaN where it does not.
func least(wanted float64, chance func(x float64) float64) float64 {
	short := func(x float64) float64 { return chance(x) - wanted }
	low, high := halving.Beyond(0, 1, 1e9, 0, func(x float64) bool { return short(x) >= 0 })
	if math.IsNaN(high) {
		return high
	}
	return halving.Root(short, low, high, halving.Near{Share: 1e-13, Value: 1e-13})
}

// Least is the smallest size whose Chance is the wanted one or more.
func (m Means) Least() (Size, error) {
	if err := m.check(); err != nil {
		return Size{}, err
	}
	step := m.Step()
	n, ok := leastWhole(func(steps int) bool {
		n := steps * step
		if m.errorDF(n) < 1 {
			return false
		}
		a, b := m.tests(n).chances(m.Delta, m.variances(n, m.SD, m.blockSD()))
		return math.Min(a, b) >= m.Wanted
	})
	if !ok || n*step > Most {
		return Size{}, &Error{"out-of-reach"}
	}
	return m.At(n * step)
}

// leastWhole is the smallest n from 2 to Most for which enough holds; it holds from there on.
func leastWhole(enough func(n int) bool) (int, bool) {
	low, high := 1, 2
	for !enough(high) {
		if high == Most {
			return 0, false
		}
		low, high = high, min(2*high, Most)
	}
	return halving.Whole(low+1, high, enough), true
}

// factorTest is the tests of one factor with a number of specimens.
type factorTest struct {
	df1, df2 float64
	f, t     float64 // critical values
}

type tests []factorTest

// tests are every factor's F test and pair test. The critical value of a pair is that of
// the studentised range, which compare uses; degrees of freedom are those that all
// combinations, and blocks that count, leave.
func (m Means) tests(n int) tests {
	alpha := 1 - m.Confidence
	var out tests
	for i, k := range m.Levels {
		df := m.df(i, n)
		t := factorTest{df1: float64(k - 1), df2: df}
		t.f = dist.FPoint(alpha, t.df1, df)
		t.t = dist.NewStudentisedRange(k, df).Point(alpha) / math.Sqrt2
		if k == 2 {
			t.t = math.Sqrt(t.f) // one and the same test
		}
		out = append(out, t)
	}
	return out
}

// chances are the smallest chance of any factor's F test, and of its pair, for a difference
// of delta, v being the variance of one of the factor's level means. The noncentrality is
// Σ(effects)²/v = delta²/2v (Cohen 1988, 8.2.1, pattern of smallest spread) and for the pair
// delta/√2v.
func (ts tests) chances(delta float64, v []float64) (overall, pair float64) {
	overall, pair = 1, 1
	for i, t := range ts {
		overall = math.Min(overall, dist.NoncentralFTail(t.f, t.df1, t.df2, delta*delta/(2*v[i])))
		pair = math.Min(pair, dist.PassingChance(t.t, t.df2, delta/math.Sqrt(2*v[i])))
	}
	return overall, pair
}

// HighSpread is the upper limit of an sd that was estimated with df degrees of freedom,
// one-sided at that confidence: s·√(df/χ²). With a confidence under a half it is the lower limit
// at what is left of one.
func HighSpread(sd, df, confidence float64) float64 {
	_, x := halving.Beyond(0, df+10, math.Inf(1), 80, func(x float64) bool {
		return !(dist.ChiSquareTail(x, df) > confidence)
	})
	return sd * math.Sqrt(df/x)
}

// Within is the smallest number of specimens of each combination, and in all, with which a difference
// Delta between two levels of any factor is shown with the wanted chance within one combination of
// the others' levels, where all of these are told apart: the pair's own test at the error divided by
// their number (Bonferroni's inequality), as compare does within levels. The two means lie in
// single combinations; that of a whole factor has the blocks of one combination behind it, and the
// degrees of freedom between blocks, the fewer. It needs two factors.
func (m Means) Within() (Size, error) {
	if err := m.check(); err != nil {
		return Size{}, err
	}
	if len(m.Levels) < 2 {
		return Size{}, &Error{"too-few-levels"}
	}
	step := m.Step()
	n, ok := leastWhole(func(steps int) bool {
		n := steps * step
		return m.errorDF(n) >= 1 && m.chanceWithin(n) >= m.Wanted
	})
	if !ok || n*step > Most {
		return Size{}, &Error{"out-of-reach"}
	}
	n *= step
	return Size{PerLevel: n, N: n * m.cells(), Blocks: m.blocks(n), Overall: math.NaN(), Pair: m.chanceWithin(n),
		Chance: m.chanceWithin(n), Detectable: math.NaN(), ChanceHighSpread: math.NaN()}, nil
}

// chanceWithin is the smallest chance of any factor's pair within one combination of the others.
func (m Means) chanceWithin(n int) float64 {
	least := 1.0
	for i, k := range m.Levels {
		settings := float64(m.cells() / k)
		df := m.df(i, n)
		critical := dist.NewStudentisedRange(k, df).Point((1-m.Confidence)/settings) / math.Sqrt2
		v := m.SD * m.SD / float64(n)
		if m.Blocks != nil && m.Blocks.Whole[i] {
			v += m.Blocks.SD * m.Blocks.SD * float64(m.wholes()) / float64(m.blocks(n))
		}
		least = math.Min(least, dist.PassingChance(critical, df, m.Delta/math.Sqrt(2*v)))
	}
	return least
}
