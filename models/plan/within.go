package plan

import (
	"math"

	"breakbook/models/dist"
)

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
