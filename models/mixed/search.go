package mixed

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
)

const (
	// mostSteps bounds the search; it takes 5 to 15 as a rule.
	mostSteps = 200
	// stillWithin is the relative move of the ratios at which the search ends.
	stillWithin = 1e-13
	// zeroBelow is the ratio below which a variance counts as zero.
	zeroBelow = 1e-9
	// largestRatio is the ratio above which there is no residual variance.
	largestRatio = 1e9
	// sameTop is the share of the deviance by which another top must be better.
	sameTop = 1e-10
)

// search finds the ratios of the largest likelihood, 0 where it lies at the border. It can
// have several tops, so the climb sets out from every start that none beside it betters.
func (p *parts) search(ctx context.Context) ([]float64, error) {
	var best *point
	for _, from := range p.starts(ctx) {
		x, err := p.climb(ctx, from)
		if err != nil {
			return nil, err
		}
		if best == nil || x.deviance < best.deviance-sameTop*math.Abs(best.deviance) {
			best = x
		}
	}
	for k, r := range best.ratios {
		if r < zeroBelow {
			best.ratios[k] = 0
		}
	}
	return best.ratios, nil
}

// climb goes up from a start: Newton steps in the observed curvature where that is
// positive, else in the expected one (Fisher's scoring), halved until the likelihood rises,
// ratios held at 0 while the slope there pushes below (projection: Bertsekas 1982, SIAM J.
// Control Optim. 20).
func (p *parts) climb(ctx context.Context, ratios []float64) (*point, error) {
	x, err := p.at(ratios, true)
	if err != nil {
		return nil, err
	}
	for range mostSteps {
		parallel.Look(ctx)
		next, err := p.advance(x, p.step(x))
		if err != nil {
			return nil, err
		}
		moved := 0.0
		for k, r := range next.ratios {
			if r > largestRatio {
				return nil, &Error{"nothing-left-over", -1, -1}
			}
			moved = max(moved, math.Abs(r-x.ratios[k])/max(r, zeroBelow))
		}
		if x = next; moved <= stillWithin {
			break
		}
	}
	return x, nil
}

// step is where Newton's step leads from a point; ratios at 0 that the slope keeps there
// stand still.
func (p *parts) step(x *point) []float64 {
	ratios := x.ratios
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

// advance is the farthest of the step, its half and quarter and so on that does not lower
// the likelihood, but for rounding; the point itself where none does.
func (p *parts) advance(x *point, step []float64) (*point, error) {
	var last error
	for length := 1.0; length > 1e-12; length /= 2 {
		next := make([]float64, len(step))
		for k, r := range x.ratios {
			next[k] = max(0, r+length*step[k])
		}
		y, err := p.at(next, true)
		if err != nil {
			last = err
			continue
		}
		if y.deviance <= x.deviance+1e-12*math.Abs(x.deviance) {
			return y, nil
		}
	}
	return x, last
}

// grids are the ratios the search looks at first for every block column, by how many
// columns there are; with more, all columns have one ratio.
var grids = [...][]float64{
	1: {0, 0.001, 0.01, 0.05, 0.2, 1, 5, 25, 200, 2000},
	2: {0, 0.01, 0.05, 0.2, 1, 5, 25, 200},
	3: {0, 0.05, 0.5, 5, 50},
	4: {0, 0.1, 2, 40},
}

// starts are the points of the grid that no neighbour along a column betters; there is
// always one, for with no blocks there is residual variance.
func (p *parts) starts(ctx context.Context) [][]float64 {
	k := len(p.groups)
	grid, free := grids[1], 1
	if k < len(grids) {
		grid, free = grids[k], k
	}
	total := 1
	for range free {
		total *= len(grid)
	}
	report := parallel.ProgressOf(ctx)
	deviance, beyond := make([]float64, total), make([]bool, total)
	for i := range total {
		report(i, total)
		parallel.Look(ctx)
		x, err := p.at(gridPoint(grid, k, free, i), false)
		if beyond[i] = err != nil; !beyond[i] { // so much that no residual variance is left
			deviance[i] = x.deviance
		}
	}
	var out [][]float64
	for i := range total {
		best := !beyond[i]
		for stride, at := 1, i; stride < total; stride, at = stride*len(grid), at/len(grid) {
			place := at % len(grid)
			best = best && (place == 0 || beyond[i-stride] || deviance[i] <= deviance[i-stride]) &&
				(place == len(grid)-1 || beyond[i+stride] || deviance[i] < deviance[i+stride])
		}
		if best {
			out = append(out, gridPoint(grid, k, free, i))
		}
	}
	return out
}

// gridPoint is point i of the grid: its digits are places in the grid, column by column.
func gridPoint(grid []float64, k, free, i int) []float64 {
	out := make([]float64, k)
	for c := range out {
		if c > 0 && c < free {
			i /= len(grid)
		}
		out[c] = grid[i%len(grid)]
	}
	return out
}
