// Package likelihood climbs a concave log likelihood to its peak and takes intervals from its
// profile: how far a quantity can go before the best likelihood left falls too far.
package likelihood

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
)

// Function is a log likelihood of Size parameters, concave where it exists.
type Function interface {
	Size() int
	// At is its value, −Inf or NaN where it does not exist. Where it exists it also fills the
	// gradient and curvature, the second derivatives with their sign turned, both cleared before.
	// It may be left by parallel.Look once ctx is done.
	At(ctx context.Context, theta, gradient []float64, curvature *mat.SymDense) float64
}

// ErrNoStart says that the likelihood does not exist at the start given.
var ErrNoStart = errors.New("the likelihood does not exist at the start")

// ErrNoRange says that the profile of a quantity could not be followed.
var ErrNoRange = errors.New("the range was not found")

// Peak is where a climb ended.
type Peak struct {
	Theta     []float64
	Value     float64
	Steps     int  // of Newton's method
	Converged bool // the next step would raise the value by less than 1e-9

	f         Function
	gradient  []float64 // at Theta
	curvature *mat.SymDense
}

const (
	mostSteps   = 200
	mostHalved  = 60
	settled     = 1e-9  // twice the rise of the next step, by the curvature: the value is known
	wholly      = 1e-20 // the parameters are too
	lastSteps   = 3     // taken once settled
	mostIdle    = 5     // steps in a row that gain nothing end the climb too
	leastNudged = 1e-13 // of its diagonal, added to a curvature that is flat in some direction
)

// Maximise climbs from start by Newton's method, each step halved until the likelihood
// rises; for a concave function it cannot get lost (Boyd & Vandenberghe 2004, 9.5). Where
// the likelihood keeps rising for ever in some direction, the value is its limit to 1e-8
// and Theta lies far out. Errors are ErrNoStart and ctx's own.
func Maximise(ctx context.Context, f Function, start []float64) (*Peak, error) {
	return climb(ctx, f, start, nil)
}

// climb is Maximise among the points of a plane, where the start has to lie. nil leaves all free.
func climb(ctx context.Context, f Function, start []float64, within *plane) (_ *Peak, err error) {
	defer parallel.Catch(&err)
	n := f.Size()
	p := &Peak{f: f, Theta: append([]float64(nil), start...), gradient: make([]float64, n),
		curvature: mat.NewSymDense(n, nil)}
	next, room := make([]float64, n), make([]float64, n)
	p.Value = evaluate(ctx, f, p.Theta, p.gradient, p.curvature)
	if !finite(p.Value) {
		return nil, ErrNoStart
	}
	report := func(int, int) {}
	if within == nil {
		report = parallel.ProgressOf(ctx)
	}
	last, idle := 0, 0
	for ; p.Steps < mostSteps; p.Steps++ {
		report(p.Steps, mostSteps)
		parallel.Look(ctx)
		step, rise, ok := p.newton(within)
		if !ok {
			return p, nil
		}
		if rise <= settled {
			p.Converged = true
			if within != nil { // only the value counts, and half of rise is all that it lacks
				p.Value += rise / 2
				return p, nil
			}
			if last++; rise <= wholly || last > lastSteps {
				return p, nil
			}
		}
		before := p.Value
		if !p.advance(ctx, step, next, room, within) {
			p.Converged = rise <= math.Max(settled, 1e-12*math.Abs(p.Value))
			// The derivatives are those of the last trial: they are made again where it stays.
			evaluate(ctx, f, p.Theta, p.gradient, p.curvature)
			return p, nil
		}
		// Where the curvature is all but flat, rounding hides how little there is to gain.
		if p.Value-before > settled/10+1e-13*math.Abs(p.Value) {
			idle = 0
		} else if idle++; idle >= mostIdle {
			p.Converged = true
			return p, nil
		}
	}
	return p, nil
}

// newton is Newton's step, and twice the rise to expect of it; false where no root of the
// curvature could be taken.
func (p *Peak) newton(within *plane) (step []float64, rise float64, ok bool) {
	if within != nil {
		return within.step(p.gradient, p.curvature)
	}
	root, ok := factorised(p.curvature)
	if !ok {
		return nil, 0, false
	}
	step = root.Solve(p.gradient)
	return step, math.Abs(floats.Dot(p.gradient, step)), true
}

// advance takes the step, or half of it, a quarter, …, as soon as the value does not fall.
func (p *Peak) advance(ctx context.Context, step, next, room []float64, within *plane) bool {
	share := 1.0
	for range mostHalved {
		for i, t := range p.Theta {
			next[i] = t + share*step[i]
		}
		if within != nil { // what rounding left over
			within.settle(next)
		}
		if value := evaluate(ctx, p.f, next, room, p.curvature); finite(value) &&
			value >= p.Value-1e-13*math.Abs(p.Value) {
			p.Value = value
			copy(p.Theta, next)
			copy(p.gradient, room)
			return true
		}
		share /= 2
	}
	return false
}

func evaluate(ctx context.Context, f Function, theta, gradient []float64, curvature *mat.SymDense) float64 {
	clear(gradient)
	curvature.Zero()
	return f.At(ctx, theta, gradient, curvature)
}

// factorised is the root of a curvature, nudged where it is flat in some direction; false where
// it is none of a peak.
func factorised(curvature *mat.SymDense) (root Root, ok bool) {
	if root, ok = Factorise(curvature); ok {
		return root, true
	}
	n := curvature.SymmetricDim()
	nudged := mat.NewSymDense(n, nil)
	nudged.CopySym(curvature)
	for nudge := leastNudged; nudge < 1; nudge *= 100 {
		for i := range n {
			nudged.SetSym(i, i, nudged.At(i, i)*(1+nudge)+1e-300)
		}
		if root, ok = Factorise(nudged); ok {
			return root, true
		}
	}
	return root, false
}

func finite(x float64) bool { return x-x == 0 }
