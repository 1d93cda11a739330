// Package shares parts what a set of terms explains among them: each term's average gain
// over all orders in which they can enter.
package shares

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"breakbook/models/design"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// Share is what one term gets. A category is all its levels at once; a combined term enters
// only after its parts. All are shares of the whole: of the squares about the mean, or of
// ln L₀ for a mode.
type Share struct {
	Share      float64 // average gain over all orders of entry; they add up to Explained
	Low, High  float64 // interval by resampling specimens; NaN where too few resamples could be fitted
	ByChance   float64 // df/(n − 1): what a term with no effect would get
	Alone      float64 // gain where it enters as early as it may: first, or right after its parts
	BeyondRest float64 // gain where it enters as late as it may: after all terms it is no part of
	P          float64 // reshuffle p of BeyondRest; NaN where no reshuffle within blocks changes the term
	Error      float64 // standard error of Share where orders were sampled; else 0
}

// Result is the shares of all terms of a model, in their order.
type Result struct {
	Shares    []Share
	Explained float64
	N         int
	Orders    int // sampled; 0: all there are
	Resamples int // that could be fitted
	Times     int // reshuffles behind P, at most
}

// Options of a parting. Zero numbers stand for the defaults: 0.95; 999 resamples; 9 999
// reshuffles of a measure, 999 of a mode; 2 000 orders of a measure, 200 of a mode.
type Options struct {
	Confidence float64
	Seed       uint64
	Resamples  int
	Times      int
	Orders     int
	Blocks     []int // the block of each specimen: resampled whole, reshuffled within; nil: none
	Progress   func(done, total int)
}

// mostTerms is the largest number of terms whose orders are all gone through; mostSampled
// the largest that is taken at all.
const (
	mostTerms   = 12
	mostSampled = 60
)

// Error says why nothing can be shared out. Codes: "too-many-terms", "no-terms", "all-equal"
// (the measure, or whether the mode, is the same throughout), "too-few-specimens",
// "not-a-number", "through-zero" (explained is then not about the mean), and those of
// design.Error, whose Term is taken over.
type Error struct {
	Code string
	Term int // or -1
}

func (e *Error) Error() string { return fmt.Sprintf("%s (term %d)", e.Code, e.Term) }

// stepwise is a model whose terms enter one after the other.
type stepwise interface {
	// every is the value of every allowed set, by mask; 0 for those not allowed.
	every(ctx context.Context, p *precedence) []float64
	// along is the gains of the terms as they enter in an order.
	along(ctx context.Context, order []int, gains []float64)
}

// resampler is a source of models on resampled specimens: count says how often each is in.
type resampler interface {
	stepwise
	resampled(ctx context.Context, count []float64) (stepwise, bool)
	// beyond is the reshuffle p of what t adds to the set; NaN where it cannot be told.
	beyond(ctx context.Context, t int, set uint64, o Options) (p float64, err error)
	// adds is how many directions t adds to the set.
	adds(ctx context.Context, t int, set uint64) int
	cost() int // of one model, in nanoseconds, roughly
}

// part works out the shares of a model.
func part(ctx context.Context, g resampler, p *precedence, n int, o Options) (*Result, error) {
	r := &Result{N: n, Times: o.Times}
	value := p.gains(ctx, g, o.Seed, o.Orders)
	if p.terms > mostTerms {
		r.Orders = o.Orders
	}
	gains := make([]float64, p.terms)
	for t := range p.terms {
		s := Share{Share: value.mean[t], Error: value.error[t]}
		r.Explained += s.Share
		for _, one := range []struct {
			set uint64
			to  *float64
		}{{p.alone(t), &s.Alone}, {p.rest(t), &s.BeyondRest}} {
			g.along(ctx, p.through(one.set, t), gains)
			*one.to = gains[t]
		}
		s.ByChance = float64(g.adds(ctx, t, p.alone(t))) / float64(n-1)
		var err error
		if s.P, err = g.beyond(ctx, t, p.rest(t), o.phase(t, p.terms+1)); err != nil {
			return nil, err
		}
		r.Shares = append(r.Shares, s)
	}
	r.resample(ctx, g, p, n, o.phase(p.terms, p.terms+1))
	return r, nil
}

// phase is the options for one of several phases of work, reported as one by thousandths.
func (o Options) phase(i, of int) Options {
	const each = 1000
	if tell := o.Progress; tell != nil {
		o.Progress = func(done, total int) { tell(each*i+each*done/total, each*of) }
	}
	return o
}

// through is an allowed order in which t enters right after the terms of the set.
func (p *precedence) through(set uint64, t int) []int {
	var head, tail []int
	for _, u := range p.first() {
		switch {
		case set>>u&1 == 1:
			head = append(head, u)
		case u != t:
			tail = append(tail, u)
		}
	}
	return append(append(head, t), tail...)
}

// meanGains are average gains, with the errors of the averages where orders were sampled.
type meanGains struct{ mean, error []float64 }

