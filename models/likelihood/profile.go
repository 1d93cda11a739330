package likelihood

import (
	"context"
	"errors"
	"math"

	"breakbook/models/dist"
	"breakbook/models/verdict"
)

// Quantity is a ratio of two linear forms of the parameters, (Top·θ + Shift) / Bottom·θ;
// without Bottom, the form above alone. Bottom·θ must be positive. Reach is how far from
// the peak a range is followed, and 40 standard errors where one is shorter than Reach: a
// range that goes on beyond is endless.
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

// of is the quantity at theta.
func (q Quantity) of(theta []float64) float64 {
	v := dot(q.Top, theta) + q.Shift
	if q.Bottom != nil {
		v /= dot(q.Bottom, theta)
	}
	return v
}

// plane is the linear form that is zero where the quantity has the value c.
func (q Quantity) plane(c float64) (along []float64, shift float64) {
	if q.Bottom == nil {
		return q.Top, q.Shift - c
	}
	along = make([]float64, len(q.Top))
	for i, t := range q.Top {
		along[i] = t - c*q.Bottom[i]
	}
	return along, q.Shift
}

// bottom is the form below the line at theta.
func (q Quantity) bottom(theta []float64) float64 {
	if q.Bottom == nil {
		return 1
	}
	return dot(q.Bottom, theta)
}

// closeEnough is how near the signed root of the fall must come: a hundred-millionth of a
// standard error.
const closeEnough = 1e-8

// runaway is the fall of the log likelihood, doubled, below which the peak lies at the far end.
const runaway = 1e-6

// Profile takes the range of q at a confidence: the values whose best likelihood lies within
// half a chi-square quantile of the peak (Wilks 1938; Venzon & Moolgavkar 1988), each end a
// root of the signed root of the fall, which is nearly a straight line. Errors are ctx's own
// and a likelihood that could not be climbed.
func (p *Peak) Profile(ctx context.Context, q Quantity, confidence float64) (Profile, error) {
	out := Profile{Value: q.of(p.Theta)}
	along, _ := q.plane(out.Value)
	out.SE = math.Sqrt(dot(along, solved(p.root, along))) / q.bottom(p.Theta)
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
// likelihood ratio test against chi-square on one degree of freedom (Wilks 1938).
func (p *Peak) Chance(ctx context.Context, q Quantity, c float64) (float64, error) {
	w := &walk{peak: p, q: q, theta: p.Theta, root: p}
	from := q.of(p.Theta)
	for step := c - from; w.at != c || w.peakAt == nil; {
		to := from + step
		if math.Abs(to-c) < 1e-12*math.Max(1, math.Abs(c)) {
			to = c
		}
		err := w.to(ctx, to)
		switch {
		case errors.Is(err, ErrNoStart) && math.Abs(step) > 1e-9*(1+math.Abs(c)):
			step /= 4
			continue
		case err != nil:
			return math.NaN(), err
		}
		from, step = to, c-to
	}
	return dist.ChiSquareTail(w.fall(), 1), nil
}

// walk is a path along the profile: the best point with the quantity at a value.
type walk struct {
	peak   *Peak
	q      Quantity
	theta  []float64
	at     float64
	root   *Peak // whose curvature carries theta from one value to the next
	peakAt *Peak // the latest point
}

// to goes to the value c: to where the curvature expects the best point, and from there up.
func (w *walk) to(ctx context.Context, c float64) error {
	along, shift := w.q.plane(c)
	v := solved(w.root.root, along)
	share := (dot(along, w.theta) + shift) / dot(along, v)
	start := make([]float64, len(w.theta))
	for i, t := range w.theta {
		start[i] = t - share*v[i]
	}
	straighten(start, along, shift)
	if !(w.q.bottom(start) > 0) {
		return ErrNoStart
	}
	p, err := climb(ctx, w.peak.f, start, along)
	if err != nil {
		return err
	}
	if !p.Converged { // too far in one go
		return ErrNoStart
	}
	w.theta, w.at, w.root, w.peakAt = p.Theta, c, p, p
	return nil
}

// fall is how far the log likelihood lies below the peak, doubled.
func (w *walk) fall() float64 { return math.Max(0, 2*(w.peak.Value-w.peakAt.Value)) }

// end is where the signed root of the fall is far; away tells that the likelihood is as high
// at the end of the reach as at the peak.
func (p *Peak) end(ctx context.Context, q Quantity, side, far float64, at Profile) (end float64, away bool, err error) {
	w := &walk{peak: p, q: q, theta: p.Theta, root: p, at: at.Value}
	inner, innerGap := at.Value, -far
	step := math.Min(far*at.SE, q.Reach/16)
	if !(step > 0) {
		step = q.Reach / 16
	}
	var outer, outerGap float64
	for found := false; !found; {
		c, here := inner+side*step, *w
		err := w.to(ctx, c)
		if errors.Is(err, ErrNoStart) && step > 1e-9*q.Reach {
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
			outer, outerGap, found = c, gap, true
		case math.Abs(c-at.Value) > q.Reach:
			return math.Inf(int(side)), w.fall() < runaway, nil
		default:
			// On along the straight line through both, and a little further.
			slope := (gap - innerGap) / step
			inner, innerGap = c, gap
			if next := -gap / slope * 1.02; slope > 0 && next < 4*step {
				step = math.Max(next, 1e-9*step)
			} else {
				step *= 4
			}
		}
	}
	return w.between(ctx, far, inner, innerGap, outer, outerGap)
}

// between closes in on the root by the secant, the gap of an end that stays halved (Dowell &
// Jarratt 1971), to 1e-8 of the signed root. A value that cannot be reached from the latest
// one is taken in halves.
func (w *walk) between(ctx context.Context, far, inner, innerGap, outer, outerGap float64) (float64, bool, error) {
	stayed := 0 // how often the outer end stayed, below zero the inner
	for range 100 {
		if outerGap < closeEnough {
			return outer, false, nil
		}
		c := inner + (outer-inner)*(-innerGap)/(outerGap-innerGap)
		if c == inner || c == outer {
			return c, false, nil
		}
		err := w.to(ctx, c)
		for halves := 0; errors.Is(err, ErrNoStart) && halves < mostHalved; halves++ {
			c = w.at + (c-w.at)/2
			err = w.to(ctx, c)
		}
		if err != nil {
			return 0, false, err
		}
		gap := math.Sqrt(w.fall()) - far
		switch {
		case math.Abs(gap) < closeEnough:
			return c, false, nil
		case gap > 0:
			outer, outerGap = c, gap
			if stayed--; stayed < -1 {
				innerGap /= 2
			}
			stayed = min(stayed, -1)
		default:
			inner, innerGap = c, gap
			if stayed++; stayed > 1 {
				outerGap /= 2
			}
			stayed = max(stayed, 1)
		}
	}
	return inner + (outer-inner)/2, false, nil
}
