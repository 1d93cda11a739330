package limits

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// strengths are five tensile strengths of each of five batches (Vangel 1992, Technometrics 34;
// Krishnamoorthy and Mathew 2009, Statistical Tolerance Regions, one-way random model).
var strengths = []float64{379, 357, 390, 376, 376, 363, 367, 382, 381, 359, 401, 402, 407, 402, 396, 402, 387, 392, 395,
	394, 415, 405, 396, 390, 395}

// inFives are batches of five.
func inFives(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i / 5
	}
	return out
}

// The limits of the five batches by the pivot ybar − Z·√(SSB/(a·n·U)) − z·√(SSB/(n·U) + (1 − 1/n)·SSE/V)
// (Krishnamoorthy and Mathew 2009, 5.3), from 4 million draws of it, their error about 0.05; those that
// ignore the batches are the exact noncentral t's. Mean 388.36, mean squares 1040.84 (4) and 78.92 (20).
func TestFiveBatches(t *testing.T) {
	for _, c := range []struct{ exceeded, confidence, want, ignoring float64 }{
		{0.90, 0.95, 337.7, 359.93},
		{0.95, 0.75, 349.9, 359.05},
		{0.95, 0.95, 325.9, math.NaN()},
		{0.99, 0.95, 302.9, math.NaN()},
	} {
		o := Options{Exceeded: c.exceeded, Confidence: c.confidence}
		l, err := Of(t.Context(), strengths, inFives(25), o)
		if err != nil {
			t.Fatal(err)
		}
		// Without the floor of 5 % on the sd, which is larger than that of these strengths.
		if got := l.Mean - l.K*l.SD; !(math.Abs(got-c.want) <= 0.1) {
			t.Errorf("%g/%g: %.4f, want %g", c.exceeded, c.confidence, got, c.want)
		}
		if l.SDUsed != LeastSpread*l.Mean || !(math.Abs(l.Value-(l.Mean-l.K*l.SDUsed)) <= 1e-9) {
			t.Errorf("mean %g, sd %g, used %g, limit %g, %d blocks", l.Mean, l.SD, l.SDUsed, l.Value, l.Blocks)
		}
		// Of a joint of a new batch: the variance between batches, 192.384, and that within.
		if !(math.Abs(l.Mean-388.36) <= 1e-9) || !(math.Abs(l.SD-math.Sqrt(192.384+78.92)) <= 1e-6) || l.Blocks != 5 {
			t.Errorf("mean %g, sd %g, used %g, limit %g, %d blocks", l.Mean, l.SD, l.SDUsed, l.Value, l.Blocks)
		}
		if !(math.Abs(l.Between-192.384/(192.384+78.92)) <= 1e-6) {
			t.Errorf("between: %g", l.Between)
		}
		if math.IsNaN(c.ignoring) {
			continue
		}
		if l, err = Of(t.Context(), strengths, nil, o); err != nil || !(math.Abs(l.Mean-l.K*l.SD-c.ignoring) <= 0.005) {
			t.Errorf("ignoring batches: %.4f (%v), want %g", l.Mean-l.K*l.SD, err, c.ignoring)
		}
	}
}

// The grid of chi-squares against draws of the published formula itself, for blocks of one size
// from two to nine and shares between blocks from none to nearly all.
func TestPivotAgainstDraws(t *testing.T) {
	draw := rand.New(rand.NewPCG(17, 2009))
	for _, c := range []struct{ blocks, each int }{{2, 2}, {3, 5}, {5, 4}, {9, 2}} {
		for _, sd := range []float64{0, 0.3, 1, 8} {
			var y []float64
			var codes []int
			for b := range c.blocks {
				shift := sd * draw.NormFloat64()
				for range c.each {
					y, codes = append(y, 1000+shift+draw.NormFloat64()), append(codes, b)
				}
			}
			m := ofMean(context.Background(), y, mean(y), codes, c.blocks)
			curve, err := newCurve(t.Context(), m)
			if err != nil {
				t.Fatal(err)
			}
			const z, draws = 1.6448536269514722, 400_000
			p := curve.pivot(z)
			at := p.at(0.25)
			below := 0
			a, n := float64(c.blocks), float64(c.each)
			ssb := 0.0
			for b := range m.size {
				ssb += m.residuals[b] * m.residuals[b] / n
			}
			sse := m.rss - ssb
			chi := func(df int) float64 {
				sum := 0.0
				for range df {
					x := draw.NormFloat64()
					sum += x * x
				}
				return sum
			}
			for range draws {
				u, v := chi(c.blocks-1), chi(c.blocks*(c.each-1))
				if mean(y)-draw.NormFloat64()*math.Sqrt(ssb/(a*n*u))-z*math.Sqrt(ssb/(n*u)+(1-1/n)*sse/v) <= at {
					below++
				}
			}
			if share := float64(below) / draws; !(math.Abs(share-0.25) <= 4*math.Sqrt(0.25*0.75/draws)) {
				t.Errorf("%d blocks of %d, sd %g: %.4f of the draws are below, not 0.25", c.blocks, c.each, sd, share)
			}
		}
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// With no spread within blocks every block counts as one specimen: the exact k of so many.
func TestBlocksOfTwins(t *testing.T) {
	means := []float64{380, 420, 400, 440, 360, 390}
	var y []float64
	var codes []int
	for b, off := range []float64{1, 0.3, -0.6, -1.5, 0.1, 0.8} { // of a shape that tells against no method
		y, codes = append(y, means[b]-1e-5*off, means[b]+1e-5*off), append(codes, b, b)
	}
	o := Options{Exceeded: 0.95, Confidence: 0.75}
	l, err := Of(t.Context(), y, codes, o)
	alone, err2 := Of(t.Context(), means, nil, o)
	if err != nil || err2 != nil || !(math.Abs(l.Value-alone.Value) <= 1e-4) || !(math.Abs(l.SD-alone.SD) <= 1e-6) {
		t.Errorf("%g (%v), and %g (%v)", l.Value, err, alone.Value, err2)
	}
	// Alike to the last digit, within blocks or over all.
	for i := range y {
		y[i] = means[codes[i]]
	}
	if l, err = Of(t.Context(), y, codes, o); err != nil || !(math.Abs(l.Value-alone.Value) <= 1e-4) {
		t.Errorf("twins: %g (%v)", l.Value, err)
	}
	for i := range y {
		y[i] = 400
	}
	if l, err = Of(t.Context(), y, codes, o); err != nil || l.SD != 0 || l.SDUsed != 20 ||
		l.K != Factor(6, 0.95, 0.75) {
		t.Errorf("all alike: %g, %g (%v)", l.SD, l.K, err)
	}
	// From above the six blocks count as specimens too: the exact k at what is left of the confidence.
	if got, want := (400-l.Upper)/20, Factor(6, 0.95, 0.25); !(math.Abs(got-want) <= 1e-6*want) {
		t.Errorf("all alike, from above: a k of %.9g, want %.9g", got, want)
	}
}

// A pivot of specimens that count by themselves has the exact noncentral-t limits as its points.
func TestPivotIsExactWithoutBlocks(t *testing.T) {
	for _, n := range []int{3, 5, 10, 40} {
		p := independent(0, 1, 1/float64(n), float64(n-1), 1.6448536269514722)
		for _, confidence := range []float64{0.05, 0.25, 0.75, 0.95} {
			if got, want := -p.at(1-confidence), Factor(n, 0.95, confidence); !(math.Abs(got-want) <= 1e-6*want) {
				t.Errorf("n %d, confidence %g: %.9g, want %.9g", n, confidence, got, want)
			}
		}
	}
}
