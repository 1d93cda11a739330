package compare

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/design"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// ReshuffleDesign is a fit laid out for reshuffling: its columns and response times the root of
// the weights where it has weights.
type ReshuffleDesign struct {
	Response []float64
	Rest     [][]float64 // columns without the factor, the baseline among them
	Own      [][]float64 // columns with the factor, alone or combined
	Levels   [][]float64 // by level: what each Own column weighs in its adjusted mean
	Blocks   []int       // the block of each specimen; nil: all in one
	Rows     [][2]int    // the differences looked at together, where they are not all pairs nor all against one
}

// ReshuffledFit compares the adjusted means m of a fit's levels as Reshuffled does raw
// ones: the residuals of the fit without the factor are reordered, added to what that
// fit expects, and fitted again with the factor (Freedman & Lane 1983). Every order within
// blocks is looked at where there are at most 200 000; of 5 000 specimens and more in one
// block, orders are drawn as turns of a ring (turner). Errors are *Error or the context's.
func ReshuffledFit(ctx context.Context, f ReshuffleDesign, m Means, ref int, o Options) (_ *Result, err error) {
	defer parallel.Catch(&err)
	if err := m.check(); err != nil {
		return nil, err
	}
	if ref >= len(m.Mean) {
		return nil, &Error{"no-such-level", ref}
	}
	rows := allPairs(len(m.Mean))
	if ref >= 0 {
		rows = againstOne(len(m.Mean), ref)
	}
	family := tests(m, len(rows), ref)
	if f.Rows != nil {
		rows = f.Rows
		family = bonferroni{float64(len(rows)), m.DF}
	}
	o, err = o.filled()
	if err != nil {
		return nil, err
	}
	l := newReducedFit(ctx, f, rows)
	if !(l.df > 0) {
		return nil, &Error{"no-freedom-left", -1}
	}
	return m.fromShuffles(ctx, rows, l.reshuffle(ctx, o), family, o), nil
}

// reducedFit is the fit without the factor: its residuals, and what the factor explains of them.
type reducedFit struct {
	span     design.Span
	rest     int // directions without the factor
	values   []float64
	squares  float64
	df       float64
	rows     [][]float64 // by row: its difference as coordinates along the factor's directions
	blocks   [][]int     // the specimens of each
	specimen int
}

func newReducedFit(ctx context.Context, f ReshuffleDesign, rows [][2]int) *reducedFit {
	l := &reducedFit{specimen: len(f.Response)}
	for _, c := range f.Rest {
		l.span.Add(ctx, c)
	}
	l.rest = len(l.span.Directions)
	l.values = l.span.Rest(ctx, f.Response)
	l.squares = floats.Dot(l.values, l.values)
	var taken []int
	var coords [][]float64
	for j, c := range f.Own {
		if at, added := l.span.Add(ctx, c); added {
			taken = append(taken, j)
			coords = append(coords, at[l.rest:])
		}
	}
	l.df = float64(len(f.Response) - len(l.span.Directions))
	for _, row := range rows {
		// coords are the columns of an upper triangle R; Rᵀ c = w gives c.
		c := make([]float64, len(taken))
		for i, j := range taken {
			c[i] = f.Levels[row[1]][j] - f.Levels[row[0]][j]
			for k := range i {
				c[i] -= coords[i][k] * c[k]
			}
			c[i] /= coords[i][i]
		}
		l.rows = append(l.rows, c)
	}
	l.blocks = make([][]int, 1)
	for i := range f.Response {
		b := 0
		if f.Blocks != nil {
			b = f.Blocks[i]
		}
		for b >= len(l.blocks) {
			l.blocks = append(l.blocks, nil)
		}
		l.blocks[b] = append(l.blocks[b], i)
	}
	return l
}

// orders is how many orders within blocks there are, or more than mostArrangements.
func (l *reducedFit) orders() float64 {
	all := 1.0
	for _, b := range l.blocks {
		for i := range b {
			if all *= float64(i + 1); all > mostArrangements {
				return all
			}
		}
	}
	return all
}

