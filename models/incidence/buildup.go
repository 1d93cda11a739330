package incidence

import (
	"cmp"
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
)

// Step is the share that has failed in one mode by a load.
type Step struct {
	Load   float64
	AtRisk int     // specimens not ended, nor cut short, under this load
	Share  float64 // failed in this mode at this load or under it
	SE     float64
	Range  verdict.Range // NaN where the share is 1
}

// Whole is a specimen that did not break: its load is only a lower bound.
const Whole = -1

// Buildup is how the share of each of the modes 0, 1, …, number − 1 builds up with the load, one
// Step at each load where some specimen failed in that mode. It is Aalen & Johansen's estimate
// (1978): before each load, those that still hold are multiplied by the share of them that end
// so at it. A specimen that is Whole leaves after those that break at the same load. SE is
// Greenwood's carried over by the delta method (Marubini & Valsecchi 1995, 10.2): without
// whole specimens it is √(p(1 − p)/n). Intervals are taken on ln(−ln share). It is
// left by parallel.Look where ctx ends.
func Buildup(ctx context.Context, loads []float64, modes []int, number int, confidence float64) [][]Step {
	at := points(ctx, loads, modes, number)
	out := make([][]Step, number)
	z := -dist.TQuantile((1-confidence)/2, math.Inf(1))
	for k := range number {
		share, v := 0.0, spread{}
		for i, p := range at {
			parallel.LookAt(ctx, i)
			by := p.holding * float64(p.ended[k]) / float64(p.atRisk)
			share += by
			v.pass(p, k, by)
			if p.ended[k] == 0 {
				continue
			}
			s := Step{Load: p.load, AtRisk: p.atRisk, Share: share,
				SE: math.Sqrt(math.Max(0, v.ahead2+v.own-2*v.across))}
			s.Range = logLog(share, s.SE, z)
			out[k] = append(out[k], s)
		}
	}
	return out
}

// point is one load at which specimens broke.
type point struct {
	load    float64
	atRisk  int
	ended   []int   // by mode
	all     int     // in any mode
	holding float64 // the share that held up to here (Kaplan & Meier 1958)
}

func points(ctx context.Context, loads []float64, modes []int, number int) []point {
	order := lists.Indices(len(loads))
	parallel.SortFunc(ctx, order, func(a, b int) int {
		return cmp.Compare(loads[a], loads[b])
	})
	var out []point
	holding := 1.0
	for i := 0; i < len(order); {
		p := point{load: loads[order[i]], atRisk: len(order) - i, ended: make([]int, number), holding: holding}
		for ; i < len(order) && loads[order[i]] == p.load; i++ {
			if w := modes[order[i]]; w != Whole {
				p.ended[w]++
				p.all++
			}
		}
		if p.all > 0 {
			holding *= 1 - float64(p.all)/float64(p.atRisk)
			out = append(out, p)
		}
	}
	return out
}

// spread gathers the variance of a share from the points passed: that of each, by how far the
// share has risen since. Each sum grows by what the rise adds to it, so that a long series
// takes one pass and nothing cancels.
type spread struct {
	all, ahead, ahead2 float64 // Σ d/(n(n − d)), the same by the rise since, and by its square
	part, across       float64 // Σ holding·own/n², and the same by the rise since
	own                float64 // Σ holding²·(n − own)·own/n³
}

// pass goes over a point at which the share of mode k rises.
func (v *spread) pass(p point, k int, rise float64) {
	v.ahead2 += rise * (2*v.ahead + rise*v.all)
	v.ahead += rise * v.all
	v.across += rise * v.part
	n, d, own := float64(p.atRisk), float64(p.all), float64(p.ended[k])
	if n > d { // else none held, and the share rises no more
		v.all += d / (n * (n - d))
	}
	v.part += p.holding * own / (n * n)
	v.own += p.holding * p.holding * (n - own) * own / (n * n * n)
}

// logLog is the interval share^exp(±z·se/(share·ln share)).
func logLog(share, se, z float64) verdict.Range {
	if !(share < 1-1e-12) {
		return verdict.Range{Low: math.NaN(), High: math.NaN()}
	}
	by := math.Exp(-z * se / (share * math.Log(share))) // above one
	return verdict.Range{Low: math.Pow(share, by), High: math.Pow(share, 1/by)}
}
