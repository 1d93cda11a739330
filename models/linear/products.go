package linear

import (
	"context"
	"math"
	"runtime"

	"breakbook/models/exact"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// table is the matrix beside its response, every column scaled by a power of two (exact)
// so that its largest value is near one. Rows of weight 0 are not looked at.
type table struct {
	n       int
	hi, lo  [][]float64 // by column; lo[j] is nil for a column held exactly
	scale   []float64   // by column
	yHi     []float64   // the response, measured from its mean unless through zero
	yLo     []float64
	yScale  float64
	weights []float64 // nil: all one
}

func newTable(ctx context.Context, columns, low [][]float64, yHi, yLo, weights []float64) *table {
	t := &table{n: len(yHi), hi: columns, lo: low, yHi: yHi, yLo: yLo, weights: weights}
	t.yScale = t.powerOfTwo(yHi)
	t.scale = make([]float64, len(columns))
	parallel.Heed(parallel.Each(ctx, len(columns), func(_ context.Context, j int) error {
		t.scale[j] = t.powerOfTwo(columns[j])
		return nil
	}))
	return t
}

// weight of a row.
func (t *table) weight(i int) float64 {
	if t.weights == nil {
		return 1
	}
	return t.weights[i]
}

// powerOfTwo brings the largest |x| of the rows used into [1/2, 1).
func (t *table) powerOfTwo(x []float64) float64 {
	largest := 0.0
	for i, v := range x {
		if t.weight(i) != 0 {
			largest = max(largest, math.Abs(v))
		}
	}
	_, e := math.Frexp(largest)
	return math.Ldexp(1, -e)
}

// row is one row of the table gathered without its zeros, or multiplied by a triangle.
type row struct {
	index  []int
	hi, lo []float64
	n      int // entries in use
}

func newRow(p int) *row {
	return &row{index: make([]int, p+1), hi: make([]float64, p+1), lo: make([]float64, p+1)}
}

func (r *row) push(index int, hi, lo float64) {
	r.index[r.n], r.hi[r.n], r.lo[r.n] = index, hi, lo
	r.n++
}

// gather fills r with the scaled columns of row i.
func (t *table) gather(r *row, i int) {
	r.n = 0
	for j, x := range t.hi {
		if h := x[i]; h != 0 {
			l := 0.0
			if t.lo[j] != nil {
				l = t.lo[j][i]
			}
			r.push(j, h*t.scale[j], l*t.scale[j])
		}
	}
}

// times fills r with x·m to 32 digits. Below its diagonal m is zero; it may have a column
// more than rows.
func (r *row) times(x *row, m square) {
	p := len(m[0])
	for k := range p {
		r.index[k], r.hi[k], r.lo[k] = k, 0, 0
	}
	r.n = p
	for a := range x.n {
		j, xh, xl := x.index[a], x.hi[a], x.lo[a]
		line := m[j][j:p]
		rh, rl := r.hi[j:p], r.lo[j:p]
		for k := range line {
			rh[k], rl[k] = plus(rh[k], rl[k], xh, xl, line[k].Hi, line[k].Lo)
		}
	}
	for k := range p {
		r.hi[k], r.lo[k] = exact.QuickTwoSum(r.hi[k], r.lo[k])
	}
}

// timesNear fills r with x·m to float64. Below its diagonal m is zero.
func (r *row) timesNear(x *row, m [][]float64) {
	r.n = len(m)
	clear(r.hi[:r.n])
	for a := range x.n {
		j, v := x.index[a], x.hi[a]
		to := r.hi[j:r.n]
		for k, c := range m[j][j:] {
			to[k] += v * c
		}
	}
}

// dot is x·b to 32 digits.
func (r *row) dot(b []exact.DD) exact.DD {
	var sum, low float64
	for a := range r.n {
		c := b[r.index[a]]
		sum, low = plus(sum, low, r.hi[a], r.lo[a], c.Hi, c.Lo)
	}
	sum, low = exact.QuickTwoSum(sum, low)
	return exact.DD{Hi: sum, Lo: low}
}

// sums are the upper triangle of cross products, row by row.
type sums struct {
	start  []int // start[i]+j is where the product of i and j stands
	hi, lo []float64
}

func newSums(p int) *sums {
	s := &sums{start: make([]int, p)}
	at := 0
	for i := range p {
		s.start[i] = at - i
		at += p - i
	}
	s.hi, s.lo = make([]float64, at), make([]float64, at)
	return s
}

// add adds w·rᵢ·rⱼ for every pair of entries; products and sums carry their rounding
// errors along (Ogita, Rump and Oishi 2005, algorithm 5.3).
func (s *sums) add(r *row, w float64) {
	index, hi, lo := r.index[:r.n], r.hi[:r.n], r.lo[:r.n]
	for a, i := range index {
		xh, xl := hi[a], lo[a]
		if w != 1 {
			q, e := exact.TwoProd(xh, w)
			xh, xl = q, math.FMA(xl, w, e)
		}
		if len(index) == len(s.start) { // no zeros: one run of sums
			from := s.start[i] + i
			addRun(s.hi[from:], s.lo[from:], hi[a:], lo[a:], xh, xl)
			continue
		}
		start := s.start[i]
		for b := a; b < len(index); b++ {
			k := start + index[b]
			s.hi[k], s.lo[k] = plus(s.hi[k], s.lo[k], xh, xl, hi[b], lo[b])
		}
	}
}

// addRun adds x·y to as many sums as there are y.
func addRun(sumHi, sumLo, yHi, yLo []float64, xh, xl float64) {
	sumHi, sumLo, yLo = sumHi[:len(yHi)], sumLo[:len(yHi)], yLo[:len(yHi)]
	for k, yh := range yHi {
		sumHi[k], sumLo[k] = plus(sumHi[k], sumLo[k], xh, xl, yh, yLo[k])
	}
}

// plus is a sum and its low part with x·y added, to 32 digits.
func plus(hi, lo, xh, xl, yh, yl float64) (float64, float64) {
	q := xh * yh
	e := math.FMA(xh, yh, -q) + (xh*yl + xl*yh)
	sum := hi + q
	t := sum - hi
	return sum, lo + ((hi - (sum - t)) + (q - t) + e)
}

// blocks calls work for consecutive blocks of rows, in rounds of as many as there are slots, and then gather
// for each in order: the answer does not depend on how many there are. Between rounds it looks at ctx. cost is
// of a row, in multiplications.
func (t *table) blocks(ctx context.Context, cost int, work func(slot, from, to int), gather func(slot int)) {
	size, slots := t.rounds(cost)
	report := func(int, int) {}
	if t.n > manyRows {
		report = parallel.ProgressOf(ctx)
	}
	for from := 0; from < t.n; from += size * slots {
		report(from, t.n)
		used := min(slots, (t.n-from+size-1)/size)
		parallel.Heed(parallel.Each(ctx, used, func(_ context.Context, slot int) error {
			start := from + slot*size
			work(slot, start, min(start+size, t.n))
			return nil
		}))
		for slot := range used {
			gather(slot)
		}
	}
	parallel.Look(ctx)
}

// manyRows is from how many rows on a pass over them tells how far it has come.
const manyRows = 1 << 17

// rounds is how many rows, of a cost in multiplications, make a block, and how many blocks, each in its slot, make
// a round: several for each core, so that few wait for the last of them.
func (t *table) rounds(cost int) (size, slots int) {
	size = min(max(1<<20/max(cost, 1), 16), 1<<13)
	return size, min(8*runtime.GOMAXPROCS(0), (t.n+size-1)/size)
}

// products are the cross products of [X·m, y] in double-double, the response last; m nil is X.
func (t *table) products(ctx context.Context, m square) square {
	p := len(t.hi)
	total := newSquare(p + 1)
	type bench struct {
		raw, made *row
		sums      *sums
	}
	cost := p * p
	_, slots := t.rounds(cost)
	benches := lists.Made(slots, func(k int) bench { return bench{newRow(p), newRow(p), newSums(p + 1)} })
	work := func(slot, from, to int) {
		b := benches[slot]
		clear(b.sums.hi)
		clear(b.sums.lo)
		for i := from; i < to; i++ {
			w := t.weight(i)
			if w == 0 {
				continue
			}
			t.gather(b.raw, i)
			r := b.raw
			if m != nil {
				r = b.made
				r.times(b.raw, m)
			}
			r.push(p, t.yHi[i]*t.yScale, t.yLo[i]*t.yScale)
			b.sums.add(r, w)
		}
	}
	gather := func(slot int) {
		s := benches[slot].sums
		for i := range total {
			for j := i; j <= p; j++ {
				k := s.start[i] + j
				hi, lo := exact.TwoSum(s.hi[k], s.lo[k])
				total[i][j] = total[i][j].Add(exact.DD{Hi: hi, Lo: lo})
			}
		}
	}
	t.blocks(ctx, cost, work, gather)
	return total
}
