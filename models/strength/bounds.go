package strength

import (
	"cmp"
	"context"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
)

// Step is one fall of a product-limit curve: the share that would still hold above a load.
type Step struct {
	Load   float64
	Holds  float64
	AtRisk int // specimens that reached the load
}

// ProductLimit is the share of specimens that this way of breaking alone would leave unbroken
// above each load, no distribution assumed (Kaplan & Meier 1958); a specimen censored at
// a load was at risk of breaking at it.
func ProductLimit(ctx context.Context, load []float64, ended []bool) []Step {
	order := ordered(ctx, load)
	var out []Step
	holds := 1.0
	for at := 0; at < len(order); {
		y, from, breaks := load[order[at]], at, 0
		for ; at < len(order) && load[order[at]] == y; at++ {
			if ended[order[at]] {
				breaks++
			}
		}
		if breaks > 0 {
			risk := len(order) - from
			holds *= float64(risk-breaks) / float64(risk)
			out = append(out, Step{Load: y, Holds: holds, AtRisk: risk})
		}
	}
	return out
}

// Bounds are the medians possible with nothing assumed of how a specimen's strengths go
// together (Peterson 1976, PNAS 73): Low as if every censored specimen would have broken so
// at once, High as if none ever would, +Inf where fewer than half broke so. Where a half is
// met exactly, any load up to the next is a median, and the outermost is given. NaN without loads.
func Bounds(ctx context.Context, load []float64, ended []bool) verdict.Range {
	if len(load) == 0 {
		return verdict.Range{Low: math.NaN(), High: math.NaN()}
	}
	order := ordered(ctx, load)
	out := verdict.Range{Low: load[order[(len(load)-1)/2]], High: math.Inf(1)}
	breaks := 0
	for _, i := range order {
		if !ended[i] {
			continue
		}
		if breaks++; 2*breaks > len(load) {
			out.High = load[i]
			break
		}
	}
	return out
}

// BoundsRange allows for the scatter of the specimens too: with the given confidence every
// median that is possible lies in it, whatever the distributions. Low is the confidence limit of
// the median of all loads, High that of the load by which half have broken so, both from the
// order statistics by the exact binomial distribution (Thompson 1936, Ann. Math. Statist. 7; each side at
// half of what is left of the confidence). Infinite where so few specimens give no limit.
func BoundsRange(ctx context.Context, load []float64, ended []bool, confidence float64) verdict.Range {
	out := verdict.Range{Low: math.Inf(-1), High: math.Inf(1)}
	half := distuv.Binomial{N: float64(len(load)), P: 0.5}
	least := 0 // so many of the loads, or fewer, lie below a median too seldom to allow for
	for least < len(load) && half.CDF(float64(least)) <= (1-confidence)/2 {
		parallel.LookAt(ctx, least)
		least++
	}
	if least == 0 {
		return out
	}
	order := ordered(ctx, load)
	out.Low = load[order[least-1]]
	breaks := 0
	for _, i := range order {
		if ended[i] {
			if breaks++; breaks == len(load)-least+1 {
				out.High = load[i]
				break
			}
		}
	}
	return out
}

func ordered(ctx context.Context, load []float64) []int {
	order := lists.Indices(len(load))
	parallel.SortFunc(ctx, order, func(a, b int) int { return cmp.Compare(load[a], load[b]) })
	return order
}
