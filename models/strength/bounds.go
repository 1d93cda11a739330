package strength

import (
	"math"
	"slices"

	"breakbook/models/verdict"
)

// Step is one fall of a product-limit curve: the share that would still hold above a load.
type Step struct {
	Load   float64
	Holds  float64
	AtRisk int // specimens that reached the load
}

// ProductLimit is the share of specimens that this way of breaking alone would leave unbroken
// above each load, no distribution assumed (Kaplan & Meier 1958); a specimen cut short at
// a load was at risk of breaking at it.
func ProductLimit(load []float64, ended []bool) []Step {
	order := ordered(load)
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
// together (Peterson 1976, PNAS 73): Low as if every specimen cut short would have broken so
// at once, High as if none ever would, +Inf where fewer than half broke so. Where a half is
// met exactly, any load up to the next is a median, and the outermost is given. NaN without loads.
func Bounds(load []float64, ended []bool) verdict.Range {
	if len(load) == 0 {
		return verdict.Range{Low: math.NaN(), High: math.NaN()}
	}
	order := ordered(load)
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

func ordered(load []float64) []int {
	order := make([]int, len(load))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case load[a] < load[b]:
			return -1
		case load[a] > load[b]:
			return 1
		}
		return 0
	})
	return order
}
