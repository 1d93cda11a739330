package stages

import (
	"math"

	"breakbook/models/dist"
	"breakbook/models/halving"
)

// process is what is followed from look to look to find boundaries: the distance from nothing of what is seen, as
// the p that belongs to it.
type process interface {
	below(p float64) float64 // the chance to come to the present look and be below p there
	goOn(p float64)          // leaves what is not, and comes to the next look
}

// newProcess follows the mean of dimensions independent differences.
func newProcess(dimensions int, at []float64) process {
	if dimensions == 1 {
		return &twoSided{NewPath(Correlations(at))}
	}
	return &radial{dimensions: float64(dimensions), correlation: Correlations(at)}
}

// twoSided is one difference, either way.
type twoSided struct{ path *Path }

func (s *twoSided) below(p float64) float64 {
	z := boundary(p)
	return s.path.Chance(Region{math.Inf(-1), -z}, Region{z, math.Inf(1)})
}

func (s *twoSided) goOn(p float64) {
	z := boundary(p)
	s.path.GoOn(Region{-z, z})
}

// boundary is the normal value that is passed either way with chance p.
func boundary(p float64) float64 {
	if !(p > 0) {
		return math.Inf(1)
	}
	return Upper(p / 2)
}

// radial is several differences by the length of their vector, which goes from look to look as a noncentral chi
// (Jennison and Turnbull 1991, Biometrika 78, 133-141, for chi-square and F): with correlation c the next length,
// over s = √(1 − c²), is noncentral chi with the noncentrality c·length/s.
type radial struct {
	dimensions  float64
	correlation []float64
	stage       int
	x, weight   []float64
}

// length is that which is passed with chance p.
func (r *radial) length(p float64) float64 {
	if !(p > 0) {
		return math.Inf(1)
	}
	low, high := 0.0, 2*farthest+2*math.Sqrt(r.dimensions)
	_, x := halving.Between(low, high, 60, func(x float64) bool { return dist.ChiSquareTail(x*x, r.dimensions) < p })
	return x
}

func (r *radial) below(p float64) float64 {
	end := r.length(p)
	if r.stage == 0 || math.IsInf(end, 1) {
		return p
	}
	c := r.correlation[r.stage-1]
	s2 := 1 - c*c
	sum := 0.0
	for i, x := range r.x {
		if r.weight[i] > 1e-16 {
			sum += r.weight[i] * dist.NoncentralFTail(end*end/s2/r.dimensions, r.dimensions, math.Inf(1), c*c*x*x/s2)
		}
	}
	return sum
}

func (r *radial) goOn(p float64) {
	end := min(r.length(p), farthest+math.Sqrt(r.dimensions))
	x, weight := laid([]Region{{0, end}}, smallestStep(r.correlation, r.stage))
	for i, y := range x {
		weight[i] *= r.density(y)
	}
	r.x, r.weight = x, weight
	r.stage++
}

// density is that of the lengths of the present look that have come so far.
func (r *radial) density(y float64) float64 {
	if r.stage == 0 {
		return chiDensity(y, r.dimensions, 0)
	}
	c := r.correlation[r.stage-1]
	s := math.Sqrt(1 - c*c)
	sum := 0.0
	for i, x := range r.x {
		if r.weight[i] > 1e-16 {
			sum += r.weight[i] * chiDensity(y/s, r.dimensions, c*x/s) / s
		}
	}
	return sum
}

// chiDensity is that of a noncentral chi on k degrees of freedom at y, the length of its mean being mu: chi
// densities on k + 2j over Poisson weights of mean mu²/2 (Johnson, Kotz and Balakrishnan 1995, chapter 29), summed
// both ways from the largest.
func chiDensity(y, k, mu float64) float64 {
	half, mean := y*y/2, mu*mu/2
	term := func(j float64) float64 {
		poisson := 0.0
		if mean > 0 {
			lg, _ := math.Lgamma(j + 1)
			poisson = j*math.Log(mean) - mean - lg
		}
		lg, _ := math.Lgamma(k/2 + j)
		return math.Exp(poisson + math.Log(2/y) + (k/2+j)*math.Log(half) - half - lg)
	}
	if mean == 0 {
		return term(0)
	}
	first := math.Floor(math.Sqrt(mean * half))
	largest := term(first)
	sum := largest
	for j, t := first, largest; t > 1e-17*sum; j++ {
		t *= mean * half / ((j + 1) * (k/2 + j))
		sum += t
	}
	for j, t := first, largest; j > 0 && t > 1e-17*sum; j-- {
		t *= j * (k/2 + j - 1) / (mean * half)
		sum += t
	}
	return sum
}
