package held

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/limits"
	"breakbook/models/linear"
	"breakbook/models/mixed"

	"gonum.org/v1/gonum/mathext"
)

// Cells are the kinds of series: what is asked of each is the project's own aim.
func Cells() []Cell {
	var out []Cell
	for _, n := range [][]int{{4, 4, 4}, {3, 6, 11}, {8, 8, 8}} {
		out = append(out,
			Cell{"fit, equal spread", fmt.Sprintf("levels of %v and density: the second level", n), 0.94, 0.96,
				fitted(n, []float64{1, 1, 1}, true, false)})
	}
	for _, c := range []struct {
		n  []int
		sd []float64
	}{{[]int{5, 12}, []float64{3, 1}}, {[]int{12, 5}, []float64{3, 1}}, {[]int{4, 4}, []float64{4, 1}}} {
		out = append(out, Cell{"Welch, two levels", spreads(c.n, c.sd), 0.92, 0.97, welch(c.n, c.sd)})
	}
	out = append(out, Cell{"Games–Howell, family", spreads([]int{5, 8, 12}, []float64{3, 2, 1}), 0.92, 0.97,
		gamesHowell([]int{5, 8, 12}, []float64{3, 2, 1})})
	for _, c := range []struct {
		n  []int
		sd []float64
	}{{[]int{3, 3, 3}, []float64{1, 1, 1}}, {[]int{3, 3, 3}, []float64{1, 1, 3}}, {[]int{3, 3, 3}, []float64{2, 1, 1}},
		{[]int{3, 5, 8}, []float64{1, 1.5, 2}},
		{[]int{3, 5, 8}, []float64{2, 1.5, 1}}, {[]int{3, 8, 8}, []float64{3, 1, 1}},
		{[]int{6, 6, 12}, []float64{1, 3, 2}}, {[]int{6, 8, 8}, []float64{3, 1, 1}}} {
		out = append(out,
			Cell{"fit, uneven spread (HC2)", spreads(c.n, c.sd) + ": the second level", 0.91, 0.985,
				fitted(c.n, c.sd, false, true)},
			Cell{"fit, uneven spread (HC2)", spreads(c.n, c.sd) + " and density: the second level", 0.91, 0.985,
				fitted(c.n, c.sd, true, true)})
	}
	for _, n := range [][]int{{5, 5, 5, 5}, {3, 5, 8, 12}} {
		out = append(out, Cell{"all pairs, family", fmt.Sprintf("levels of %v", n), 0.94, 0.96, family(n, -1)})
		out = append(out, Cell{"against one, family", fmt.Sprintf("levels of %v", n), 0.94, 0.96, family(n, 0)})
	}
	even, uneven := []int{4, 4, 4, 4, 4, 4}, []int{2, 3, 3, 5, 6, 9}
	for _, ratio := range []float64{0.5, 2} {
		out = append(out,
			Cell{"fit, blocked", fmt.Sprintf("6 blocks of 4, blocks' sd %g: a level within blocks", ratio),
				0.93, 0.98, blocked(even, ratio, false)},
			Cell{"fit, blocked", fmt.Sprintf("6 blocks of 4, blocks' sd %g: a level between blocks", ratio),
				0.93, 0.98, blocked(even, ratio, true)},
			Cell{"fit, blocked", fmt.Sprintf("6 blocks of %v, blocks' sd %g: within", uneven, ratio), 0, 1,
				blocked(uneven, ratio, false)},
			Cell{"fit, blocked", fmt.Sprintf("6 blocks of %v, blocks' sd %g: between", uneven, ratio), 0, 1,
				blocked(uneven, ratio, true)})
	}
	for _, confidence := range []float64{0.75, 0.95} {
		for _, part := range []struct {
			said  string
			share float64
		}{{"a third", 1. / 3}, {"half", 0.5}, {"two thirds", 2. / 3}} {
			out = append(out, Cell{fmt.Sprintf("characteristic in blocks, %.0f %% confidence", 100*confidence),
				"5 boards of 4, " + part.said + " of the variance between boards", confidence - 0.02, 0.999,
				characteristic(confidence, part.share)})
		}
	}
	return append(out, modeCells()...)
}

func spreads(n []int, sd []float64) string { return fmt.Sprintf("levels of %v, sd %v", n, sd) }

// plain is a term of one column.
func plain(variable int) design.Term {
	return design.Term{Factors: []design.Factor{{Variable: variable}}}
}

// levelled is a category with so many specimens per level.
func levelled(n []int) design.Variable {
	v := design.Variable{Levels: make([]string, len(n))}
	for level, count := range n {
		for range count {
			v.Codes = append(v.Codes, level)
		}
	}
	return v
}

// holds reports whether a 95 % range by t holds the truth.
func holds(estimate, truth, se, df float64) bool {
	return math.Abs(estimate-truth) <= dist.TQuantile(0.975, df)*se
}

