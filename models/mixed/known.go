package mixed

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// gridSteps is how many places the variance is looked for at before the best is narrowed down.
const gridSteps = 60

// SolveKnown is Solve with one block column whose levels are known to differ by a standard deviation of sd > 0, in the
// unit of y: two or three levels cannot tell it. Sigma² alone is estimated, at the largest likelihood with ratio =
// sd²/Sigma² (the restricted likelihood of Patterson and Thompson 1971 with one of its variances given), and the
// degrees of freedom count its uncertainty alone. Errors are those of Solve.
func SolveKnown(ctx context.Context, y []float64, m design.Model, b Block, sd float64, c Criterion) (_ *Fit,
	err error) {
	defer parallel.Catch(&err)
	base, err := linear.Solve(ctx, y, m)
	if err != nil {
		return nil, err
	}
	groups, err := group(ctx, base, []Block{b})
	if err != nil {
		return nil, err
	}
	p, err := takeApart(ctx, base, groups, c)
	if err != nil {
		return nil, err
	}
	x, err := p.given(ctx, sd)
	if err != nil {
		return nil, err
	}
	own := *base
	f := &Fit{Fit: &own, criterion: c, Components: []Component{{Levels: groups[0].levels}}, Blocks: []Block{b},
		parts: p, at: x, known: sd}
	if f.inverse, err = p.informationGiven(x, sd); err != nil {
		return nil, err
	}
	f.finish(ctx, p)
	return f, nil
}

// given finds the point where the likelihood is largest for a known sd of the blocks.
func (p *parts) given(ctx context.Context, sd float64) (*point, error) {
	// Sigma lies between a hundredth of what least squares leaves and what it leaves with the blocks in it
	high := math.Log(sd * sd / (p.rss / p.freedom) * 1e4)
	low := math.Log(sd * sd / (p.rss/p.freedom + sd*sd) / 1e2)
	best, at := math.Inf(1), 0
	step := (high - low) / gridSteps
	for i := range gridSteps + 1 {
		parallel.Look(ctx)
		x, err := p.at([]float64{math.Exp(low + float64(i)*step)}, false)
		if err != nil {
			return nil, err
		}
		if d := p.deviance(x, sd); d < best {
			best, at = d, i
		}
	}
	from, to := low+float64(at-1)*step, low+float64(at+1)*step
	for range 200 {
		middle := (from + to) / 2
		x, err := p.at([]float64{math.Exp(middle)}, true)
		if err != nil {
			return nil, err
		}
		if to-from < 1e-13 || middle == from || middle == to {
			return x, nil
		}
		if p.slopeGiven(x, sd) > 0 {
			to = middle
		} else {
			from = middle
		}
	}
	return p.at([]float64{math.Exp((from + to) / 2)}, true)
}

// deviance is −2 log likelihood at a ratio where the blocks' sd is known, less what is constant.
func (p *parts) deviance(x *point, sd float64) float64 {
	variance := sd * sd / x.ratios[0]
	return x.deviance - p.freedom*math.Log(x.rss) + p.freedom*math.Log(variance) + x.rss/variance
}

// slopeGiven is the derivative of that in the ratio.
func (p *parts) slopeGiven(x *point, sd float64) float64 {
	falls := floats.Dot(x.residuals[0], x.residuals[0]) // −d rss / d ratio
	return x.slopes[0] + p.freedom*falls/x.rss - p.freedom/x.ratios[0] + (x.rss-falls*x.ratios[0])/(sd*sd)
}

// informationGiven is the covariance of Sigma² and the ratio, which go together, from the observed information about
// Sigma² along ratio = sd²/Sigma².
func (p *parts) informationGiven(x *point, sd float64) ([][]float64, error) {
	ratio := x.ratios[0]
	v := sd * sd / ratio
	falls := floats.Dot(x.residuals[0], x.residuals[0])
	first, second := -ratio/v, 2*ratio/(v*v) // of the ratio, in Sigma²
	info := x.rss/(v*v*v) - p.freedom/(2*v*v) + 2*first*falls/(2*v*v) + first*first*(x.squares.At(0, 0)/v-x.traces.At(0,
		0)/2) + second*(x.slopes[0]+p.freedom*falls/x.rss-falls/v)/2
	if !(info > 0) {
		return nil, &Error{"nothing-left-over", -1, -1}
	}
	return [][]float64{{1 / info, first / info}, {first / info, first * first / info}}, nil
}
