package curves

import "math"

const (
	flatShare  = 0.05  // of the stiffness: a start less steep is slack
	fewestFlat = 3     // readings a slack needs
	offShare   = 0.005 // of the rise: a slack level nearer to zero is left as read
	offErrors  = 3     // standard errors a slack level must be clear of zero by
)

// zero takes the level of no load off the loads. The slack is looked for without knowing it: a line between 10 % and
// 40 % of the rise from the first reading is carried down to that reading's level, and the first half of what lies
// before its foot is slack when it is flat. Its level is taken off where it is clear of zero; else loads are as read.
func (m *Measures) zero(c *curve) {
	level, off := c.slack(c.load[0])
	if !off {
		return
	}
	m.Tare = level
	for i := range c.load {
		c.load[i] -= level
	}
}

// slack finds the mean load of a flat start, before the joint takes hold, and whether it is clear of zero.
func (c *curve) slack(start float64) (level float64, off bool) {
	trial := curve{path: path{c.slip, make([]float64, len(c.load))}}
	for i, v := range c.load {
		trial.load[i] = v - start
	}
	if trial.findTop() != nil {
		return 0, false
	}
	l, why := trial.line()
	if why != "" {
		return 0, false
	}
	half := (c.slip[0] + l.zeroSlip) / 2
	n := 0
	for n < l.begin && c.slip[n] <= half {
		n++
	}
	if n < fewestFlat {
		return 0, false
	}
	fit, ok := straight(c.slip[:n], c.load[:n])
	if !ok || math.Abs(fit.slope) > flatShare*l.slope {
		return 0, false
	}
	sd := math.Sqrt(fit.syy / float64(n-1))
	off = math.Abs(fit.meanY) > max(offShare*trial.most, offErrors*sd/math.Sqrt(float64(n)))
	return fit.meanY, off
}

// regression is a least-squares line through points.
type regression struct {
	n            int
	meanX, meanY float64
	sxx, syy     float64 // about the means
	slope        float64
	residualSS   float64
}

// straight fits a line; not ok where x does not vary.
func straight(x, y []float64) (regression, bool) {
	r := regression{n: len(x)}
	for i := range x {
		r.meanX += (x[i] - r.meanX) / float64(i+1)
		r.meanY += (y[i] - r.meanY) / float64(i+1)
	}
	sxy := 0.
	for i := range x {
		dx, dy := x[i]-r.meanX, y[i]-r.meanY
		r.sxx += dx * dx
		sxy += dx * dy
		r.syy += dy * dy
	}
	if !(r.sxx > 0) {
		return r, false
	}
	r.slope = sxy / r.sxx
	for i := range x {
		e := y[i] - r.meanY - r.slope*(x[i]-r.meanX)
		r.residualSS += e * e
	}
	return r, true
}
