package held

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"

	"breakbook/models/odds"
	"breakbook/models/strength"
)

// modeCells are series of two levels that do not differ, in which specimens break in two ways: of the
// strength of the one, and of its odds, by profile intervals. What they hold is stated.
func modeCells() []Cell {
	var out []Cell
	for _, n := range []int{6, 10, 20, 30} {
		out = append(out, Cell{"until, profile", fmt.Sprintf("levels of [%d %d], a quarter broke otherwise", n, n), 0,
			1, until(n)})
	}
	for _, n := range [][2]int{{10, 10}, {15, 5}, {30, 30}} {
		out = append(out, Cell{"odds, profile", fmt.Sprintf("levels of %v, four in ten broke so", n), 0, 1,
			chance(n, 0.4)})
	}
	return out
}

// until is the ratio of two levels' strengths in one mode, of so many specimens each: Weibull of shape
// 13, as the other mode's, which shows in one of four. Series with under three breaks of the mode at a level,
// of which the program tells nothing, are drawn again.
func until(each int) try {
	const shape, otherwise = 13, 0.25
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		for {
			s := strength.Sample{Columns: make([][]float64, 2)}
			var breaks [2]int
			for i := range 2 * each {
				own, other := draw.ExpFloat64(), draw.ExpFloat64()*(1-otherwise)/otherwise
				if own < other {
					breaks[i%2]++
				}
				s.Load = append(s.Load, 400*math.Pow(min(own, other), 1./shape))
				s.Ended = append(s.Ended, own < other)
				s.Columns[0], s.Columns[1] = append(s.Columns[0], 1), append(s.Columns[1], float64(i%2))
			}
			if min(breaks[0], breaks[1]) < 3 {
				continue
			}
			f, err := strength.Solve(ctx, s, strength.Weibull)
			if err != nil {
				return false, err
			}
			e, err := f.Difference(ctx, []float64{0, 1}, 0.95)
			return e.Range.Low <= 0 && 0 <= e.Range.High, err
		}
	}
}

// chance is the ratio of two levels' odds of a mode of the same chance. Series that all broke in one mode,
// of which there are no odds, are drawn again.
func chance(n [2]int, p float64) try {
	var known sync.Map // by how many broke so at each level
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		var broke [2]int
		for broke[0]+broke[1] == 0 || broke[0]+broke[1] == n[0]+n[1] {
			broke = [2]int{}
			for level := range n {
				for range n[level] {
					if draw.Float64() < p {
						broke[level]++
					}
				}
			}
		}
		if holds, ok := known.Load(broke); ok {
			return holds.(bool), nil
		}
		s := odds.Sample{Modes: 2, Columns: make([][]float64, 2)}
		for level := range n {
			for i := range n[level] {
				mode := 0
				if i < broke[level] {
					mode = 1
				}
				s.Mode = append(s.Mode, mode)
				s.Columns[0], s.Columns[1] = append(s.Columns[0], 1), append(s.Columns[1], float64(level))
			}
		}
		f, err := odds.Bare(ctx, s)
		if err != nil {
			return false, err
		}
		e, err := f.Combination(ctx, 1, []float64{0, 1}, 0.95)
		holds := e.Range.Low <= 0 && 0 <= e.Range.High
		known.Store(broke, holds)
		return holds, err
	}
}
