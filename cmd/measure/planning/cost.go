package planning

import (
	"context"
	"fmt"
	"io"
	"math"

	"breakbook/models/plan"
)

// costCase is what a specimen of each level costs, and the difference to be shown.
type costCase struct {
	cost   []float64
	delta  float64 // in kgf; the spread is 30 kgf
	blocks *plan.Blocks
}

var costCases = []costCase{
	{[]float64{4, 6}, 34, nil},
	{[]float64{1, 9}, 34, nil},
	{[]float64{25, 1}, 60, nil},
	{[]float64{4, 6}, 5, nil},
	{[]float64{1, 4}, 5, nil},
	{[]float64{4, 6, 11}, 60, nil},
	{[]float64{30, 2, 1}, 80, nil},
	{[]float64{2, 9}, 60, &plan.Blocks{SD: 20, Each: 4, Whole: []bool{true}}},
}

// mostTriedByHand is up to how many specimens of the equal split every split is tried.
const mostTriedByHand = 30

// costPart sets the cheapest split that plan … costing 4 none, 6 pair finds beside the cheapest of all splits, where
// there are few enough to try each, and its chance beside how often series of these numbers show the pair told least.
func costPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "%d series a row; spread %g kgf, 80 %% asked for at 95 %% confidence; in brackets the simulation "+
		"error (2 sd);\n"+
		"square roots: the numbers' ratio over that of the roots of the costs turned round (two levels)\n", series,
		givenSpread)
	fmt.Fprintf(out, "%-12s %7s %-12s %6s %8s %-8s %6s %8s %9s %18s\n", "costs", "differ", "split", "cost", "of every",
		"as many", "cost", "roots", "promised", "came true")
	return rows(ctx, out, len(costCases), series, seed, costLine)
}

// costLine is the row of one case.
func costLine(ctx context.Context, i, series int, seed uint64) (string, error) {
	c := costCases[i]
	m := plan.Uneven{N: make([]int, len(c.cost)), Delta: c.delta, SD: givenSpread, HighSD: math.NaN(), Confidence: 0.95,
		Wanted: 0.8, Blocks: c.blocks}
	split, err := m.Cheapest(c.cost)
	if err != nil {
		return "", err
	}
	every := "–"
	if split.Equal <= mostTriedByHand && c.blocks == nil {
		least, err := cheapestOfAll(ctx, m, c.cost, split.EqualCost)
		if err != nil {
			return "", err
		}
		every = fmt.Sprintf("%g", least)
	}
	roots := "–"
	if len(c.cost) == 2 {
		ratio := float64(split.N[0]) / float64(split.N[1])
		roots = fmt.Sprintf("%.3f", ratio/math.Sqrt(c.cost[1]/c.cost[0]))
	}
	m.N = split.N
	size, err := m.Given()
	if err != nil {
		return "", err
	}
	pair := size.Pairs[0]
	for _, p := range size.Pairs {
		if p.Chance < pair.Chance {
			pair = p
		}
	}
	g := givenCase{n: split.N, worth: c.delta, blocks: c.blocks}
	seen, _, err := g.simulated(ctx, m, pair, c.delta, series, seed+uint64(i))
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%-12s %7g %-12s %6g %8s %-8s %6g %8s %9.4f %9.4f (%.4f)", fmt.Sprint(c.cost), c.delta,
		fmt.Sprint(split.N), split.Cost, every, fmt.Sprintf("%d each", split.Equal), split.EqualCost, roots,
		pair.Chance, seen.Differs, 2*math.Sqrt(seen.Differs*(1-seen.Differs)/float64(series))), nil
}

// cheapestOfAll tries every split of at least two specimens of each level that costs no more than most.
func cheapestOfAll(ctx context.Context, m plan.Uneven, cost []float64, most float64) (float64, error) {
	least := most
	var try func(n []int, spent float64) error
	try = func(n []int, spent float64) error {
		i := len(n)
		if i == len(cost) {
			m.N = n
			if s, err := m.At(total(n)); err == nil && s.Chance >= m.Wanted {
				least = math.Min(least, spent)
			}
			return ctx.Err()
		}
		later := 0.0
		for _, c := range cost[i+1:] {
			later += 2 * c
		}
		for x := 2; spent+cost[i]*float64(x)+later < least; x++ {
			if err := try(append(n[:i:i], x), spent+cost[i]*float64(x)); err != nil {
				return err
			}
		}
		return nil
	}
	return least, try(nil, 0)
}

func total(n []int) int {
	sum := 0
	for _, x := range n {
		sum += x
	}
	return sum
}