// fitted is a fit on levels with a spread each, and a number column beside them where asked
// for: true differences between levels are 1 a level, and 0.5 a unit of the number.
func fitted(n []int, sd []float64, number, uneven bool) try {
	a := levelled(n)
	terms := []design.Term{plain(0)}
	if number {
		terms = append(terms, plain(1))
	}
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		x, y := make([]float64, len(a.Codes)), make([]float64, len(a.Codes))
		for i, level := range a.Codes {
			x[i] = draw.NormFloat64()
			y[i] = float64(level) + 0.5*x[i] + sd[level]*draw.NormFloat64()
		}
		f, err := linear.Solve(ctx, y, design.Model{Variables: []design.Variable{a, {Numbers: x}}, Terms: terms})
		if err != nil {
			return false, err
		}
		if uneven {
			u, err := f.Uneven(ctx)
			if err != nil {
				return false, err
			}
			f = u.Fit
		}
		c := f.Coefficients[1]
		return holds(c.Estimate, 1, c.SE, c.DF), nil
	}
}

// groupsOf are values of levels with means 0, 1, 2, … and a spread each.
func groupsOf(draw *rand.Rand, n []int, sd []float64) [][]float64 {
	out := make([][]float64, len(n))
	for level, count := range n {
		for range count {
			out[level] = append(out[level], float64(level)+sd[level]*draw.NormFloat64())
		}
	}
	return out
}

// welch is the difference of two levels, each with its own spread.
func welch(n []int, sd []float64) try {
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		m, err := compare.Uneven(ctx, groupsOf(draw, n, sd))
		if err != nil {
			return false, err
		}
		return holds(m.Mean[1]-m.Mean[0], 1, math.Sqrt(m.Cov[0][0]+m.Cov[1][1]), m.PairDF[0][1]), nil
	}
}

// gamesHowell is all differences of levels, each with its own spread.
func gamesHowell(n []int, sd []float64) try {
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		m, err := compare.Uneven(ctx, groupsOf(draw, n, sd))
		if err != nil {
			return false, err
		}
		all, err := compare.AllPairs(ctx, m, compare.Options{})
		if err != nil {
			return false, err
		}
		for _, d := range all.Differences {
			if truth := float64(d.Second - d.First); d.Low > truth || d.High < truth {
				return false, nil
			}
		}
		return true, nil
	}
}

// family is all differences of levels with one spread, or those to the level ref. The
// critical value hangs on the numbers of specimens only and is asked of the program once.
func family(n []int, ref int) try {
	sd := slices.Repeat([]float64{1}, len(n))
	asked := sync.OnceValues(func() (*compare.Result, error) {
		m, err := compare.Groups(context.Background(), groupsOf(rand.New(rand.NewPCG(1, 1)), n, sd))
		if err != nil {
			return nil, err
		}
		if ref < 0 {
			return compare.AllPairs(context.Background(), m, compare.Options{})
		}
		return compare.Against(context.Background(), m, ref, compare.Options{})
	})
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		rows, err := asked()
		if err != nil {
			return false, err
		}
		m, err := compare.Groups(ctx, groupsOf(draw, n, sd))
		if err != nil {
			return false, err
		}
		for _, d := range rows.Differences {
			se := math.Sqrt(m.Cov[d.First][d.First] + m.Cov[d.Second][d.Second])
			if math.Abs(m.Mean[d.Second]-m.Mean[d.First]-float64(d.Second-d.First)) > d.Critical*se {
				return false, nil
			}
		}
		return true, nil
	}
}

// blocked is a fit of a two-level factor with random blocks of so many specimens: the
// levels alternate within blocks, or from block to block. The spread within is 1.
func blocked(sizes []int, sd float64, between bool) try {
	blocks := levelled(sizes)
	a := design.Variable{Levels: []string{"first", "second"}}
	for i, block := range blocks.Codes {
		at := i
		if between {
			at = block
		}
		a.Codes = append(a.Codes, at%2)
	}
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		y, shift := make([]float64, len(a.Codes)), make([]float64, len(sizes))
		for i := range shift {
			shift[i] = sd * draw.NormFloat64()
		}
		for i, level := range a.Codes {
			y[i] = float64(level) + shift[blocks.Codes[i]] + draw.NormFloat64()
		}
		f, err := mixed.Solve(ctx, y, design.Model{Variables: []design.Variable{a}, Terms: []design.Term{plain(0)}},
			[]mixed.Block{{Codes: blocks.Codes}}, mixed.Restricted)
		if err != nil {
			return false, err
		}
		c := f.Coefficients[1]
		return holds(c.Estimate, 1, c.SE, c.DF), nil
	}
}

// characteristic is what 95 % of joints exceed, of 5 boards of 4 specimens with that share of
// the variance between boards: the limit holds the truth where it is no higher. The floor on the
// sd and what is refused take no part.
func characteristic(confidence, between float64) try {
	const boards, each, mean, sd = 5, 4, 500, 75
	truth := mean - sd*mathext.NormalQuantile(0.95)
	return func(ctx context.Context, draw *rand.Rand) (bool, error) {
		y, codes := make([]float64, 0, boards*each), make([]int, 0, boards*each)
		for board := range boards {
			shift := sd * math.Sqrt(between) * draw.NormFloat64()
			for range each {
				y, codes = append(y, mean+shift+sd*math.Sqrt(1-between)*draw.NormFloat64()), append(codes, board)
			}
		}
		l, err := limits.Of(ctx, y, codes, limits.Options{Exceeded: 0.95, Confidence: confidence})
		return l.Mean-l.K*l.SD <= truth, err
	}
}
