package curves

import (
	"context"
	"math"
	"slices"
	"strconv"

	"breakbook/models/parallel"
)

const (
	nearlyAll   = 0.95 // of the readings are multiples of the step
	mostSteps   = 1e6  // steps up to the largest reading; a finer step is none
	floatNoise  = 1e-9 // of the largest reading: how far a multiple may be from its value
	distinct    = 5    // readings that must differ (zero apart) for a step to be seen
	mostChunks  = 21   // enough that some are free of strays
	perChunk    = 4    // few enough that one in twenty strays leaves four in five chunks alone
	golden      = 0.6180339887498949
	mostDivisor = 1000 // how many times the readings' common step the step of nearly all may be
)

// Step finds the rounding step of a gauge: the largest step of which at least 95 % of the
// readings (missing ones apart) are whole multiples, and the share that is. Both are NaN
// where no step is seen: fewer than five different readings, or one finer than a
// millionth of the largest. The candidates are common measures, by Euclid's algorithm on
// real numbers, of chunks of the readings and of pairs of chunks, and whole multiples of them.
// It is left by parallel.Look where ctx ends.
func Step(ctx context.Context, values []float64) (step, share float64) {
	var v []float64
	zeros, most := 0, 0.
	for _, x := range values {
		switch x = math.Abs(x); {
		case math.IsNaN(x):
		case math.IsInf(x, 0):
			return math.NaN(), math.NaN()
		case x == 0:
			zeros++
		default:
			v = append(v, x)
			most = max(most, x)
		}
	}
	different := slices.Clone(v)
	parallel.Sort(ctx, different)
	if len(slices.Compact(different)) < distinct || most > largest || most < smallest {
		return math.NaN(), math.NaN()
	}
	g := gauge{ctx: ctx, values: v, zeros: zeros, most: most}
	for _, c := range g.candidates() {
		g.try(c)
	}
	if g.step == 0 {
		return math.NaN(), math.NaN()
	}
	for k, base := 2., g.step; k <= mostDivisor && k*base <= most; k++ {
		g.try(k * base)
	}
	return g.step, g.share
}

type gauge struct {
	ctx         context.Context
	values      []float64 // sizes of the readings that are not zero
	zeros       int
	most        float64
	step, share float64 // the best so far
}

// candidates are common measures of small chunks of the readings (all of them, or a
// spread of many) and of pairs of chunks, so that stray readings spoil only theirs; the
// largest first.
func (g *gauge) candidates() []float64 {
	n := len(g.values)
	chunks := max(1, min(mostChunks, n/perChunk))
	measures := make([]float64, chunks)
	for i := range min(n, (mostChunks+1)*perChunk) {
		at := i
		if n > (mostChunks+1)*perChunk {
			_, spread := math.Modf(float64(i) * golden)
			at = int(spread * float64(n))
		}
		measures[i%chunks] = g.common(measures[i%chunks], g.values[at])
	}
	all := slices.Clone(measures)
	for i, a := range measures {
		for _, b := range measures[:i] {
			all = append(all, g.common(a, b))
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	slices.Reverse(all)
	return all
}

// common is the common measure of a and b, or zero once it is too fine to be a step.
func (g *gauge) common(a, b float64) float64 {
	fine := g.most / mostSteps / 2
	for b > fine {
		a = math.Mod(a, b)
		if b-a < fine {
			a = 0 // one short of a whole number of times, by float noise
		}
		a, b = b, a
	}
	return a
}

// try takes a step over when nearly all readings are multiples of it and it is larger.
func (g *gauge) try(step float64) {
	if step*mostSteps < g.most || step <= g.step*(1+floatNoise) {
		return
	}
	parallel.Look(g.ctx)
	allowed := int((1 - nearlyAll) * float64(len(g.values)+g.zeros))
	misses, along, squares := 0, 0., 0.
	for _, v := range g.values {
		k := math.Round(v / step)
		if math.Abs(v-k*step) > k*step*floatNoise+g.most*floatNoise {
			if misses++; misses > allowed {
				return
			}
			continue
		}
		along += k / g.most * v
		squares += k / g.most * k
	}
	if squares == 0 {
		return
	}
	if step = tidy(along / squares); step > g.step {
		g.step, g.share = step, 1-float64(misses)/float64(len(g.values)+g.zeros)
	}
}

// tidy takes the float noise off a number: its twelve leading digits.
func tidy(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 11, 64), 64)
	if err != nil {
		return x
	}
	return y
}
