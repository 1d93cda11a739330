package shares

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/design"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// OfMode parts the explained likelihood of a mode, 1 − ln L/ln L₀ of logistic fits
// (McFadden 1974), among the model's terms; where levels separate, ln L is what it comes up
// to. P is by reshuffling what the other terms leave of the term's columns (Potter 2005,
// Statistics in Medicine 24). Weights are not taken. Errors are *Error or the context's.
func OfMode(ctx context.Context, mode []bool, m design.Model, o Options) (_ *Result, err error) {
	defer parallel.Catch(&err)
	terms, p, err := spell(ctx, len(mode), m)
	if err != nil {
		return nil, err
	}
	o = o.filled(999, 200)
	d := trials{make([]float64, len(mode)), make([]float64, len(mode))}
	for i, is := range mode {
		d.all[i] = 1
		if is {
			d.hits[i] = 1
		}
	}
	g := &logistic{trials: d, blocks: o.Blocks, terms: terms, known: map[uint64]float64{}}
	if !g.varies() {
		return nil, &Error{"all-equal", -1}
	}
	columns := 0
	for t := range g.terms {
		columns += g.adds(ctx, t, p.rest(t))
	}
	if columns >= len(mode)-1 {
		return nil, &Error{"too-few-specimens", -1}
	}
	return part(ctx, g, p, len(mode), o)
}

// logistic is a logistic model whose terms enter one after the other.
type logistic struct {
	trials
	terms  [][][]float64 // by term: its columns
	blocks []int
	null   float64 // ln L₀
	known  map[uint64]float64
}

// varies fills in ln L₀; false where the mode is the same throughout.
func (g *logistic) varies() bool {
	hits, all := floats.Sum(g.hits), floats.Sum(g.all)
	if hits == 0 || hits == all {
		return false
	}
	g.null = hits*math.Log(hits/all) + (all-hits)*math.Log((all-hits)/all)
	return true
}

// columns of a set of terms, the baseline first.
func (g *logistic) columns(set uint64) [][]float64 {
	baseline := slices.Repeat([]float64{1}, len(g.all))
	out := [][]float64{baseline}
	for t, columns := range g.terms {
		if set>>t&1 == 1 {
			out = append(out, columns...)
		}
	}
	return out
}

// value of a set of terms. Each is fitted once.
func (g *logistic) value(ctx context.Context, set uint64) float64 {
	if v, ok := g.known[set]; ok || set == 0 {
		return v
	}
	v := 1 - g.supremum(ctx, g.columns(set))/g.null
	g.known[set] = v
	return v
}

func (g *logistic) every(ctx context.Context, p *precedence) []float64 {
	out := make([]float64, 1<<p.terms)
	for set := range out {
		if p.allowed(uint64(set)) {
			out[set] = g.value(ctx, uint64(set))
		}
	}
	return out
}

func (g *logistic) along(ctx context.Context, order []int, gains []float64) {
	set, before := uint64(0), 0.0
	for _, t := range order {
		set |= 1 << t
		v := g.value(ctx, set)
		gains[t], before = v-before, v
	}
}

func (g *logistic) adds(ctx context.Context, t int, set uint64) int {
	var s design.Span
	for _, c := range g.columns(set) {
		parallel.Look(ctx)
		s.Add(ctx, c)
	}
	from := len(s.Directions)
	for _, c := range g.terms[t] {
		parallel.Look(ctx)
		s.Add(ctx, c)
	}
	return len(s.Directions) - from
}

// cost of a resample: every set, or as many as the orders meet, ten steps each.
func (g *logistic) cost() int {
	columns := 1
	for _, t := range g.terms {
		columns += len(t)
	}
	return 10 * (1 << min(len(g.terms), mostTerms)) * len(g.all) * columns * columns
}

// resampled is the model of specimens counted so often each.
func (g *logistic) resampled(_ context.Context, count []float64) (stepwise, bool) {
	var kept []int
	out := &logistic{known: map[uint64]float64{}}
	for i, c := range count {
		if c > 0 {
			kept = append(kept, i)
			out.all = append(out.all, c*g.all[i])
			out.hits = append(out.hits, c*g.hits[i])
		}
	}
	out.terms = pickedTerms(kept, nil, g.terms)
	return out, out.varies()
}

func (g *logistic) beyond(ctx context.Context, t int, set uint64, o Options) (float64, error) {
	ones := g.columns(0)[0]
	if g.blocks != nil && constantWithin(g.terms[t], ones, g.blocks) {
		return math.NaN(), nil
	}
	rest := g.columns(set)
	var s design.Span
	for _, c := range rest {
		s.Add(ctx, c)
	}
	var own [][]float64
	for _, c := range g.terms[t] {
		if rest := s.Rest(ctx, c); floats.Dot(rest, rest) > 1e-22*floats.Dot(c, c) {
			own = append(own, rest)
		}
	}
	if len(own) == 0 {
		return math.NaN(), nil
	}
	observed := g.supremum(ctx, slices.Concat(rest, own))
	least := observed - 1e-9*math.Abs(observed)
	places := blockPlaces(g.blocks, len(g.all))
	if g.blocks == nil {
		places = [][]int{slices.Concat(places...)}
	}
	asWell := make([]bool, o.Times)
	w := resample.Work{Seed: o.Seed + uint64(t) + 1, Pieces: o.Times, Progress: o.Progress,
		Block: max(1, resample.BlockFor(g.cost()>>min(len(g.terms), mostTerms)))}
	err := resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		order, drawn, room := make([]float64, len(ones)), make([]float64, len(ones)), make([]float64, len(ones))
		for i := range order {
			order[i] = float64(i)
		}
		mixed := lists.Made(len(own), func(k int) []float64 { return make([]float64, len(ones)) })
		columns := slices.Concat(rest, mixed)
		return func(draw *rand.Rand, from, to int) error {
			for i := from; i < to; i++ {
				resample.Within(draw, places, order, drawn, room)
				for k, c := range own {
					for at, from := range drawn {
						mixed[k][at] = c[int(from)]
					}
				}
				asWell[i] = g.supremum(ctx, columns) >= least
			}
			return nil
		}
	})
	return float64(lists.Count(asWell, func(w bool) bool { return w })+1) / float64(o.Times+1), err
}
