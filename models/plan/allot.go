package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// Allotment gives every blank a level.
type Allotment struct {
	Level  []int
	Gap    float64 // the largest standardised difference between two levels' means
	Uneven int     // by how many blanks the blocks are spread less evenly than they could be
}

// Allot gives blanks to levels in numbers that differ by one at most, so that the means of
// the balancing columns (one slice a column, a value a blank) differ as little as they can:
// the largest difference between two levels over the column's sd is made small, by
// exchanges of two blanks from many random starts until none helps. blocks, a code a blank for
// each column of blocks, are spread over the levels first. Levels are then named at random. Errors are
// *Error: "too-few-levels" (or fewer blanks than levels), "no-difference" (a column that
// does not vary), and ctx's own.
func Allot(ctx context.Context, columns [][]float64, blocks [][]int, levels int, seed uint64) (Allotment, error) {
	if levels < 2 || len(columns) == 0 || len(columns[0]) < levels {
		return Allotment{}, &Error{"too-few-levels"}
	}
	w := &allotting{levels: levels, blocks: blocks}
	for _, c := range columns {
		mean, sd := stat.MeanStdDev(c, nil)
		if !(sd > 0) {
			return Allotment{}, &Error{"no-difference"}
		}
		z := make([]float64, len(c))
		for i, x := range c {
			z[i] = (x - mean) / sd
		}
		w.z = append(w.z, z)
	}
	draw := resample.Stream(seed, 0)
	best, least := []int(nil), math.Inf(1)
	starts, report := w.starts(), parallel.ProgressOf(ctx)
	for s := range starts {
		report(s, starts)
		cost, err := w.exchange(ctx, draw)
		if err != nil {
			return Allotment{}, err
		}
		if cost < least {
			best, least = slices.Clone(w.level), cost
		}
	}
	w.take(best)
	out := Allotment{Level: best, Gap: w.gap(), Uneven: w.uneven()}
	w.shuffle(draw, best)
	return out, nil
}

// allotting is an allotment at work.
type allotting struct {
	levels int
	blocks [][]int
	z      [][]float64
	level  []int
	size   []float64
	sum    [][]float64 // of z, by column and level
	count  [][][]int   // by block column, block and level
}

// starts is how many random starts are tried: many where a start costs little.
func (w *allotting) starts() int {
	n := len(w.z[0])
	return min(400, max(4, 2_000_000/(n*n*n)))
}

func (w *allotting) take(level []int) {
	w.level = level
	w.size, w.sum, w.count = make([]float64, w.levels), nil, nil
	for range w.z {
		w.sum = append(w.sum, make([]float64, w.levels))
	}
	for _, codes := range w.blocks {
		count := make([][]int, slices.Max(codes)+1)
		for b := range count {
			count[b] = make([]int, w.levels)
		}
		w.count = append(w.count, count)
	}
	for i, l := range level {
		w.size[l]++
		w.put(i, l, 1)
	}
}

func (w *allotting) put(i, l, sign int) {
	for c := range w.z {
		w.sum[c][l] += float64(sign) * w.z[c][i]
	}
	for c, codes := range w.blocks {
		w.count[c][codes[i]][l] += sign
	}
}

// swap exchanges the levels of two blanks.
func (w *allotting) swap(i, j int) {
	a, b := w.level[i], w.level[j]
	w.put(i, a, -1)
	w.put(j, b, -1)
	w.put(i, b, 1)
	w.put(j, a, 1)
	w.level[i], w.level[j] = b, a
}

func (w *allotting) gap() float64 {
	most := 0.0
	for _, sum := range w.sum {
		low, high := math.Inf(1), math.Inf(-1)
		for l, s := range sum {
			m := s / w.size[l]
			low, high = math.Min(low, m), math.Max(high, m)
		}
		most = math.Max(most, high-low)
	}
	return most
}

func (w *allotting) uneven() int {
	n := 0
	for _, blocks := range w.count {
		for _, count := range blocks {
			n += max(0, slices.Max(count)-slices.Min(count)-1)
		}
	}
	return n
}

// cost puts the blocks before the gap; no gap comes near a thousand sds.
func (w *allotting) cost() float64 { return 1000*float64(w.uneven()) + w.gap() }

// exchange starts at random and exchanges two blanks for as long as that helps.
func (w *allotting) exchange(ctx context.Context, draw *rand.Rand) (float64, error) {
	level := make([]int, len(w.z[0]))
	for i, at := range draw.Perm(len(level)) {
		level[at] = i % w.levels
	}
	w.take(level)
	cost := w.cost()
	for better := true; better; {
		better = false
		for i := range level {
			if err := ctx.Err(); err != nil {
				return cost, err
			}
			for j := range i {
				if level[i] == level[j] {
					continue
				}
				w.swap(i, j)
				if now := w.cost(); now < cost-1e-12 {
					cost, better = now, true
				} else {
					w.swap(i, j)
				}
			}
		}
	}
	return cost, nil
}

// shuffle names levels of the same number at random, which changes no difference.
func (w *allotting) shuffle(draw *rand.Rand, level []int) {
	name := make([]int, w.levels)
	for i := range name {
		name[i] = i
	}
	larger := len(level) % w.levels
	draw.Shuffle(larger, func(i, j int) { name[i], name[j] = name[j], name[i] })
	draw.Shuffle(w.levels-larger, func(i, j int) { name[larger+i], name[larger+j] = name[larger+j], name[larger+i] })
	for i, l := range level {
		level[i] = name[l]
	}
}
