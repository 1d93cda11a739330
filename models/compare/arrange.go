package compare

import (
	"context"
	"math"

	"breakbook/models/parallel"
)

// mostArrangements is how many arrangements of labels are all looked at; of more, some
// are drawn.
const mostArrangements = 200_000

// deal is the values of one block, to be dealt out to its levels.
type deal struct {
	values []float64
	counts []int // specimens a level
}

// arrangements is how many ways there are to deal the values of all blocks, or any
// number above mostArrangements where there are more.
func arrangements(blocks []deal) float64 {
	all := 1.0
	for _, b := range blocks {
		remaining := len(b.values)
		for _, c := range b.counts {
			// The number of ways to choose c of those left: whole at every step.
			c = min(c, remaining)
			choices := 1.0
			for i := range min(c, remaining-c) {
				if choices = math.Round(choices * float64(remaining-i) / float64(i+1)); choices > mostArrangements {
					return choices
				}
			}
			remaining -= c
			if all *= choices; all > mostArrangements {
				return all
			}
		}
	}
	return all
}

// dealer deals the values of blocks in every way there is, keeping the sum of each level.
type dealer struct {
	ctx       context.Context
	blocks    []deal
	rest      [][]float64 // by block: the sum of the values from each place on
	remaining []int
	sums      []float64
	visit     func(sums []float64)
	seen      int
}

// everyArrangement calls visit with the sums of the levels, once for each way to deal
// the values out. Each sum is added up afresh on its way down, so no error builds up. It looks
// at ctx.
func everyArrangement(ctx context.Context, blocks []deal, levels int, visit func(sums []float64)) {
	d := &dealer{ctx: ctx, blocks: blocks, remaining: make([]int, levels), sums: make([]float64, levels), visit: visit}
	for _, b := range blocks {
		rest := make([]float64, len(b.values)+1)
		for i := len(b.values) - 1; i >= 0; i-- {
			rest[i] = rest[i+1] + b.values[i]
		}
		d.rest = append(d.rest, rest)
	}
	d.block(0)
}

func (d *dealer) block(b int) {
	if b == len(d.blocks) {
		d.seen++
		parallel.LookAt(d.ctx, d.seen)
		d.visit(d.sums)
		return
	}
	kept := append([]int(nil), d.remaining...)
	copy(d.remaining, d.blocks[b].counts)
	d.place(b, 0)
	copy(d.remaining, kept)
}

// place deals the values of block b from place at on.
func (d *dealer) place(b, at int) {
	open, last := 0, 0
	for l, n := range d.remaining {
		if n > 0 {
			open, last = open+1, l
		}
	}
	if open <= 1 {
		was := d.sums[last]
		d.sums[last] += d.rest[b][at]
		d.block(b + 1)
		d.sums[last] = was
		return
	}
	for l := range d.remaining {
		if d.remaining[l] == 0 {
			continue
		}
		was := d.sums[l]
		d.remaining[l]--
		d.sums[l] += d.blocks[b].values[at]
		d.place(b, at+1)
		d.sums[l] = was
		d.remaining[l]++
	}
}
