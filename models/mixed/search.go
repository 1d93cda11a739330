package mixed

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	// mostSteps bounds the search; it takes 5 to 15 as a rule.
	mostSteps = 200
	// stillWithin is the relative move of the ratios at which the search ends.
	stillWithin = 1e-13
	// zeroBelow is the ratio below which a variance counts as zero.
	zeroBelow = 1e-9
	// largestRatio is the ratio above which nothing is left over.
	largestRatio = 1e9
)

// starts are the ratios the search looks at first, the same for every block column; the
// best of them and of none is where it sets out.
var starts = [...]float64{0.001, 0.01, 0.05, 0.2, 1, 5, 25, 200, 2000}

// search finds the ratios of the largest likelihood, 0 where it lies at the border: Newton
// steps in the observed curvature where that is positive, else in the expected one
// (Fisher's scoring), halved until the likelihood rises, ratios held at 0 while the
// slope there pushes below (projection: Bertsekas 1982, SIAM J. Control Optim. 20).
func (p *parts) search(ctx context.Context) ([]float64, error) {
	ratios, x, err := p.start(ctx)
	if err != nil {
		return nil, err
	}
	for range mostSteps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step := p.step(x, ratios)
		next, y, err := p.advance(x, ratios, step)
		if err != nil {
			return nil, err
		}
		moved := 0.0
		for k, r := range next {
			if r > largestRatio {
				return nil, &Error{"nothing-left-over", -1, -1}
			}
			moved = max(moved, math.Abs(r-ratios[k])/max(r, zeroBelow))
		}
		ratios, x = next, y
		if moved <= stillWithin {
			break
		}
	}
	for k, r := range ratios {
		if r < zeroBelow {
			ratios[k] = 0
		}
	}
	return ratios, nil
}

// start is the best of the starts.
func (p *parts) start(ctx context.Context) ([]float64, *point, error) {
	best := make([]float64, len(p.groups))
	x, err := p.at(best, false)
	if err != nil {
		return nil, nil, err
	}
	for _, ratio := range starts {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		here := make([]float64, len(p.groups))
		for k := range here {
			here[k] = ratio
		}
		y, err := p.at(here, false)
		if err != nil {
			break // so much that nothing is left over: the search will see
		}
		if y.deviance < x.deviance {
			best, x = here, y
		}
	}
	x, err = p.at(best, true)
	return best, x, err
}

// step is where Newton's step leads from a point; ratios at 0 that the slope keeps there
// stand still.
func (p *parts) step(x *point, ratios []float64) []float64 {
	var open []int
	for k, r := range ratios {
		if r > 0 || x.slopes[k] < 0 {
			open = append(open, k)
		}
	}
	step := make([]float64, len(ratios))
	if len(open) == 0 {
		return step
	}
	slope := mat.NewVecDense(len(open), nil)
	for i, k := range open {
		slope.SetVec(i, -x.slopes[k])
	}
	for _, whole := range []*mat.SymDense{x.observed, x.expected} {
		part := mat.NewSymDense(len(open), nil)
		for i, k := range open {
			for j, l := range open[:i+1] {
				part.SetSym(i, j, whole.At(k, l))
			}
		}
		var c mat.Cholesky
		var move mat.VecDense
		if !c.Factorize(part) || c.SolveVecTo(&move, slope) != nil {
			continue
		}
		for i, k := range open {
			step[k] = move.AtVec(i)
		}
		return step
	}
	for i, k := range open { // flat: a step of the ratio's own size down the slope
		step[k] = math.Copysign(max(ratios[k], zeroBelow), slope.AtVec(i))
	}
	return step
}

// advance is the farthest of the step, its halves and quarters that does not lower the
// likelihood, but for rounding; the point itself where none does.
func (p *parts) advance(x *point, ratios, step []float64) ([]float64, *point, error) {
	var last error
	for length := 1.0; length > 1e-12; length /= 2 {
		next := make([]float64, len(ratios))
		for k, r := range ratios {
			next[k] = max(0, r+length*step[k])
		}
		y, err := p.at(next, true)
		if err != nil {
			last = err
			continue
		}
		if y.deviance <= x.deviance+1e-12*math.Abs(x.deviance) {
			return next, y, nil
		}
	}
	return ratios, x, last
}
