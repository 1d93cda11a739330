package dist

import (
	"context"
	"math"

	"gonum.org/v1/gonum/stat"
)

const (
	// latticeAim is the error to come below: three standard errors over the random shifts, and
	// what the polynomial between nodes may be off by.
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
	mix    *mixture // of one value
}

func newLattice(e *escape, df float64) *lattice {
	return &lattice{e, newMixture(df, 1, 0.1, func(w float64) float64 { return 2 * NormalTail(w) })}
}

// gap is by how much, between two nodes, the polynomial through all nodes of a stencil
// goes past that through all but its outer two: a sum over the stencil's nodes.
type gap struct {
	weights [stencil]float64
	added   float64
}

// weights of the nodes in the tail at c, what is added to their sum, and for each stencil,
// counted from the one that reaches furthest below 0, how far two polynomials are apart. To w
// below 0 the factor goes on as the chance of staying within ±w does, which is even in w for an
// even number of values and odd for an odd one: so between the first nodes there are some on
// either side.
func (l *lattice) weights(c float64) (out []float64, added float64, apart []gap) {
	step := l.escape.step
	nodes := int(nodesEnd/step) + 1
	out, apart = make([]float64, nodes), make([]gap, nodes)
	odd := float64(len(l.escape.lower) % 2)
	l.mix.visit(c, func(w, share float64) {
		at := math.Min(w/step, float64(nodes-1))
		first := min(int(at)-stencil/2+1, nodes-stencil)
		g := &apart[first+stencil/2-1]
		for a := first; a < first+stencil; a++ {
			term := share * through(at, a, first, first+stencil)
			off := term
			if a > first && a < first+stencil-1 {
				off -= share * through(at, a, first+1, first+stencil-1)
			}
			if a >= 0 {
				out[a] += term
				g.weights[a-first] += off
				continue
			}
			one := 2 * NormalTail(float64(-a)*step)
			even := (1 - 2*odd) * one / (2 - one)
			out[-a] += term * even
			g.weights[a-first] += off * even
			added += term * odd * 2 / (2 - one)
			g.added += off * odd * 2 / (2 - one)
		}
	})
	return out, added, apart
}

// through is what node a counts at a place in the polynomial through the nodes from ≤ b < to.
func through(at float64, a, from, to int) float64 {
	term := 1.0
	for b := from; b < to; b++ {
		if b != a {
			term *= (at - float64(b)) / float64(a-b)
		}
	}
	return term
}

// counts is the share of all weights from which on a node counts.
const counts = 1e-9

// at gives the tail at c and its error, with as many points and nodes as the aim takes: three
// standard errors over the shifts, and how far the polynomials between the nodes are off.
func (l *lattice) at(ctx context.Context, c float64) (tail, within float64) {
	weights, added, apart := l.weights(c)
	for {
		tails, worst := l.sum(ctx, weights)
		mean, sd := stat.MeanStdDev(tails, nil)
		if within = 3 * sd / math.Sqrt(latticeShifts); within <= latticeAim || worst < 0 {
			off := l.off(apart)
			if off > latticeAim/4 && l.escape.halve() {
				weights, added, apart = l.weights(c)
				continue
			}
			if within += off; within <= latticeAim || worst < 0 {
				return added + mean, within
			}
		}
		l.escape.refine(ctx, worst)
	}
}

// sum is that of the nodes, by shift, and the node that more points help most, −1 where none.
func (l *lattice) sum(ctx context.Context, weights []float64) (tails []float64, worst int) {
	all := 0.0
	for _, w := range weights {
		all += math.Abs(w)
	}
	tails = make([]float64, latticeShifts)
	most, worst := 0.0, -1
	for number, w := range weights {
		if math.Abs(w) < counts*all {
			continue
		}
		n := l.escape.node(ctx, number)
		for i, f := range n.factor {
			tails[i] += w * f
		}
		standardError := stat.StdDev(n.factor, nil) / math.Sqrt(latticeShifts) // over the shifts
		if e := math.Abs(w) * standardError; e > most && n.points < latticeMost {
			most, worst = e, number
		}
	}
	return tails, worst
}

// off is by how much the polynomials through fewer nodes miss those through more, over all
// stencils whatever their signs, as far as it is past the chance of the shifts: the latter
// are nearer the factor where it is smooth from node to node.
func (l *lattice) off(apart []gap) (sum float64) {
	values := make([]float64, latticeShifts)
	for first := range apart {
		g := &apart[first]
		for i := range values {
			values[i] = g.added
		}
		for k, w := range g.weights {
			number := first - stencil/2 + 1 + k
			if n, ok := l.escape.met(max(number, -number)); ok && w != 0 {
				for i, f := range n.factor {
					values[i] += w * f
				}
			} else if w != 0 { // a node that counts for nothing: its factor is some number of values
				for i := range values {
					values[i] += w
				}
			}
		}
		mean, sd := stat.MeanStdDev(values, nil)
		sum += math.Max(0, math.Abs(mean)-3*sd/math.Sqrt(latticeShifts))
	}
	return sum
}

// point is the c at which the tail equals goal, by Newton's steps on logarithms from a
// start above it. Its error is the tail's over the tail's slope.
func (l *lattice) point(ctx context.Context, goal, start float64) float64 {
	if goal == 0 || goal == 1 {
		return -math.Log(goal) // +Inf or 0
	}
	const apart = 1e-4 // in ln c
	c := start
	for range 100 {
		p, _ := l.at(ctx, c)
		less, _ := l.at(ctx, c*math.Exp(-apart))
		step := math.Log(p/goal) / math.Log(less/p) * apart
		if math.IsNaN(step) {
			return c // a tail that is nothing to float64
		}
		c *= math.Exp(step)
		if math.Abs(step) < 1e-10 {
			break
		}
	}
	return c
}
