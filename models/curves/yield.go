package curves

import "math"

// yielding is where the stiffness line meets the tangent.
type yielding struct{ load, slip float64 }

const sixth = 1. / 6 // slope of the tangent, of the stiffness: EN 12512, from memory

// yield is the load at which the stiffness line meets the tangent of one sixth its slope
// (EN 12512, from memory), looked for up to reading last, where the joint first
// drops or the curve ends. The tangent is the line of that slope that touches the curve from
// above, which needs no slope taken from noisy readings; noise raises it by about the
// largest disturbance near the touch. A curve that is still steeper at its last reading has
// none, and one where noise alone could have put the touch before the end neither.
func (c *curve) yield(l line, last int) (yielding, Reason) {
	slope := l.slope * sixth
	touch := l.begin
	height := func(i int) float64 { return c.load[i] - slope*(c.slip[i]-l.zeroSlip) }
	for i := touch + 1; i <= last; i++ {
		if height(i) > height(touch)+hair*c.most {
			touch = i
		}
	}
	if touch == last || c.noise > 0 && !c.falls(touch, last, slope) {
		return yielding{}, NeverSoftens
	}
	y := yielding{load: height(touch) / (1 - sixth)}
	y.slip = l.zeroSlip + y.load/l.slope
	if !(y.load > 0) || y.load > c.most*(1+hair) || y.slip-l.zeroSlip > (c.slip[last]-l.zeroSlip)*(1+hair) {
		return y, MeetsOffCurve
	}
	return y, ""
}

// falls reports whether the readings after touch, up to last, rise less steeply than the
// given slope beyond what their noise explains: by three standard errors of their
// least-squares slope, or, with fewer than three readings, by six sds of the noise at the last.
func (c *curve) falls(touch, last int, slope float64) bool {
	if last-touch >= 3 {
		if fit, ok := straight(c.slip[touch+1:last+1], c.load[touch+1:last+1]); ok {
			return fit.slope-slope < -3*c.noise/math.Sqrt(fit.sxx)
		}
	}
	return c.load[touch]-c.load[last]+slope*(c.slip[last]-c.slip[touch]) >= clearOfNoise*c.noise
}