// largest is the largest |t| of the rows for one order of the values, and F of the factor;
// coords has room for the values' coordinates along all directions.
func (l *reducedFit) largest(values, coords []float64) (t, f float64) {
	for d, u := range l.span.Directions {
		coords[d] = floats.Dot(u, values)
	}
	return l.statistics(coords)
}

// statistics are those of largest, from the coordinates of an order of the values.
func (l *reducedFit) statistics(coords []float64) (t, f float64) {
	residualSS, factorSS := l.squares, 0.0
	for d, x := range coords {
		residualSS -= x * x
		if d >= l.rest {
			factorSS += x * x
		}
	}
	along := coords[l.rest:]
	for _, c := range l.rows {
		t = math.Max(t, math.Abs(floats.Dot(c, along))/math.Sqrt(floats.Dot(c, c)))
	}
	if residualSS <= 1e-13*l.squares {
		residualSS = 0
	}
	if q := float64(len(along)); q > 0 {
		f = factorSS / q / (residualSS / l.df)
	}
	return t / math.Sqrt(residualSS/l.df), f
}

// reshuffle looks at every order or at o.Times of them.
func (l *reducedFit) reshuffle(ctx context.Context, o Options) *shuffles {
	coords := make([]float64, len(l.span.Directions))
	_, observed := l.largest(l.values, coords)
	s := &shuffles{every: l.orders() <= mostArrangements}
	least := observed * (1 - tie)
	switch {
	case s.every:
		values := slices.Clone(l.values)
		everyOrder(ctx, l.blocks, values, func() {
			t, f := l.largest(values, coords)
			s.take(t, f >= least)
		})
	case len(l.blocks) == 1 && l.specimen >= longSeries:
		s.draw(ctx, o, mostTurns, least, l.turner(ctx))
	default:
		s.draw(ctx, o, resample.BlockFor(l.specimen*(5+len(l.span.Directions))), least, l.shuffler)
	}
	q := len(l.span.Directions) - l.rest
	return s.finish(ctx, Overall{DF1: float64(q), DF2: l.df, F: observed})
}

// shuffler deals the values out within blocks, each arrangement by itself.
func (l *reducedFit) shuffler() dealing {
	values, block := make([]float64, l.specimen), make([]float64, l.specimen)
	coords := make([]float64, len(l.span.Directions))
	return func(draw *rand.Rand, _ int) func() (t, explained float64) {
		return func() (t, explained float64) {
			resample.Within(draw, l.blocks, l.values, values, block)
			return l.largest(values, coords)
		}
	}
}

// everyOrder puts the values of each block into every order there is and calls visit at
// each. It looks at ctx.
func everyOrder(ctx context.Context, blocks [][]int, values []float64, visit func()) {
	seen := 0
	var place func(b, at int)
	place = func(b, at int) {
		switch {
		case b == len(blocks):
			seen++
			parallel.LookAt(ctx, seen)
			visit()
			return
		case at >= len(blocks[b])-1:
			place(b+1, 0)
			return
		}
		in := blocks[b]
		for i := at; i < len(in); i++ {
			values[in[at]], values[in[i]] = values[in[i]], values[in[at]]
			place(b, at+1)
			values[in[at]], values[in[i]] = values[in[i]], values[in[at]]
		}
	}
	place(0, 0)
}

// Beyond tests what the Own columns of a design add to its Rest: F, its P by reshuffling
// the residuals of the Rest as ReshuffledFit does (Levels are not used). All is NaN where
// they add no direction. Errors are *Error ("no-freedom-left") or the context's.
func Beyond(ctx context.Context, f ReshuffleDesign, o Options) (_ Overall, err error) {
	defer parallel.Catch(&err)
	l := newReducedFit(ctx, f, nil)
	switch {
	case !(l.df > 0):
		return Overall{}, &Error{"no-freedom-left", -1}
	case len(l.span.Directions) == l.rest:
		return Overall{math.NaN(), math.NaN(), math.NaN(), math.NaN()}, nil
	}
	return l.reshuffle(ctx, o).overall, nil
}