// gains averages over all orders, or over as many drawn ones as said.
func (p *precedence) gains(ctx context.Context, g stepwise, seed uint64, orders int) *meanGains {
	out := &meanGains{make([]float64, p.terms), make([]float64, p.terms)}
	if p.terms <= mostTerms {
		out.mean = p.averages(g.every(ctx, p))
		return out
	}
	draw := resample.Stream(seed, -1)
	order, gains := p.first(), make([]float64, p.terms)
	for i := range orders {
		parallel.Look(ctx)
		p.draw(draw, order)
		g.along(ctx, order, gains)
		for t, gain := range gains { // Welford (1962)
			d := gain - out.mean[t]
			out.mean[t] += d / float64(i+1)
			out.error[t] += d * (gain - out.mean[t])
		}
	}
	m := float64(orders)
	for t := range out.error {
		out.error[t] = math.Sqrt(out.error[t] / (m - 1) / m)
	}
	return out
}

// leastFitted is the share of resamples that must be fitted for there to be an interval.
const leastFitted = 0.5

// resample fills in the intervals: the shares of specimens drawn with replacement, whole
// blocks where there are such, between their quantiles (Efron 1979; Efron & Tibshirani
// 1993, section 13.3).
func (r *Result) resample(ctx context.Context, g resampler, p *precedence, n int, o Options) {
	blocks := blockPlaces(o.Blocks, n)
	drawn := make([][]float64, o.Resamples)
	orders := max(20, o.Orders/20)
	w := resample.Work{Seed: o.Seed, Pieces: o.Resamples, Block: max(1, resample.BlockFor(g.cost())/8),
		Progress: o.Progress}
	parallel.Heed(resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		count := make([]float64, n)
		return func(draw *rand.Rand, from, to int) error {
			for i := from; i < to; i++ {
				clear(count)
				for range blocks {
					b := draw.Uint64N(uint64(len(blocks)))
					if o.Blocks == nil {
						count[b]++
						continue
					}
					for _, at := range blocks[b] {
						count[at]++
					}
				}
				if again, ok := g.resampled(ctx, count); ok {
					drawn[i] = p.gains(ctx, again, draw.Uint64(), orders).mean
				}
			}
			return nil
		}
	}))
	drawn = slices.DeleteFunc(drawn, func(v []float64) bool { return v == nil })
	r.Resamples = len(drawn)
	for t := range r.Shares {
		one := lists.Mapped(drawn, func(v []float64) float64 { return v[t] })
		slices.Sort(one)
		r.Shares[t].Low, r.Shares[t].High = math.NaN(), math.NaN()
		if float64(len(one)) >= leastFitted*float64(o.Resamples) && len(one) > 1 {
			r.Shares[t].Low, r.Shares[t].High = quantile(one, (1-o.Confidence)/2), quantile(one, (1+o.Confidence)/2)
		}
	}
}

// quantile is the value (n + 1)p places into sorted values, between neighbours where that
// is no whole number.
func quantile(sorted []float64, p float64) float64 {
	at := p*float64(len(sorted)+1) - 1
	low := max(0, min(int(math.Floor(at)), len(sorted)-1))
	high := min(low+1, len(sorted)-1)
	return sorted[low] + math.Max(0, math.Min(1, at-float64(low)))*(sorted[high]-sorted[low])
}

// blockPlaces are the specimens of each block; each its own where there are no blocks.
func blockPlaces(block []int, n int) [][]int {
	var out [][]int
	for i := range n {
		b := i
		if block != nil {
			b = block[i]
		}
		for b >= len(out) {
			out = append(out, nil)
		}
		out[b] = append(out[b], i)
	}
	return slices.DeleteFunc(out, func(b []int) bool { return len(b) == 0 })
}

// spell turns the model's terms into columns, by term, and finds their precedence.
func spell(ctx context.Context, n int, m design.Model) (terms [][][]float64, p *precedence, err error) {
	switch {
	case m.ThroughZero:
		return nil, nil, &Error{"through-zero", -1}
	case len(m.Terms) == 0:
		return nil, nil, &Error{"no-terms", -1}
	case len(m.Terms) > mostSampled:
		return nil, nil, &Error{"too-many-terms", -1}
	}
	matrix, err := design.Spell(ctx, n, m, design.FromBaseline)
	if e, ok := err.(*design.Error); ok {
		return nil, nil, &Error{e.Code, e.Term}
	}
	if err != nil {
		return nil, nil, err
	}
	terms = make([][][]float64, len(m.Terms))
	for j, l := range matrix.Labels {
		if l.Term >= 0 {
			terms[l.Term] = append(terms[l.Term], matrix.Columns[j])
		}
	}
	return terms, newPrecedence(m.Terms), nil
}

// picked is the rows kept of a column, each times its root; without roots as they are.
func picked(kept []int, root, column []float64) []float64 {
	out := make([]float64, len(kept))
	for k, i := range kept {
		out[k] = column[i]
		if root != nil {
			out[k] *= root[k]
		}
	}
	return out
}

// pickedTerms are the terms with all columns picked.
func pickedTerms(kept []int, root []float64, terms [][][]float64) [][][]float64 {
	out := make([][][]float64, len(terms))
	for t, columns := range terms {
		for _, c := range columns {
			out[t] = append(out[t], picked(kept, root, c))
		}
	}
	return out
}

// filled puts the defaults in.
func (o Options) filled(times, orders int) Options {
	if o.Confidence == 0 {
		o.Confidence = 0.95
	}
	if o.Resamples == 0 {
		o.Resamples = 999
	}
	if o.Times == 0 {
		o.Times = times
	}
	if o.Orders == 0 {
		o.Orders = orders
	}
	return o
}
