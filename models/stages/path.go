package stages

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"breakbook/models/dist"
)

// Region is a stretch of values, either end of which may be infinite.
type Region struct{ Low, High float64 }

// Path is a standard normal value followed from stage to stage: what one stage shows of the next is their
// correlation alone. It keeps the density of the values that have gone on so far.
type Path struct {
	correlation []float64 // of each stage with the next
	stage       int
	x, weight   []float64 // where the density is known, and how much of it belongs there
}

// NewPath is a path before its first stage; correlation[i], in (0, 1), is that of stage i with the next.
func NewPath(correlation []float64) *Path { return &Path{correlation: correlation} }

// farthest is beyond every value that matters: what lies past it has a chance under 1e-30.
const farthest = 12

// points are the places of a panel, and panel how many sds of the next step it spans at most. A normal
// density of that sd over such a panel comes out to 1e-12 of its size.
const (
	points = 16
	panel  = 3
)

// Chance is the chance to come to the present stage and lie there in one of the regions.
func (p *Path) Chance(regions ...Region) float64 {
	sum := 0.0
	for _, r := range regions {
		if !(r.Low < r.High) {
			continue
		}
		if p.stage == 0 {
			sum += within(r.Low, r.High)
			continue
		}
		c := p.correlation[p.stage-1]
		s := math.Sqrt(1 - c*c)
		for i, x := range p.x {
			sum += p.weight[i] * within((r.Low-c*x)/s, (r.High-c*x)/s)
		}
	}
	return sum
}

// within is the chance of a standard normal value between a and b, from the nearer tail.
func within(a, b float64) float64 {
	if a > 0 {
		return dist.NormalTail(a) - dist.NormalTail(b)
	}
	return dist.NormalTail(-b) - dist.NormalTail(-a)
}

// GoOn leaves those paths that lie in the regions, and comes to the next stage.
func (p *Path) GoOn(regions ...Region) {
	x, weight := laid(regions, smallestStep(p.correlation, p.stage))
	for i, y := range x {
		weight[i] *= p.density(y)
	}
	p.x, p.weight = x, weight
	p.stage++
}

// smallestStep is the smaller sd of a step into a stage and of one out of it.
func smallestStep(correlation []float64, stage int) float64 {
	step := 1.0
	for _, i := range []int{stage - 1, stage} {
		if i >= 0 && i < len(correlation) {
			step = min(step, math.Sqrt(1-correlation[i]*correlation[i]))
		}
	}
	return step
}

// laid lays regions out in panels for a Gauss-Legendre rule, whose places and weights it gives.
func laid(regions []Region, step float64) (x, weight []float64) {
	for _, r := range regions {
		low, high := max(r.Low, -farthest), min(r.High, farthest)
		if !(low < high) {
			continue
		}
		panels := int(math.Ceil((high - low) / (panel * step)))
		at, w := make([]float64, points), make([]float64, points)
		for i := range panels {
			a := low + (high-low)*float64(i)/float64(panels)
			quad.Legendre{}.FixedLocations(at, w, a, low+(high-low)*float64(i+1)/float64(panels))
			x, weight = append(x, at...), append(weight, w...)
		}
	}
	return x, weight
}

// density is that of the values of the present stage that have come so far.
func (p *Path) density(y float64) float64 {
	const front = 0.3989422804014327 // 1/√(2π)
	if p.stage == 0 {
		return front * math.Exp(-y*y/2)
	}
	c := p.correlation[p.stage-1]
	s := math.Sqrt(1 - c*c)
	sum := 0.0
	for i, x := range p.x {
		z := (y - c*x) / s
		sum += p.weight[i] * math.Exp(-z*z/2)
	}
	return front * sum / s
}
