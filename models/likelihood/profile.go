package likelihood

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/dist"
	"breakbook/models/halving"
	"breakbook/models/verdict"
)

// Quantity is a ratio of two linear forms of the parameters, (Top·θ + Shift) / Bottom·θ;
// without Bottom, the form above alone. Bottom·θ must be positive. Reach is how far from
// the peak an interval is followed, and 40 standard errors where one is shorter than Reach: a
// interval that goes on beyond is endless.
type Quantity struct {
	Top, Bottom []float64
	Shift       float64
	Reach       float64
}

// Profile is what the likelihood says of one quantity. Where the likelihood keeps rising
// the further the quantity goes, Value is infinite and SE NaN.
type Profile struct {
	Value, SE float64       // SE from the curvature at the peak (the delta method)
	Range     verdict.Range // an endless side is infinite
}

func (q Quantity) of(theta []float64) float64 {
	v := floats.Dot(q.Top, theta) + q.Shift
	if q.Bottom != nil {
		v /= floats.Dot(q.Bottom, theta)
	}
	return v
}

// plane is where the quantity has the value c.
func (q Quantity) plane(c float64) *plane {
	if q.Bottom == nil {
		return &plane{along: q.Top, shift: q.Shift - c}
	}
	along := make([]float64, len(q.Top))
	for i, t := range q.Top {
		along[i] = t - c*q.Bottom[i]
	}
	return &plane{along: along, shift: q.Shift}
}

// bottom is the form below the line at theta.
func (q Quantity) bottom(theta []float64) float64 {
	if q.Bottom == nil {
		return 1
	}
	return floats.Dot(q.Bottom, theta)
}

// closeEnough is how near the signed root of the fall must come: a hundred-millionth of a
// standard error, and what rounding leaves of a large likelihood beside it.
const closeEnough = 1e-8

// runaway is the fall of the log likelihood, doubled, below which the peak lies at the far end.
const runaway = 1e-6

// Profile takes the interval of q at a confidence: the values whose best likelihood lies within
// half a chi-square quantile of the peak (Wilks 1938; Venzon & Moolgavkar 1988), each end a
// root of the signed root of the fall, which is nearly a straight line. Errors are ctx's own
// and ErrNoRange, with Value and SE as far as they are known.
func (p *Peak) Profile(ctx context.Context, q Quantity, confidence float64) (Profile, error) {
	out := Profile{Value: q.of(p.Theta), SE: math.NaN(), Range: verdict.Range{Low: math.NaN(), High: math.NaN()}}
	if root, ok := factorised(p.curvature); ok {
		along := q.plane(out.Value).along
		out.SE = math.Sqrt(floats.Dot(along, root.Solve(along))) / q.bottom(p.Theta)
	}
	if out.SE < q.Reach {
		q.Reach = math.Max(q.Reach, 40*out.SE)
	}
	far := -dist.TQuantile((1-confidence)/2, math.Inf(1))
	ends, from := [2]float64{}, out
	for i, side := range []float64{-1, 1} {
		end, away, err := p.end(ctx, q, side, far, from)
		if err != nil {
			return out, err
		}
		if away {
			out.Value, out.SE = math.Inf(int(side)), math.NaN()
		}
		ends[i] = end
	}
	out.Range = verdict.Range{Low: ends[0], High: ends[1]}
	return out, nil
}

// Chance is the probability of a fall as large as that at c, were c the truth: the
// likelihood ratio test against chi-square on one degree of freedom (Wilks 1938). Errors are
// ctx's own and ErrNoRange.
func (p *Peak) Chance(ctx context.Context, q Quantity, c float64) (float64, error) {
	w := &walk{peak: p, q: q, point: p, at: q.of(p.Theta)}
	if err := w.reach(ctx, c); err != nil {
		return math.NaN(), err
	}
	return dist.ChiSquareTail(w.fall(), 1), nil
}

// errTooFar says that the profile cannot be followed to a value in one go.
var errTooFar = errors.New("too far in one go")

// mostTries bounds the steps along a profile, those taken back with them.
const mostTries = 400

