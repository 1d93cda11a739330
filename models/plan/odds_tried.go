package plan

import (
	"context"
	"math"
	"math/rand/v2"

	"breakbook/models/halving"
	"breakbook/models/odds"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// MostTried is how many series are drawn for one number of specimens, fewer where each is long.
const MostTried = 10_000

// triedWork bounds the work of drawing series: specimens times columns squared.
const triedWork = 2e8

// Tried is the plan with the Gain that series of perLevel specimens of each level show, drawn from the truth that it
// is made for and judged as a fit of the odds judges the pair told least: by the likelihood ratio, with Firth's
// penalty where levels separate. A series that cannot be fitted shows nothing. The same seed gives the same. Errors
// are those of At and ctx's own.
func (o Odds) Tried(ctx context.Context, perLevel int, seed uint64) (Odds, error) {
	return o.tried(ctx, perLevel, seed, MostTried)
}

func (o Odds) tried(ctx context.Context, perLevel int, seed uint64, most int) (Odds, error) {
	if err := o.check(); err != nil {
		return o, err
	}
	rows := o.rows()
	each, pair, err := rows.noncentrality(o, o.To)
	if err != nil {
		return o, err
	}
	columns := o.Levels + len(o.Others)
	series := max(1000, min(most, int(triedWork/float64(perLevel*o.Levels*columns*columns))))
	seen := make([]bool, series)
	w := resample.Work{Pieces: series, Seed: seed, Block: 50, Progress: parallel.ProgressOf(ctx)}
	err = resample.Run(ctx, w, func() func(draw *rand.Rand, from, to int) error {
		one := rows.drawn(o, pair, perLevel)
		return func(draw *rand.Rand, from, to int) error {
			for i := from; i < to; i++ {
				f, err := odds.Solve(ctx, one.draw(draw))
				if err == nil {
					var p float64
					p, err = f.Without(ctx, []int{1})
					seen[i] = err == nil && p < o.alpha()
				}
				if ctx.Err() != nil {
					return ctx.Err()
				}
			}
			return nil
		}
	})
	if err != nil {
		return o, err
	}
	count := 0
	for _, s := range seen {
		if s {
			count++
		}
	}
	share := math.Min(float64(count)/float64(series), 1-0.5/float64(series))
	n := float64(perLevel)
	_, o.Gain = halving.Between(-0.9*n, 4*n+20, 60, func(gain float64) bool {
		return likelihoodChance(o.alpha(), each*(n+gain)) >= share
	})
	return o, nil
}

// drawnOdds draws series of the specimens that a plan makes.
type drawnOdds struct {
	r        oddsRows
	from, to []int     // by level: its rows
	chance   []float64 // of every row
	order    []int     // the levels: the pair's first, its second, the rest
	perLevel int
	sample   odds.Sample
}

func (r oddsRows) drawn(o Odds, pair [2]int, perLevel int) *drawnOdds {
	d := &drawnOdds{r: r, perLevel: perLevel, from: make([]int, o.Levels), to: make([]int, o.Levels), order: pair[:]}
	for l := range o.Levels {
		if l != pair[0] && l != pair[1] {
			d.order = append(d.order[:len(d.order):len(d.order)], l)
		}
	}
	for row := len(r.level) - 1; row >= 0; row-- {
		d.from[r.level[row]] = row
		d.to[r.level[row]] = max(d.to[r.level[row]], row+1)
	}
	// The error of a visit is nil: nothing is fitted here.
	_ = r.pairs(o, o.To, func(i, j int, p []float64) error {
		if i == pair[0] && j == pair[1] {
			d.chance = p
		}
		return nil
	})
	n := perLevel * o.Levels
	d.sample = odds.Sample{Columns: make([][]float64, len(r.x[0])), Mode: make([]int, n), Modes: 2}
	for c := range d.sample.Columns {
		d.sample.Columns[c] = make([]float64, n)
	}
	return d
}

// draw is one series: the baseline is the pair's first level, the second column its second.
func (d *drawnOdds) draw(r *rand.Rand) odds.Sample {
	at, k := 0, len(d.order)
	for place, l := range d.order {
		for range d.perLevel {
			row := d.from[l] + r.IntN(d.to[l]-d.from[l])
			for c := range d.sample.Columns {
				v := 0.0
				switch {
				case c == 0 || c == place:
					v = 1
				case c >= k:
					v = d.r.x[row][c]
				}
				d.sample.Columns[c][at] = v
			}
			d.sample.Mode[at] = 0
			if r.Float64() < d.chance[row] {
				d.sample.Mode[at] = 1
			}
			at++
		}
	}
	return d.sample
}

// TriedLeast is the smallest size whose Chance is the wanted one or more, with the Gain found there or at a size
// next to it: fewer series find about where that is. Errors are those of Least and Tried.
func (o Odds) TriedLeast(ctx context.Context, seed uint64) (Odds, error) {
	o.Gain = 0
	size, err := o.Least()
	for range 3 {
		if err != nil {
			return o, err
		}
		if o, err = o.tried(ctx, size.PerLevel, seed, MostTried/5); err != nil {
			return o, err
		}
		last := size.PerLevel
		if size, err = o.Least(); err == nil && size.PerLevel == last {
			break
		}
	}
	if err != nil {
		return o, err
	}
	return o.Tried(ctx, size.PerLevel, seed)
}
