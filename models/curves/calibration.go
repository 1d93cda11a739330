package curves

import (
	"cmp"
	"context"
	"math"
	"slices"

	"breakbook/models/parallel"
)

// Calibration is a gauge's table, checked: readings and true values both rise.
type Calibration struct {
	Points    []CalibrationPoint // by rising reading; rows of one true value are one point
	From, To  float64            // readings it covers
	Tare      float64            // the reading at a true value of zero; NaN where the table does not reach zero
	Gain      float64            // true units per unit of reading: slope of the least-squares line
	Bend      float64            // the furthest a point lies from that line, true units
	WidestGap float64            // the widest step from one point to the next, as a share of the range
	Step      float64            // rounding step of the readings, NaN where there is none to see
	Repeats   int                // rows beyond the first of their true value
	Disagree  float64            // the widest spread of readings at one true value
}

// CalibrationPoint is a reading and what was really there.
type CalibrationPoint struct{ Reading, True float64 }

// NewCalibration checks a calibration table, given in any order. Rows with the same true
// value (the load put on more than once, or on the way up and down) become one point at
// their mean reading. Errors (*Error, rows from 0): "uneven-lengths", "not-a-number",
// "too-large", "too-few-readings" (two different true values are needed),
// "repeated-reading" (one reading for two true values), "not-rising" (a larger reading for
// a smaller true value), or ctx's own.
func NewCalibration(ctx context.Context, reading, truth []float64) (_ *Calibration, err error) {
	defer parallel.Catch(&err)
	n := len(reading)
	if n != len(truth) {
		return nil, because("uneven-lengths", n)
	}
	at := make([]int, n)
	for i := range at {
		at[i] = i
		if code := unfit(reading[i], truth[i]); code != "" {
			return nil, &Error{Code: code, N: n, Reading: i, Other: -1}
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(truth[a], truth[b]) })
	c := &Calibration{}
	var rows []int // the first row of each point
	for i := 0; i < n; {
		first, sum, least, most := i, 0., reading[at[i]], reading[at[i]]
		for ; i < n && truth[at[i]] == truth[at[first]]; i++ {
			r := reading[at[i]]
			sum += (r - sum) / float64(i-first+1)
			least, most = min(least, r), max(most, r)
		}
		c.Points = append(c.Points, CalibrationPoint{sum, truth[at[first]]})
		rows = append(rows, at[first])
		c.Repeats += i - first - 1
		c.Disagree = max(c.Disagree, most-least)
	}
	if len(c.Points) < 2 {
		return nil, because("too-few-readings", n)
	}
	for k := 1; k < len(c.Points); k++ {
		code := ""
		switch {
		case c.Points[k].Reading == c.Points[k-1].Reading:
			code = "repeated-reading"
		case c.Points[k].Reading < c.Points[k-1].Reading:
			code = "not-rising"
		default:
			continue
		}
		return nil, &Error{Code: code, N: n, Reading: rows[k], Other: rows[k-1]}
	}
	c.describe(ctx, reading)
	return c, nil
}

// unfit says why two numbers cannot be a row, or "".
func unfit(v ...float64) string {
	for _, x := range v {
		switch {
		case math.IsNaN(x) || math.IsInf(x, 0):
			return "not-a-number"
		case math.Abs(x) > largest:
			return "too-large"
		}
	}
	return ""
}

func (c *Calibration) describe(ctx context.Context, reading []float64) {
	last := len(c.Points) - 1
	c.From, c.To = c.Points[0].Reading, c.Points[last].Reading
	x, y := make([]float64, last+1), make([]float64, last+1)
	for k, p := range c.Points {
		x[k], y[k] = p.Reading, p.True
		if k > 0 {
			c.WidestGap = max(c.WidestGap, (x[k]-x[k-1])/(c.To-c.From))
		}
	}
	c.Tare = math.NaN()
	if y[0] <= 0 && y[last] >= 0 {
		c.Tare = along(y, x, 0)
	}
	if fit, ok := straight(x, y); ok {
		c.Gain = fit.slope
		for k := range x {
			c.Bend = max(c.Bend, math.Abs(y[k]-fit.meanY-fit.slope*(x[k]-fit.meanX)))
		}
	}
	c.Step, _ = Step(ctx, reading)
}

// Apply gives the true value of a reading by straight lines between the points. Outside
// the readings covered it carries the end line on, and says so; NaN gives NaN.
func (c *Calibration) Apply(reading float64) (truth float64, outside bool) {
	k, _ := slices.BinarySearchFunc(c.Points, reading, func(p CalibrationPoint, r float64) int {
		return cmp.Compare(p.Reading, r)
	})
	k = min(max(k, 1), len(c.Points)-1)
	a, b := c.Points[k-1], c.Points[k]
	if reading == b.Reading {
		return b.True, false
	}
	truth = a.True + (b.True-a.True)*((reading-a.Reading)/(b.Reading-a.Reading))
	return truth, reading < c.From || reading > c.To
}

// along is y at x by straight lines between points of rising x that reach it.
func along(x, y []float64, at float64) float64 {
	k := 1
	for k < len(x)-1 && x[k] < at {
		k++
	}
	return y[k-1] + (y[k]-y[k-1])*((at-x[k-1])/(x[k]-x[k-1]))
}