// walk is a path along the profile: the best point with the quantity at a value.
type walk struct {
	peak  *Peak
	q     Quantity
	point *Peak // the latest
	at    float64
}

// to goes to the value c: to where the slope and the curvature at the latest point expect the
// best one, or only part of the way there from where the plane is first met, and from there
// up. Errors are ctx's own and errTooFar.
func (w *walk) to(ctx context.Context, c float64) error {
	within := w.q.plane(c)
	within.turn(w.point.curvature, w.q.Bottom)
	first, then := within.onto(w.point)
	start := make([]float64, len(first))
	for _, share := range []float64{1, 0.25, 0} {
		for i, t := range w.point.Theta {
			start[i] = t + first[i] + share*then[i]
		}
		within.settle(start)
		if !(w.q.bottom(start) > 0) {
			continue
		}
		p, err := climb(ctx, w.peak.f, start, within)
		if errors.Is(err, ErrNoStart) {
			continue
		}
		if err != nil {
			return err
		}
		if p.Converged {
			w.point, w.at = p, c
			return nil
		}
	}
	return errTooFar
}

// reach goes to the value c, in parts of the way where it is too far in one go.
func (w *walk) reach(ctx context.Context, c float64) error {
	share := 1.0 // of the way left
	for range mostTries {
		switch err := w.to(ctx, w.at+share*(c-w.at)); {
		case errors.Is(err, errTooFar):
			share /= 4
		case err != nil:
			return err
		case share == 1:
			return nil
		default:
			share = math.Min(1, 4*share)
		}
	}
	return ErrNoRange
}

// fall is how far the log likelihood lies below the peak, doubled.
func (w *walk) fall() float64 { return math.Max(0, 2*(w.peak.Value-w.point.Value)) }

// end is where the signed root of the fall is far; away tells that the likelihood is as high
// at the end of the reach as at the peak.
func (p *Peak) end(ctx context.Context, q Quantity, side, far float64, at Profile) (end float64, away bool, err error) {
	w := &walk{peak: p, q: q, point: p, at: at.Value}
	inner := bracketEnd{at.Value, -far}
	step := math.Min(far*at.SE, q.Reach/16)
	if !(step > 0) {
		step = q.Reach / 16
	}
	for range mostTries {
		c, here := inner.at+side*step, *w
		err := w.to(ctx, c)
		if errors.Is(err, errTooFar) {
			step /= 4
			continue
		}
		if err != nil {
			return 0, false, err
		}
		gap := math.Sqrt(w.fall()) - far
		switch {
		case gap > 10*far+10: // so far that little is known of the way between
			*w = here
			step /= 4
		case gap >= 0:
			end, err := w.between(ctx, far, inner, bracketEnd{c, gap})
			return end, false, err
		case math.Abs(c-at.Value) > q.Reach:
			return math.Inf(int(side)), w.fall() < runaway, nil
		default:
			// On along the straight line through both, and a little further.
			slope := (gap - inner.gap) / step
			inner = bracketEnd{c, gap}
			if next := -gap / slope * 1.02; slope > 0 && next < 4*step {
				step = math.Max(next, 1e-9*step)
			} else {
				step *= 4
			}
		}
	}
	return 0, false, ErrNoRange
}

// bracketEnd is a value of the quantity, and how far the signed root of the fall there lies beyond
// where an interval ends.
type bracketEnd struct{ at, gap float64 }

// between closes in on the root as halving.Root does, as close as closeEnough.
func (w *walk) between(ctx context.Context, far float64, inner, outer bracketEnd) (end float64, err error) {
	enough := closeEnough + 1e-13*math.Abs(w.peak.Value)
	if outer.gap < enough {
		return outer.at, nil
	}
	along := func(part float64) float64 { return inner.at + part*(outer.at-inner.at) }
	part := halving.Root(func(part float64) float64 {
		switch {
		case part == 0:
			return inner.gap
		case part == 1:
			return outer.gap
		}
		if err = w.reach(ctx, along(part)); err != nil {
			return 0 // a root, so that the search ends
		}
		return math.Sqrt(w.fall()) - far
	}, 0, 1, halving.Near{Value: enough})
	return along(part), err
}
