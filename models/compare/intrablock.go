package compare

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
)

// intrablock is the least-squares comparison of levels within blocks, laid out so that
// dealing the specimens of each block out anew changes nothing but the levels' totals of
// the values measured from their block's mean (the textbook's intrablock analysis: Yates
// 1940; John 1971, chapter 11). One block is the plain comparison of means with one sd.
type intrablock struct {
	levels   int
	values   []deal    // by block: measured from its mean; blocks with one level left out
	totals   []float64 // of the levels, as observed
	inverse  [][]float64
	squares  float64 // of all values about their block's mean
	df       float64 // residual
	number   []float64
	grand    float64   // mean of all
	variance []float64 // of the rows' differences, in units of the residual variance
	rows     [][2]int
}

// newIntrablock lays out values by level and the block of each (nil: all in one). The
// error is *Error: those of Groups, "not-within-blocks", "no-freedom-left". It is
// parallel.Stopped where ctx ends.
func newIntrablock(ctx context.Context, values [][]float64, blocks [][]int, rows [][2]int) (*intrablock, error) {
	if err := check(ctx, values); err != nil {
		return nil, err
	}
	k := len(values)
	d := &intrablock{levels: k, totals: make([]float64, k), number: make([]float64, k), rows: rows}
	n, used := d.spread(ctx, values, blocks)
	if err := d.invert(n); err != nil {
		return nil, err
	}
	for _, x := range d.number {
		d.df += x
	}
	if d.df -= float64(used + k - 1); !(d.df > 0) {
		return nil, &Error{"no-freedom-left", -1}
	}
	for _, row := range rows {
		i, j := row[0], row[1]
		d.variance = append(d.variance, d.inverse[i][i]+d.inverse[j][j]-2*d.inverse[i][j])
	}
	return d, nil
}

// spread fills in values, totals and squares, and returns the number of specimens by
// block and level, and how many blocks there are.
func (d *intrablock) spread(ctx context.Context, values [][]float64, blocks [][]int) (n [][]float64, used int) {
	all := 0
	for l, level := range values {
		for i, v := range level {
			parallel.LookAt(ctx, i)
			b := 0
			if blocks != nil {
				b = blocks[l][i]
			}
			for b >= len(d.values) {
				d.values = append(d.values, deal{counts: make([]int, d.levels)})
			}
			d.values[b].values = append(d.values[b].values, v)
			d.values[b].counts[l]++
			d.grand += (v - values[0][0])
			all++
		}
		d.number[l] = float64(len(level))
	}
	d.grand = values[0][0] + d.grand/float64(all)
	var several []deal
	for _, b := range d.values {
		if len(b.values) == 0 {
			continue
		}
		used++
		mean, squares := meanAndSquares(ctx, b.values)
		d.squares += squares
		at, open := 0, 0
		row := make([]float64, d.levels)
		for l, count := range b.counts { // the values of a block stand level by level
			for range count {
				b.values[at] -= mean
				d.totals[l] += b.values[at]
				at++
			}
			row[l] = float64(count)
			open += min(count, 1)
		}
		n = append(n, row)
		if open > 1 {
			several = append(several, b)
		}
	}
	d.values = several
	return n, used
}

// invert finds what turns totals into effects, the first level's being 0.
func (d *intrablock) invert(n [][]float64) error {
	k := d.levels
	d.inverse = square(k)
	c := mat.NewSymDense(k-1, nil)
	for _, row := range n {
		size := 0.0
		for _, x := range row {
			size += x
		}
		for i := 1; i < k; i++ {
			c.SetSym(i-1, i-1, c.At(i-1, i-1)+row[i])
			for j := 1; j <= i; j++ {
				c.SetSym(i-1, j-1, c.At(i-1, j-1)-row[i]*row[j]/size)
			}
		}
	}
	for i := 1; i < k; i++ {
		if !joined(n, i) {
			return &Error{"not-within-blocks", i}
		}
	}
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(c) || chol.InverseTo(&inverse) != nil {
		return &Error{"not-within-blocks", -1}
	}
	for i := 1; i < k; i++ {
		for j := 1; j < k; j++ {
			d.inverse[i][j] = inverse.At(i-1, j-1)
		}
	}
	return nil
}

// joined reports whether a chain of blocks that share levels leads from level 0 to level i.
func joined(n [][]float64, i int) bool {
	reached := make([]bool, len(n[0]))
	reached[0] = true
	for grew := true; grew; {
		grew = false
		for _, row := range n {
			any := false
			for l, x := range row {
				any = any || x > 0 && reached[l]
			}
			for l, x := range row {
				if any && x > 0 && !reached[l] {
					reached[l], grew = true, true
				}
			}
		}
	}
	return reached[i]
}

// effects of the levels with the given totals, and the sum of squares they explain.
func (d *intrablock) effects(totals, effects []float64) (explained float64) {
	for i := 1; i < d.levels; i++ {
		sum := 0.0
		for j := 1; j < d.levels; j++ {
			sum += d.inverse[i][j] * totals[j]
		}
		effects[i] = sum
		explained += sum * totals[i]
	}
	return explained
}

// largest is the largest squared t of the rows with the given totals (+Inf without
// residual variance), and the explained sum of squares.
func (d *intrablock) largest(totals, effects []float64) (t2, explained float64) {
	explained = d.effects(totals, effects)
	residualSS := d.squares - explained
	for r, row := range d.rows {
		diff := effects[row[1]] - effects[row[0]]
		t2 = math.Max(t2, diff*diff/d.variance[r])
	}
	if residualSS <= 1e-14*d.squares {
		if t2 <= 1e-14*d.squares {
			return 0, explained
		}
		return math.Inf(1), explained
	}
	return t2 / (residualSS / d.df), explained
}
