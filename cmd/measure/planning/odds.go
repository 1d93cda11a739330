package planning

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"breakbook/cmd/measure/counted"
	"breakbook/models/lists"
	"breakbook/models/odds"
	"breakbook/models/plan"
	"breakbook/models/resample"
)

// oddsCase is a truth about a way of breaking: shares at two levels, and a density whose effect is in log odds per
// sd and whose mean differs between the levels by so many sds.
type oddsCase struct {
	name          string
	levels        int
	from, to      float64
	effect, apart float64
}

var oddsCases = []oddsCase{
	{"no other term", 2, 0.6, 0.2, 0, 0},
	{"density, balanced", 2, 0.6, 0.2, 1.5, 0},
	{"density, changed with pins", 2, 0.6, 0.2, 1, 1.2},
	{"a rare way", 2, 0.2, 0.05, 0.7, 0},
	{"a rare way, changed with pins", 2, 0.2, 0.05, 0.7, 0.8},
	{"three levels", 3, 0.5, 0.15, 1, 0},
}

// series is the series that a plan is made from: every level's specimens with their density.
func (c oddsCase) series(r *rand.Rand) (level []int, density []float64) {
	for l := range c.levels {
		for range 40 {
			level, density = append(level, l), append(density, float64(l)*c.apart+r.NormFloat64())
		}
	}
	return level, density
}

// oddsPart plans the number of specimens for the odds of a way of breaking, and counts in how many series of so many
// the fit of the odds tells the two levels apart.
func oddsPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "%d series a row; 80 %% asked for at 95 %% confidence; in brackets the simulation error (2 sd)\n",
		series)
	fmt.Fprintf(out, "%-31s %9s %7s %10s %16s %10s %16s %10s\n", "truth", "shares", "levels", "inflation",
		"n by the formula", "n a level", "chance promised", "came true")
	return rows(ctx, out, len(oddsCases), series, seed, oddsLine)
}

// oddsLine is the row of one truth.
func oddsLine(ctx context.Context, i, series int, seed uint64) (string, error) {
	c := oddsCases[i]
	r := resample.Stream(seed, i)
	level, density := c.series(r)
	offset := lists.Mapped(density, func(x float64) float64 { return c.effect * x })
	m := plan.Odds{Level: level, Levels: c.levels, Offset: offset, From: c.from, To: c.to, Confidence: 0.95,
		Wanted: 0.80}
	if c.effect != 0 {
		m.Others = [][]float64{density}
	}
	formula, err := m.Least()
	if err != nil {
		return "", err
	}
	if m, err = m.TriedLeast(ctx, seed); err != nil {
		return "", err
	}
	size, err := m.Least()
	if err != nil {
		return "", err
	}
	inflation, err := m.Inflation()
	if err != nil {
		return "", err
	}
	kept, err := c.cameTrue(ctx, m, size.PerLevel, series, seed+uint64(1000*(i+1)))
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%-31s %3.0f to %2.0f%% %7d %10.2f %16d %10d %16.4f %10.4f (%.4f)", c.name, 100*c.from, 100*c.to,
		c.levels,
		inflation, formula.PerLevel, size.PerLevel, size.Chance, kept, 2*math.Sqrt(kept*(1-kept)/float64(series))), nil
}

// cameTrue is the share of series in which the pair planned for is told apart, each level's specimens drawn with the
// densities of its specimens in the series planned from.
func (c oddsCase) cameTrue(ctx context.Context, m plan.Odds, n, series int, seed uint64) (float64, error) {
	first, second := shareBase(m.Offset, c.from), shareBase(m.Offset, c.to)
	from, to, err := m.Hardest()
	if err != nil {
		return 0, err
	}
	// The pair's levels first, as the columns have them.
	order := []int{from, to, 3 - from - to}[:c.levels]
	own := make([][]int, c.levels)
	for s, l := range m.Level {
		own[l] = append(own[l], s)
	}
	alpha := 0.05 / float64(c.levels*(c.levels-1)/2)
	return counted.Share(ctx, series, func(ctx context.Context, at int) (bool, error) {
		r := resample.Stream(seed, at)
		s := odds.Sample{Columns: make([][]float64, c.levels), Modes: 2}
		var x []float64
		for l, level := range order {
			base := []float64{first, second, (first + second) / 2}[l]
			for range n {
				from := own[level][r.IntN(len(own[level]))]
				for k := range s.Columns {
					v := 0.0
					if k == 0 || k == l {
						v = 1
					}
					s.Columns[k] = append(s.Columns[k], v)
				}
				if len(m.Others) > 0 {
					x = append(x, m.Others[0][from])
				}
				mode := 0
				if r.Float64() < 1/(1+math.Exp(-base-m.Offset[from])) {
					mode = 1
				}
				s.Mode = append(s.Mode, mode)
			}
		}
		if x != nil {
			s.Columns = append(s.Columns, x)
		}
		f, err := odds.Bare(ctx, s)
		if err != nil {
			return false, nil // a series in one mode tells nothing
		}
		p, err := f.Without(ctx, []int{1})
		return err == nil && p < alpha, ctx.Err()
	})
}

// shareBase is the log odds to which offsets add, such that their mean chance is p.
func shareBase(offsets []float64, p float64) float64 {
	low, high := -60.0, 60.0
	for range 100 {
		mid, sum := (low+high)/2, 0.0
		for _, o := range offsets {
			sum += 1 / (1 + math.Exp(-mid-o))
		}
		if sum < p*float64(len(offsets)) {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
