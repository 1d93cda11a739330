package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// Allotment gives every blank a level.
type Allotment struct {
	Level  []int
	Gap    float64 // the largest difference between two levels' means, over the column's sd
	Spread float64 // the largest sd of a level over another's of the same column; NaN with a single blank at a level
	Uneven int     // by how many blanks the blocks are spread less evenly than they could be
	All    bool    // whether every way of giving them out was tried
}

// mostAllTried is up to how many blanks every way of giving them out is tried.
const mostAllTried = 12

// leastSpread stands for the sd of a level whose blanks are alike, over the column's: a logarithm has no nought.
const leastSpread = 1e-3

// Allot gives blanks to levels in numbers that differ by one at most, so that the balancing
// columns (one slice a column, a value a blank) differ as little as they can: made small is the
// largest of the differences between two levels in mean, over the column's sd, and in spread, the
// difference of ln sd. Up to twelve blanks every way is tried; with more, two blanks
// are exchanged from many random starts until no exchange helps. blocks, a code a blank for
// each column of blocks, are spread over the levels first. Blanks that are alike in everything, and
// levels of the same number, are then shuffled. Errors are *Error: "too-few-levels" (or
// fewer blanks than levels), "no-difference" (a column that does not vary), and ctx's own.
func Allot(ctx context.Context, columns [][]float64, blocks [][]int, levels int, seed uint64) (_ Allotment, err error) {
	defer parallel.Catch(&err)
	if levels < 2 || len(columns) == 0 || len(columns[0]) < levels {
		return Allotment{}, &Error{"too-few-levels"}
	}
	w := &allotting{levels: levels, blocks: blocks}
	for _, c := range columns {
		mean, sd := stat.MeanStdDev(c, nil)
		if !(sd > 0) {
			return Allotment{}, &Error{"no-difference"}
		}
		z := lists.Mapped(c, func(x float64) float64 { return (x - mean) / sd })
		w.z = append(w.z, z)
	}
	draw := resample.Stream(seed, 0)
	search, all := w.exchanged, len(w.z[0]) <= mostAllTried
	if all {
		search = w.tried
	}
	best := search(ctx, draw)
	w.take(best)
	gap, spread := w.gaps()
	if spread = math.Exp(spread); slices.Min(w.size) < 2 {
		spread = math.NaN()
	}
	out := Allotment{Level: best, Gap: gap, Spread: spread, Uneven: w.uneven(), All: all}
	w.shuffleAlike(draw, best)
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
	square [][]float64 // of the squares of z, likewise
	count  [][][]int   // by block column, block and level
}

func (w *allotting) take(level []int) {
	w.level = level
	w.size, w.sum, w.square, w.count = make([]float64, w.levels), nil, nil, nil
	for range w.z {
		w.sum = append(w.sum, make([]float64, w.levels))
		w.square = append(w.square, make([]float64, w.levels))
	}
	for _, codes := range w.blocks {
		count := lists.Made(slices.Max(codes)+1, func(b int) []int { return make([]int, w.levels) })
		w.count = append(w.count, count)
	}
	for i, l := range level {
		w.size[l]++
		w.put(i, l, 1)
	}
}

