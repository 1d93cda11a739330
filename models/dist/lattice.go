package dist

import (
	"context"
	"math"

	"gonum.org/v1/gonum/stat"
)

const (
	// latticeAim is the error to come below: three standard errors over the random shifts.
	latticeAim = 1e-5
	// nodesEnd is the w beyond which the chance is a multiple of that of one value.
	nodesEnd = 9
	stencil  = 8 // nodes that a value between them is worked out from
)

// lattice integrates the many-to-one probability for any correlation. For normal values
// the chance that any leaves ±w is that of one value times a factor between 1 and their number,
// which the lattice sums at a few w (escape) and a polynomial gives between them; the
// shared sd is a mixture over w. So a tail is a weighted sum of what was summed at the nodes,
// and the nodes that count most get the most points.
type lattice struct {
	escape *escape
	df     float64
	mix    *mixture // of one value
}

func newLattice(e *escape, df float64) *lattice {
	l := &lattice{escape: e, df: df}
	l.mix = newMixture(df, 1, math.Min(0.1, 0.4/math.Sqrt(df)), func(w float64) float64 { return 2 * NormalTail(w) })
	return l
}

// weights of the nodes in the tail at c, and what is added to their sum. To w below 0 the
// factor goes on as the chance of staying within ±w does, which is even in w for an even number
// of values and odd for an odd one: so between the first nodes there are some on either side.
func (l *lattice) weights(c float64) (out []float64, added float64) {
	step := l.escape.step
	nodes := int(nodesEnd/step) + 1
	out = make([]float64, nodes)
	odd := float64(len(l.escape.lower) % 2)
	l.mix.visit(c, func(w, share float64) {
		at := math.Min(w/step, float64(nodes-1))
		first := min(int(at)-stencil/2+1, nodes-stencil)
		for a := first; a < first+stencil; a++ {
			term := share
			for b := first; b < first+stencil; b++ {
				if b != a {
					term *= (at - float64(b)) / float64(a-b)
				}
			}
			if a >= 0 {
				out[a] += term
				continue
			}
			one := 2 * NormalTail(float64(-a)*step)
			out[-a] += term * (1 - 2*odd) * one / (2 - one)
			added += term * odd * 2 / (2 - one)
		}
	})
	return out, added
}

// counts is the share of all weights from which on a node counts.
const counts = 1e-9

// at gives the tail at c and three standard errors, with as many points as the aim takes.
func (l *lattice) at(ctx context.Context, c float64) (tail, within float64, err error) {
	weights, added := l.weights(c)
	all := 0.0
	for _, w := range weights {
		all += math.Abs(w)
	}
	for {
		tails := make([]float64, latticeShifts)
		most, worst := 0.0, -1
		for number, w := range weights {
			if math.Abs(w) < counts*all {
				continue
			}
			n, err := l.escape.node(ctx, number)
			if err != nil {
				return 0, 0, err
			}
			for i, f := range n.factor {
				tails[i] += w * f
			}
			if e := math.Abs(w) * n.error(); e > most && n.points < latticeMost {
				most, worst = e, number
			}
		}
		mean, sd := stat.MeanStdDev(tails, nil)
		if within = 3 * sd / math.Sqrt(latticeShifts); within <= latticeAim || worst < 0 {
			return added + mean, within, nil
		}
		if err := l.escape.refine(ctx, worst); err != nil {
			return 0, 0, err
		}
	}
}

// point is the c at which the tail equals goal, by Newton's steps on logarithms from a
// start above it. Its error is the tail's over the tail's slope.
func (l *lattice) point(ctx context.Context, goal, start float64) (float64, error) {
	if goal == 0 || goal == 1 {
		return -math.Log(goal), nil // +Inf or 0
	}
	const apart = 1e-4 // in ln c
	c := start
	for range 100 {
		p, _, err := l.at(ctx, c)
		if err != nil {
			return math.NaN(), err
		}
		less, _, err := l.at(ctx, c*math.Exp(-apart))
		if err != nil {
			return math.NaN(), err
		}
		step := math.Log(p/goal) / math.Log(less/p) * apart
		if math.IsNaN(step) {
			return c, nil // a tail that is nothing to float64
		}
		c *= math.Exp(step)
		if math.Abs(step) < 1e-10 {
			break
		}
	}
	return c, nil
}
