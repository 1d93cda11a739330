package dist

import (
	"context"
	"math"
	"math/rand/v2"

	"breakbook/models/parallel"
	"breakbook/models/resample"
)

const (
	latticeShifts = 16
	latticeFirst  = 1 << 7  // points a shift to begin with
	latticeMost   = 1 << 15 // … and at most
	mostHalved    = 4       // how often nodes are put between the first ones
)

// escape is the chance that any of m correlated standard normal values leaves ±w, over
// the chance that one does: Σ P(those before i stay within ±w | value i is beyond), each
// value counted where it is the first to leave. Given value i, those before it are integrated
// one after the other, each within its limits given the earlier ones (Genz 1992), over a
// randomly shifted lattice folded at one half (Hickernell 2002).
type escape struct {
	lower  [][][]float64 // by value i: the root of the covariance of i and those before it, row by row
	step   float64       // in w, from node to node
	halved int           // how often the step was halved since
	nodes  map[int]*node // by key
	normal *normalTable
}

// node is the factor at one w.
type node struct {
	factor []float64 // by shift
	points int
}

// newEscape takes a correlation matrix. Nodes lie as close as the chance bends: within
// about the sd that values have for themselves given the others.
func newEscape(r [][]float64) *escape {
	e := &escape{step: 1. / 8, nodes: map[int]*node{}, normal: newNormalTable()}
	for i := range r {
		at := []int{i}
		for j := range i {
			at = append(at, j)
		}
		rows := make([][]float64, len(at))
		for a := range at {
			rows[a] = make([]float64, a+1)
			for b := range a + 1 {
				rest := r[at[a]][at[b]]
				for c := range b {
					rest -= rows[a][c] * rows[b][c]
				}
				if b == a { // a value that those before it settle keeps a trace of its own
					rows[a][a] = math.Sqrt(math.Max(rest, 1e-12))
				} else {
					rows[a][b] = rest / rows[b][b]
				}
			}
		}
		e.lower = append(e.lower, rows)
		for a := range rows {
			e.step = math.Max(1./32, math.Min(e.step, rows[a][a]/3))
		}
	}
	return e
}

// key is a node's number were the step halved as often as it may be: it stays the node's own.
func (e *escape) key(number int) int { return number << (mostHalved - e.halved) }

// halve puts a node between any two, false where they are as close as they may be.
func (e *escape) halve() bool {
	if e.halved == mostHalved {
		return false
	}
	e.halved++
	e.step /= 2
	return true
}

// met is a node that was asked for before.
func (e *escape) met(number int) (*node, bool) {
	n, ok := e.nodes[e.key(number)]
	return n, ok
}

// node is the factor at a node, from few points where it was not asked for before.
func (e *escape) node(ctx context.Context, number int) *node {
	if _, ok := e.met(number); !ok {
		e.refine(ctx, number)
	}
	return e.nodes[e.key(number)]
}

// refine doubles the points of a node, adding those between the ones before. Where ctx ends
// the nodes are as they were.
func (e *escape) refine(ctx context.Context, number int) {
	n, ok := e.met(number)
	if !ok {
		n = &node{factor: make([]float64, latticeShifts)}
	}
	points, by := latticeFirst, 1
	if n.points > 0 {
		points, by = 2*n.points, 2
	}
	w := float64(number) * e.step
	beyond := NormalTail(w)
	means := make([]float64, latticeShifts)
	work := resample.Work{Seed: uint64(e.key(number)), Pieces: latticeShifts, Block: 1} // so that an answer repeats
	parallel.Heed(resample.Run(ctx, work, func() func(*rand.Rand, int, int) error {
		shift, place, values := make([]float64, len(e.lower)), make([]float64, len(e.lower)),
			make([]float64, len(e.lower))
		return func(draw *rand.Rand, i, _ int) error {
			for k := range shift {
				shift[k] = draw.Float64()
			}
			sum := 0.0
			for at := by - 1; at < points; at += by {
				if at&127 == by-1 {
					parallel.Look(ctx)
				}
				for k := range place {
					x := float64(at*component(k)%points)/float64(points) + shift[k]
					place[k] = math.Abs(2*(x-math.Floor(x)) - 1)
				}
				sum += e.one(w, beyond, place, values)
			}
			means[i] = sum * float64(by) / float64(points)
			return nil
		}
	}))
	for i, mean := range means {
		n.factor[i] += (mean - n.factor[i]) / float64(by)
	}
	n.points = points
	e.nodes[e.key(number)] = n
}

// one is the factor's integrand at a point of the unit cube: the first coordinate says how
// far beyond w a value is, the others where those before it are. beyond is the tail at w.
func (e *escape) one(w, beyond float64, place, values []float64) float64 {
	values[0] = tailPoint(w, beyond, math.Max(place[0], 1e-17))
	sum := 0.0
	for _, rows := range e.lower {
		joint := 1.0
		for a := 1; a < len(rows); a++ {
			row := rows[a]
			mean, own := 0.0, 1/row[a]
			for b, load := range row[:a] {
				mean += load * values[b]
			}
			low := e.normal.below((-w - mean) * own)
			chance := e.normal.below((w-mean)*own) - low
			if joint *= chance; joint < 1e-13 {
				joint = 0
				break
			}
			if a+1 < len(rows) {
				values[a] = e.normal.point(low + place[a]*chance)
			}
		}
		sum += joint
	}
	return sum
}

// tailPoint is the z that a normal value beyond w, where the tail is beyond, is beyond with chance u > 0: Newton's
// steps on the logarithm of the tail, which falls ever faster. A step of a millionth leaves some 1e-12.
func tailPoint(w, beyond, u float64) float64 {
	goal := math.Log(u * beyond)
	z := math.Sqrt(w*w - 2*math.Log(u))
	for range 50 {
		tail := NormalTail(z)
		step := (math.Log(tail) - goal) * tail * math.Sqrt(2*math.Pi) * math.Exp(z*z/2)
		z += step
		if math.Abs(step) < 1e-6 {
			break
		}
	}
	return z
}