func (w *allotting) put(i, l, sign int) {
	for c := range w.z {
		z := w.z[c][i]
		w.sum[c][l] += float64(sign) * z
		w.square[c][l] += float64(sign) * z * z
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

// gaps are the largest difference between two levels' means of a column, and between two levels'
// ln sd; levels of a single blank have no spread to differ in.
func (w *allotting) gaps() (mean, spread float64) {
	widest := 1.0 // ratio of two variances
	for c, sum := range w.sum {
		low, high := math.Inf(1), math.Inf(-1)
		narrow, wide := math.Inf(1), 0.0
		for l, s := range sum {
			m := s / w.size[l]
			low, high = min(low, m), max(high, m)
			if w.size[l] > 1 {
				v := max((w.square[c][l]-s*m)/(w.size[l]-1), leastSpread*leastSpread)
				narrow, wide = min(narrow, v), max(wide, v)
			}
		}
		mean = max(mean, high-low)
		widest = max(widest, wide/narrow)
	}
	return mean, math.Log(widest) / 2
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

// cost puts the blocks before the gaps; none of those comes near a thousand.
func (w *allotting) cost() float64 {
	mean, spread := w.gaps()
	return 1000*float64(w.uneven()) + max(mean, spread)
}

// exchanged is the best that exchanges come to from many random starts.
func (w *allotting) exchanged(ctx context.Context, draw *rand.Rand) []int {
	best, least := []int(nil), math.Inf(1)
	n := len(w.z[0])
	starts, report := min(2000, max(4, 8_000_000/(n*n*n))), parallel.ProgressOf(ctx) // many where one costs little
	for s := range starts {
		report(s, starts)
		if cost := w.exchange(ctx, draw); cost < least {
			best, least = slices.Clone(w.level), cost
		}
	}
	return best
}

// tried is the best of all ways. Levels are told apart by their number of blanks only, so one of
// each number is opened after the other; ways that come to the same are drawn from.
func (w *allotting) tried(ctx context.Context, draw *rand.Rand) []int {
	n := len(w.z[0])
	room := make([]int, w.levels)
	for i := range n {
		room[i%w.levels]++
	}
	full := slices.Clone(room)
	w.take(make([]int, n))
	for i := range n {
		w.put(i, 0, -1)
	}
	for l := range w.size {
		w.size[l] = float64(room[l])
	}
	best, least, same := []int(nil), math.Inf(1), 0
	var fill func(i int)
	fill = func(i int) {
		if i == n {
			switch cost := w.cost(); {
			case cost < least-1e-12:
				best, least, same = slices.Clone(w.level), cost, 1
			case cost < least+1e-12:
				if same++; draw.IntN(same) == 0 {
					best = slices.Clone(w.level)
				}
			}
			return
		}
		parallel.Look(ctx)
		for l := range room {
			if room[l] == 0 || l > 0 && full[l-1] == full[l] && room[l-1] == full[l] {
				continue
			}
			room[l]--
			w.level[i] = l
			w.put(i, l, 1)
			fill(i + 1)
			w.put(i, l, -1)
			room[l]++
		}
	}
	fill(0)
	return best
}

// exchange starts at random and exchanges two blanks for as long as that helps.
func (w *allotting) exchange(ctx context.Context, draw *rand.Rand) float64 {
	level := make([]int, len(w.z[0]))
	for i, at := range draw.Perm(len(level)) {
		level[at] = i % w.levels
	}
	w.take(level)
	cost := w.cost()
	for better := true; better; {
		better = false
		for i := range level {
			parallel.Look(ctx)
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
	return cost
}

// shuffleAlike gives the levels of blanks that are alike in every column and block at random among them.
func (w *allotting) shuffleAlike(draw *rand.Rand, level []int) {
	alike := func(i, j int) bool {
		for _, z := range w.z {
			if z[i] != z[j] {
				return false
			}
		}
		for _, codes := range w.blocks {
			if codes[i] != codes[j] {
				return false
			}
		}
		return true
	}
	for i := range level {
		// Each blank but the first of its kind changes places with one before it, or with none.
		at, seen := i, 1
		for j := range i {
			if alike(i, j) {
				if seen++; draw.IntN(seen) == 0 {
					at = j
				}
			}
		}
		level[i], level[at] = level[at], level[i]
	}
}

// shuffle names levels of the same number at random, which changes no difference.
func (w *allotting) shuffle(draw *rand.Rand, level []int) {
	name := lists.Indices(w.levels)
	larger := len(level) % w.levels
	draw.Shuffle(larger, func(i, j int) { name[i], name[j] = name[j], name[i] })
	draw.Shuffle(w.levels-larger, func(i, j int) { name[larger+i], name[larger+j] = name[larger+j], name[larger+i] })
	for i, l := range level {
		level[i] = name[l]
	}
}
