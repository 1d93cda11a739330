package curves

// yielding is where the stiffness line meets the tangent.
type yielding struct {
	load, slip float64
	touch      int // the reading the tangent touches
}

const sixth = 1. / 6 // slope of the tangent, of the stiffness: EN 12512, from memory

// yield is the load at which the stiffness line meets the tangent of one sixth its slope
// (EN 12512, from memory), looked for up to reading last: the largest load or the peak
// before the first drop. The tangent is the line of that slope that touches the curve from
// above, which needs no slope taken from noisy readings; noise raises it by about the
// largest disturbance near the touch. A curve that is still steeper at its last reading has
// none, and one whose touch lies so near the end that noise could have put it there neither.
func (c *curve) yield(l line, last int) (yielding, Reason) {
	slope := l.slope * sixth
	touch := l.begin
	height := func(i int) float64 { return c.load[i] - slope*(c.slip[i]-l.foot) }
	for i := touch + 1; i <= last; i++ {
		if height(i) > height(touch)+hair*c.most {
			touch = i
		}
	}
	left := (l.slope - slope) * (c.slip[last] - c.slip[touch])
	if touch == last || left <= max(hair*c.most, clearOfNoise*c.noise) {
		return yielding{}, NeverSoftens
	}
	y := yielding{touch: touch, load: height(touch) / (1 - sixth)}
	y.slip = l.foot + y.load/l.slope
	if !(y.load > 0) || y.load > c.most*(1+hair) || y.slip > c.slip[last] {
		return y, MeetsOffCurve
	}
	return y, ""
}
