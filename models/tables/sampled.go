package tables

import (
	"context"
	"math/rand/v2"
	"sync/atomic"

	"breakbook/models/resample"
)

// RandomTables is how many random tables stand in for all of them.
const RandomTables = 99_999

// sampled draws tables with the same totals by dealing the columns out anew to the rows, and
// gives (b + 1)/(N + 1), b of them no likelier than this one (Davison & Hinkley 1997, 4.2).
func sampled(ctx context.Context, t [][]int, o Options) (float64, error) {
	rows, _, n := totals(t)
	lnFactorial := lnFactorials(n)
	limit := likelihood(t, lnFactorial) + tolerance
	var cells []float64 // the column of each specimen
	for _, row := range t {
		for j, x := range row {
			for range x {
				cells = append(cells, float64(j))
			}
		}
	}
	var unlikely atomic.Int64
	w := resample.Work{Seed: o.Seed, Pieces: RandomTables, Block: resample.BlockFor(10 * n), Progress: o.Progress}
	err := resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		dealt, counts := make([]float64, n), make([]int, len(t[0]))
		return func(draw *rand.Rand, from, to int) error {
			for range to - from {
				if err := ctx.Err(); err != nil {
					return err
				}
				copy(dealt, cells)
				resample.Pick(draw, dealt, n)
				ln, at := 0.0, 0
				for _, r := range rows {
					clear(counts)
					for _, j := range dealt[at : at+r] {
						counts[int(j)]++
					}
					at += r
					for _, x := range counts {
						ln -= lnFactorial[x]
					}
				}
				if ln <= limit {
					unlikely.Add(1)
				}
			}
			return nil
		}
	})
	return float64(unlikely.Load()+1) / (RandomTables + 1), err
}
