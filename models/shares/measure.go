package shares

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/parallel"
)

// OfMeasure parts the explained variation of y (weighted where the model is) among the
// model's terms. P is by reshuffling the residuals of the fit without the term (Freedman &
// Lane 1983). Errors are *Error or the context's.
func OfMeasure(ctx context.Context, y []float64, m design.Model, o Options) (_ *Result, err error) {
	defer parallel.Catch(&err)
	terms, p, err := spell(ctx, len(y), m)
	if err != nil {
		return nil, err
	}
	o = o.filled(9_999, 2_000)
	var kept []int
	var root []float64
	for i := range y {
		if w := m.Weight(i); w > 0 {
			kept, root = append(kept, i), append(root, math.Sqrt(w))
		}
	}
	g := &measure{n: len(kept), baseline: root, y: picked(kept, root, y), terms: pickedTerms(kept, root, terms)}
	if o.Blocks != nil {
		for _, i := range kept {
			g.blocks = append(g.blocks, o.Blocks[i])
		}
		o.Blocks = g.blocks
	}
	switch {
	case !g.reduce(ctx):
		return nil, &Error{"all-equal", -1}
	case g.rank >= g.n-1:
		return nil, &Error{"too-few-specimens", -1}
	}
	if g.n >= longSeries {
		g.long = newLong(ctx, g)
	}
	return part(ctx, g, p, g.n, o)
}

// measure is a linear model whose terms enter one after the other. Its columns, and the
// response, are turned once into their coordinates along an orthonormal basis of them all,
// so that a set of terms costs the same for few specimens as for many.
type measure struct {
	n           int
	baseline, y []float64
	terms       [][][]float64 // by term: its columns
	blocks      []int

	basis    design.Span
	small    [][][]float64 // the columns as coordinates, the baseline taken off
	response []float64     // the response along the basis
	total    float64       // squares of the response about its mean
	rank     int           // of all terms, beyond the baseline
	long     *long         // what resamples of a long series are worked out from; nil for a short one
}

// reduce works out the coordinates; false where the response does not vary.
func (g *measure) reduce(ctx context.Context) bool {
	basis := &g.basis
	basis.Add(ctx, g.baseline)
	residuals := basis.Rest(ctx, g.y)
	g.total = floats.Dot(residuals, residuals)
	if !(g.total > 1e-28*floats.Dot(g.y, g.y)) {
		return false
	}
	g.small = make([][][]float64, len(g.terms))
	for t, columns := range g.terms {
		for _, c := range columns {
			parallel.Look(ctx)
			at, _ := basis.Add(ctx, c)
			g.small[t] = append(g.small[t], at[1:])
		}
	}
	g.rank = len(basis.Directions) - 1
	g.response = make([]float64, g.rank)
	for d, u := range basis.Directions[1:] {
		g.response[d] = floats.Dot(u, residuals)
	}
	for t := range g.small { // all to one length
		for j, c := range g.small[t] {
			g.small[t][j] = append(c, make([]float64, g.rank-len(c))...)
		}
	}
	return true
}

// enter adds a term's columns and returns its gain.
func (g *measure) enter(ctx context.Context, s *design.Span, t int) float64 {
	from := len(s.Directions)
	for _, c := range g.small[t] {
		s.Add(ctx, c)
	}
	return s.Squares(g.response, from) / g.total
}

// every goes through the allowed sets, each by way of the set without its last term, so
// that each costs one term. Terms stand after their parts, and else the more columns a term has
// the earlier, for each is entered half as often as the next.
func (g *measure) every(ctx context.Context, p *precedence) []float64 {
	value := make([]float64, 1<<p.terms)
	order := g.largestFirst(p)
	var s design.Span
	var from func(set uint64, at int)
	from = func(set uint64, at int) {
		parallel.Look(ctx)
		for i := at; i < len(order); i++ {
			t := order[i]
			if !p.may(set, t) {
				continue
			}
			kept := len(s.Directions)
			with := set | 1<<t
			value[with] = value[set] + g.enter(ctx, &s, t)
			from(with, i+1)
			s.Directions = s.Directions[:kept]
		}
	}
	from(0, 0)
	return value
}

// largestFirst is an allowed order in which the term that may enter with the most columns enters next.
func (g *measure) largestFirst(p *precedence) []int {
	var order []int
	for set := uint64(0); len(order) < p.terms; set |= 1 << order[len(order)-1] {
		next := -1
		for t := range p.terms {
			if set>>t&1 == 0 && p.may(set, t) && (next < 0 || len(g.small[t]) > len(g.small[next])) {
				next = t
			}
		}
		order = append(order, next)
	}
	return order
}

func (g *measure) along(ctx context.Context, order []int, gains []float64) {
	var s design.Span
	for _, t := range order {
		gains[t] = g.enter(ctx, &s, t)
	}
}

func (g *measure) adds(ctx context.Context, t int, set uint64) int {
	var s design.Span
	for u := range g.terms {
		parallel.Look(ctx)
		if set>>u&1 == 1 {
			g.enter(ctx, &s, u)
		}
	}
	from := len(s.Directions)
	g.enter(ctx, &s, t)
	return len(s.Directions) - from
}

// cost of a resample: turning the columns, then every set or the orders.
func (g *measure) cost() int {
	sets := 1 << min(len(g.terms), mostTerms)
	return 2*g.n*g.rank*g.rank + 4*sets*g.rank*g.rank
}

// resampled is the model of specimens counted so often each.
func (g *measure) resampled(ctx context.Context, count []float64) (stepwise, bool) {
	if g.long != nil {
		if out, ok := g.long.resampled(g, count); ok {
			return out, true
		}
	}
	var kept []int
	var root []float64
	for i, c := range count {
		if c > 0 {
			kept, root = append(kept, i), append(root, math.Sqrt(c))
		}
	}
	out := &measure{n: len(kept), baseline: picked(kept, root, g.baseline), y: picked(kept, root, g.y),
		terms: pickedTerms(kept, root, g.terms)}
	return out, out.reduce(ctx)
}

func (g *measure) beyond(ctx context.Context, t int, set uint64, o Options) (float64, error) {
	f := compare.ReshuffleDesign{Response: g.y, Rest: [][]float64{g.baseline}, Own: g.terms[t], Blocks: g.blocks}
	for u, columns := range g.terms {
		if set>>u&1 == 1 {
			f.Rest = append(f.Rest, columns...)
		}
	}
	if g.blocks != nil && constantWithin(f.Own, g.baseline, g.blocks) {
		return math.NaN(), nil
	}
	overall, err := compare.Beyond(ctx, f, compare.Options{Seed: o.Seed, Times: o.Times, Progress: o.Progress})
	return overall.P, err
}

// constantWithin reports whether no column, its weights taken off, varies within a block.
func constantWithin(columns [][]float64, root []float64, block []int) bool {
	for _, c := range columns {
		seen := map[int]float64{}
		for i, b := range block {
			x := c[i] / root[i]
			if before, met := seen[b]; met && math.Abs(x-before) > 1e-12*(math.Abs(x)+math.Abs(before)) {
				return false
			}
			seen[b] = x
		}
	}
	return true
}
