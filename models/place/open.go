package place

import (
	"context"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/halving"
	"breakbook/models/linear"
)

// mostFits is how many places a model is fitted at to tell what it expects with the place left open; of
// more, one stands for several by their share.
const mostFits = 80

// Open is a model with the place of its change left open: its terms fitted at every place, each with its
// share of the likelihood. The interval of what it expects somewhere is the middle of the mixture of the t
// distributions at all places: so it holds both sides of a jump wherever the data leave either more than a
// fortieth (95 %). That holds the truth in 94 to 96 of 100 over the range, and within a tenth of it from the
// place in 92 to 96; near a jump of one sd in 91 to 93 (testdata/measured/planning_step.txt), too few.
type Open struct {
	kind     Kind
	variable int
	column   int // of the change in the design
	fits     []fitAt
}

type fitAt struct {
	*linear.Fit
	Place
}

// Placed is a model with the place of its change, a term that is a Step or a Kink of one variable.
func Placed(m design.Model, term int, at float64) design.Model {
	factor := m.Terms[term].Factors[0]
	factor.Place, factor.Placed = at, true
	terms := append([]design.Term{}, m.Terms...)
	terms[term] = design.Term{Factors: []design.Factor{factor}}
	m.Terms, m.Searched = terms, 1
	return m
}

// LeaveOpen fits a model at the places that were found for the change that is one of its terms. Errors are
// those of linear.Solve.
func LeaveOpen(ctx context.Context, y []float64, m design.Model, term int, found *Found) (*Open, error) {
	out := &Open{kind: found.Kind, variable: m.Terms[term].Factors[0].Variable}
	for _, p := range standing(found.Places, mostFits) {
		one, err := linear.Solve(ctx, y, Placed(m, term, p.At))
		if err != nil {
			return nil, err
		}
		out.fits = append(out.fits, fitAt{one, p})
		for i, l := range one.Matrix.Labels {
			if l.Term == term {
				out.column = i
			}
		}
	}
	return out, nil
}

// standing are at most so many places: the middle one of each part of the likelihood, with its share.
func standing(all []Place, most int) []Place {
	if len(all) <= most {
		return all
	}
	var out []Place
	part, sum, due := 1/float64(most), 0.0, 0.5
	for _, p := range all {
		sum += p.Share
		n := 0.0
		for ; sum >= due*part && due < float64(most); due++ {
			n++
		}
		if n > 0 {
			p.Share = n * part
			out = append(out, p)
		}
	}
	return out
}

// Expected is what is known of the mean at a point, and of one new specimen of weight 1 there; ok is
// false where one of the fits cannot tell it. Within the gap of a step both sides have their part.
func (o *Open) Expected(ctx context.Context, p linear.Point) (mean, specimen Mixture, ok bool) {
	x, given := p.Numbers[o.variable]
	for _, f := range o.fits {
		w, can := f.Weights(p)
		if !can {
			return nil, nil, false
		}
		if !given { // at its mean
			x = f.Matrix.Centre[o.variable]
		}
		add := func(share float64) {
			e, _ := f.Combination(ctx, w)
			mean = append(mean, Part{Share: share, Value: e.Value, SE: e.SE, DF: e.DF})
			specimen = append(specimen, Part{Share: share, Value: e.Value, SE: math.Hypot(e.SE, f.Sigma), DF: e.DF})
		}
		if o.kind == Kink || !(f.From < x && x < f.To) {
			add(f.Share)
			continue
		}
		before := (x - f.From) / (f.To - f.From)
		if !(x > f.At) {
			w[o.column]++
		}
		add(f.Share * before)
		w[o.column]--
		add(f.Share * (1 - before))
	}
	return mean, specimen, true
}

// Mixture is what is known of a figure whose place of change is left open: at each place a t distribution
// about the estimate there, with the share of that place. The shares sum to one.
type Mixture []Part

// Part is the figure at one place.
type Part struct{ Share, Value, SE, DF float64 }

// below is the chance of the figure to be at most x.
func (m Mixture) below(x float64) float64 {
	sum := 0.0
	for _, p := range m {
		switch {
		case p.SE > 0:
			sum += p.Share * distuv.StudentsT{Mu: p.Value, Sigma: p.SE, Nu: p.DF}.CDF(x)
		case x >= p.Value:
			sum += p.Share
		}
	}
	return sum
}

// Quantile is the figure that has the share p of the mixture at or below it; 0 < p < 1.
func (m Mixture) Quantile(p float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, part := range m {
		at := part.Value + dist.TQuantile(p, part.DF)*part.SE
		low, high = min(low, at), max(high, at)
	}
	if !(low < high) {
		return low
	}
	near := halving.Near{Width: 1e-12 * (high - low), Value: 1e-13}
	return halving.Root(func(x float64) float64 { return m.below(x) - p }, low, high, near)
}

// Interval is the middle of the mixture with that share of it.
func (m Mixture) Interval(confidence float64) (low, high float64) {
	return m.Quantile((1 - confidence) / 2), m.Quantile((1 + confidence) / 2)
}
