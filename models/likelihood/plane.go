package likelihood

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// plane is the points with along·θ + shift = 0. It is solved for one coordinate, the pivot,
// and the others are free: where the likelihood is all but flat in some direction, a step
// among them stays exact, which one at right angles in the measure of the curvature does not.
type plane struct {
	along []float64
	shift float64
	pivot int
}

// turn makes the pivot the coordinate that carries the plane for the smallest fall of the
// likelihood; one of bottom only where there is no other, since those have to stay positive.
func (p *plane) turn(curvature *mat.SymDense, bottom []float64) {
	best := [2]float64{-1, -1} // among those of bottom, and the others
	at := [2]int{}
	for i, a := range p.along {
		if a == 0 {
			continue
		}
		c := math.Abs(a) / math.Sqrt(math.Max(0, curvature.At(i, i)))
		kind := 1
		if bottom != nil && bottom[i] != 0 {
			kind = 0
		}
		if c > best[kind] {
			best[kind], at[kind] = c, i
		}
	}
	p.pivot = at[1]
	if best[1] < 0 {
		p.pivot = at[0]
	}
}

// settle moves the pivot to where the point lies in the plane.
func (p *plane) settle(theta []float64) {
	theta[p.pivot] -= (floats.Dot(p.along, theta) + p.shift) / p.along[p.pivot]
}

// share is how far the pivot moves with the coordinate i.
func (p *plane) share(i int) float64 { return -p.along[i] / p.along[p.pivot] }

// free is the number of a free coordinate among all.
func (p *plane) free(i int) int {
	if i >= p.pivot {
		return i + 1
	}
	return i
}

// reduced is the slope and the curvature among the free coordinates; what the curvature loses
// where large parts cancel is put back, so that rounding makes no direction steeper than it is.
func (p *plane) reduced(gradient []float64, curvature *mat.SymDense) ([]float64, *mat.SymDense) {
	n, k := len(gradient)-1, p.pivot
	g, h := make([]float64, n), mat.NewSymDense(n, nil)
	for i := range n {
		a := p.free(i)
		r := p.share(a)
		g[i] = gradient[a] + r*gradient[k]
		for j := i; j < n; j++ {
			b := p.free(j)
			s := p.share(b)
			h.SetSym(i, j, curvature.At(a, b)+r*curvature.At(k, b)+s*curvature.At(k, a)+r*s*curvature.At(k, k))
		}
		h.SetSym(i, i, h.At(i, i)+leastNudged*(curvature.At(a, a)+r*r*curvature.At(k, k)))
	}
	return g, h
}

// whole is a step among the free coordinates with what the pivot has to do.
func (p *plane) whole(step []float64) []float64 {
	out := make([]float64, len(step)+1)
	for i, s := range step {
		a := p.free(i)
		out[a] = s
		out[p.pivot] += p.share(a) * s
	}
	return out
}

// step is Newton's step in the plane, and the squared length of the slope in the measure of
// the curvature: twice the rise to expect. False where no root of the curvature could be taken.
func (p *plane) step(gradient []float64, curvature *mat.SymDense) (step []float64, rise float64, ok bool) {
	if len(gradient) == 1 {
		return []float64{0}, 0, true
	}
	g, h := p.reduced(gradient, curvature)
	root, ok := factorised(h)
	if !ok {
		return nil, 0, false
	}
	free := root.Solve(g)
	return p.whole(free), math.Abs(floats.Dot(g, free)), true
}

// onto is the step from a point out of the plane to where, by the slope and the curvature at
// the point, the likelihood in the plane is best: in two parts, the pivot's onto the plane, and
// the step from there on.
func (p *plane) onto(at *Peak) (first, then []float64) {
	first = make([]float64, len(at.Theta))
	by := -(floats.Dot(p.along, at.Theta) + p.shift) / p.along[p.pivot]
	first[p.pivot] = by
	slope := make([]float64, len(first))
	for i, g := range at.gradient {
		slope[i] = g - by*at.curvature.At(i, p.pivot)
	}
	then, _, ok := p.step(slope, at.curvature)
	if !ok {
		then = make([]float64, len(first))
	}
	return first, then
}
