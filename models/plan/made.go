package plan

import (
	"context"
	"math"
	"math/rand/v2"

	"breakbook/models/dist"
	"breakbook/models/halving"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// mostMade bounds how many specimens of a level stand for all of them: of more, so many are taken at even distances.
const mostMade = 120

// madeRows are the specimens of a series that stand for those that a plan makes: one of each level in all, by weight.
type madeRows struct {
	specimen []int // of the series
	level    []int
	weight   []float64
	x        [][]float64 // by specimen: a column a level, then the others, measured from their mean
	every    []int       // the specimens that stand for the whole series
}

// madeOf takes every level's specimens with their other columns; where balanced, those of all specimens.
func madeOf(level []int, levels int, others [][]float64, balanced bool) madeRows {
	var r madeRows
	at, every := make([][]int, levels), make([]int, len(level))
	for i, l := range level {
		at[l], every[i] = append(at[l], i), i
	}
	r.every = thinned(every)
	mean := make([]float64, len(others))
	for j, c := range others {
		for _, x := range c {
			mean[j] += x / float64(len(c))
		}
	}
	for l := range levels {
		own := thinned(at[l])
		if balanced {
			own = r.every
		}
		for _, i := range own {
			x := make([]float64, levels+len(others))
			x[l] = 1
			for j, c := range others {
				x[levels+j] = c[i] - mean[j]
			}
			r.specimen, r.level = append(r.specimen, i), append(r.level, l)
			r.weight, r.x = append(r.weight, 1/float64(len(own))), append(r.x, x)
		}
	}
	return r
}

func thinned(from []int) []int {
	if len(from) <= mostMade {
		return from
	}
	return lists.Made(mostMade, func(i int) int { return from[i*len(from)/mostMade] })
}

// drawn draws the specimens of a series whose first levels are a pair: the row of each, and its place in order.
type drawn struct {
	from, to []int // by level: its rows
	order    []int // the levels: the pair's first, its second, the rest
	perLevel int
}

func (r madeRows) drawn(levels int, pair [2]int, perLevel int) drawn {
	d := drawn{perLevel: perLevel, from: make([]int, levels), to: make([]int, levels), order: []int{pair[0], pair[1]}}
	for l := range levels {
		if l != pair[0] && l != pair[1] {
			d.order = append(d.order, l)
		}
	}
	for row := len(r.level) - 1; row >= 0; row-- {
		d.from[r.level[row]] = row
		d.to[r.level[row]] = max(d.to[r.level[row]], row+1)
	}
	return d
}

// columns is a design for drawn specimens: the baseline, which is the pair's first level, a column for each other
// level in order, the other terms.
func (d drawn) columns(r madeRows) [][]float64 {
	return lists.Made(len(r.x[0]), func(c int) []float64 { return make([]float64, d.perLevel*len(d.order)) })
}

// each visits the specimens of a series that is drawn, and fills their columns.
func (d drawn) each(r madeRows, draw *rand.Rand, columns [][]float64, visit func(at, row int)) {
	at, k := 0, len(d.order)
	for place, l := range d.order {
		for range d.perLevel {
			row := d.from[l] + draw.IntN(d.to[l]-d.from[l])
			for c := range columns {
				v := 0.0
				switch {
				case c == 0 || c == place:
					v = 1
				case c >= k:
					v = r.x[row][c]
				}
				columns[c][at] = v
			}
			visit(at, row)
			at++
		}
	}
}

// MostTried is how many series are drawn for one number of specimens, fewer where each is long.
const MostTried = 10_000

// triedWork bounds the work of drawing series: specimens times columns squared.
const triedWork = 2e8

// seriesTried is how many series of so many specimens and columns are drawn, at most most.
func seriesTried(most, specimens, columns int) int {
	return max(1000, min(most, int(triedWork/float64(specimens*columns*columns))))
}

// shareShown is the share of series that show what they are drawn for; start makes a worker that draws and judges one.
func shareShown(ctx context.Context, series int, seed uint64,
	start func() func(draw *rand.Rand) bool) float64 {
	seen := make([]bool, series)
	w := resample.Work{Pieces: series, Seed: seed, Block: 50, Progress: parallel.ProgressOf(ctx)}
	parallel.Heed(resample.Run(ctx, w, func() func(draw *rand.Rand, from, to int) error {
		one := start()
		return func(draw *rand.Rand, from, to int) error {
			for i := from; i < to; i++ {
				seen[i] = one(draw)
				parallel.Look(ctx)
			}
			return nil
		}
	}))
	count := lists.Count(seen, func(s bool) bool { return s })
	return math.Min(float64(count)/float64(series), 1-0.5/float64(series))
}

// likelihoodChance is the chance that a likelihood ratio with one degree of freedom and a noncentrality passes its
// critical value at an error.
func likelihoodChance(alpha, noncentrality float64) float64 {
	critical, mu := dist.TQuantile(1-alpha/2, math.Inf(1)), math.Sqrt(noncentrality)
	return dist.NormalTail(critical-mu) + dist.NormalTail(critical+mu)
}

// gainFor is how many specimens more of each level would give the likelihood ratio the chance that was counted; each
// is the noncentrality that one specimen of each level adds.
func gainFor(alpha, each float64, perLevel int, share float64) float64 {
	n := float64(perLevel)
	_, gain := halving.Between(-0.9*n, 4*n+20, 60, func(gain float64) bool {
		return likelihoodChance(alpha, each*(n+gain)) >= share
	})
	return gain
}
