package tables

import (
	"context"
	"math"
	"math/rand/v2"
	"sync/atomic"

	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// RandomTables is how many random tables stand in for all of them.
const RandomTables = 99_999

// sampled draws tables with the same totals cell by cell, as dealing the columns out anew to
// the rows would give them, and gives (b + 1)/(N + 1), b of them no likelier than this one
// (Davison & Hinkley 1997, 4.2).
func sampled(ctx context.Context, t [][]int, o Options) float64 {
	rows, columns, n := totals(ctx, t)
	d := dealer{rows: rows, columns: columns, n: n, lnFactorial: lnFactorials(ctx, n)}
	limit := likelihood(t, d.lnFactorial) + tolerance
	var unlikely atomic.Int64
	cost := len(rows) * len(columns) * (10 + int(math.Sqrt(float64(n))))
	w := resample.Work{Seed: o.Seed, Pieces: RandomTables, Block: resample.BlockFor(cost), Progress: o.Progress}
	parallel.Heed(resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		remaining := make([]int, len(columns))
		return func(draw *rand.Rand, from, to int) error {
			for range to - from {
				parallel.Look(ctx)
				if d.table(draw, remaining) <= limit {
					unlikely.Add(1)
				}
			}
			return nil
		}
	}))
	return float64(unlikely.Load()+1) / (RandomTables + 1)
}

// dealer draws tables with the totals it has.
type dealer struct {
	rows, columns []int
	n             int
	lnFactorial   []float64
}

// table draws one and gives its −Σ ln(count!); remaining is room for what is left of the columns.
func (d *dealer) table(draw *rand.Rand, remaining []int) float64 {
	copy(remaining, d.columns)
	ln, n := 0.0, d.n
	for i, row := range d.rows {
		last := i == len(d.rows)-1
		need, room := row, n
		n -= row
		for j, column := range remaining {
			x := column // the last row takes what is left
			if !last {
				room -= column
				x = d.share(draw, column, room, need)
				need -= x
				remaining[j] -= x
			}
			ln -= d.lnFactorial[x]
		}
	}
	return ln
}

// share is how many of need specimens, taken blindly out of a column and the others, come of
// the column (hypergeometric): by inversion, from the likeliest number outwards by turns.
func (d *dealer) share(draw *rand.Rand, column, others, need int) int {
	least, most := max(0, need-others), min(need, column)
	if least == most {
		return least
	}
	mode := int(float64(need+1) * float64(column+1) / float64(column+others+2))
	mode = min(max(mode, least), most)
	f := d.lnFactorial
	all := f[column+others] - f[need] - f[column+others-need]
	at := math.Exp(f[column] - f[mode] - f[column-mode] + f[others] - f[need-mode] - f[others-need+mode] - all)
	u := draw.Float64() - at
	up, down, above, below := mode, mode, at, at
	for u > 0 && (up < most || down > least) {
		if up < most {
			above *= float64(column-up) * float64(need-up) / (float64(up+1) * float64(others-need+up+1))
			up++
			if u -= above; u <= 0 {
				return up
			}
		}
		if down > least {
			below *= float64(down) * float64(others-need+down) / (float64(column-down+1) * float64(need-down+1))
			down--
			if u -= below; u <= 0 {
				return down
			}
		}
		if above+below == 0 { // rounding alone is left
			break
		}
	}
	return mode
}
