// Package curves measures load–slip curves, and checks the gauge they were read with:
// its calibration, rounding step, tare and drift.
//
// Slips and loads are plain numbers in whatever units the caller has; a result is in the
// same units, and Kind.Powers says how they enter. No result is ever a guess: what a curve
// does not hold is NaN, with a Reason.
package curves

import (
	"fmt"
	"math"

	"breakbook/models/lists"
)

// Kind is one of the figures measured on a curve, in the order of the columns.
type Kind uint8

const (
	MaxLoad       Kind = iota // the largest load
	SlipAtMax                 // slip at the largest load, from the foot of the stiffness line
	FirstDropLoad             // the load from which it first drops
	Stiffness                 // slope between 10 % and 40 % of the largest load: EN 26891 (ISO 6891), from memory
	YieldLoad                 // where the stiffness line meets a tangent of a sixth of its slope: EN 12512, from memory
	EnergyToMax               // area under the curve up to the largest load, by the trapezium rule (textbook)
	EnergyTotal               // area up to the last reading, or the fall below 20 % of the largest load
	LoadAfterDrop             // the largest load after the trough of the first drop
	kinds
)

// Kinds lists the figures in the order of their columns.
func Kinds() []Kind {
	return lists.Made(int(kinds), func(k int) Kind { return Kind(k) })
}

// Key is the figure's column name.
func (k Kind) Key() string {
	return [...]string{"max_load", "slip_at_max", "first_drop_load", "stiffness", "yield_load",
		"energy_to_max", "energy_total", "load_after_drop"}[k]
}

// Powers says how the units of load and slip enter the figure: stiffness is 1 and -1,
// an energy 1 and 1.
func (k Kind) Powers() (load, slip int) {
	switch k {
	case SlipAtMax:
		return 0, 1
	case Stiffness:
		return 1, -1
	case EnergyToMax, EnergyTotal:
		return 1, 1
	default:
		return 1, 0
	}
}

// Reason says why a curve does not hold a figure; "" where it does.
type Reason string

const (
	// the first reading is above a quarter of the largest load: no rise from 10 % to see
	StartsHigh    Reason = "starts-high"
	Upright       Reason = "upright"         // slip does not move between 10 % and 40 %
	NotRising     Reason = "not-rising"      // the line between 10 % and 40 % does not rise
	DropsEarly    Reason = "drops-early"     // the first drop comes before 40 % of the largest load
	NoStiffness   Reason = "no-stiffness"    // needs the stiffness line, which does not exist
	NeverDrops    Reason = "never-drops"     // no fall of the share asked for that is not won back
	NothingAfter  Reason = "nothing-after"   // no reading follows the lowest one after the drop
	NeverSoftens  Reason = "never-softens"   // slope above a sixth of the stiffness until the first drop or the end
	MeetsOffCurve Reason = "meets-off-curve" // the two lines meet beyond the curve
)

const (
	stiffnessNeeds = 0.25        // share of the largest load a first reading may have and still show the rise
	fewest         = 5           // readings a curve needs
	largest        = 1e100       // a magnitude whose products do not overflow
	smallest       = 1 / largest // a span whose products do not vanish
	defaultDrop    = 0.05
)

// Options are what may be asked of Measure; the zero value is the usual choice.
type Options struct {
	Drop float64 // share of a running maximum that makes a drop, above 0 and below 1; 0 stands for 0.05
}

// Measures is what a curve gave. Slips in Marks are as read; the others count from ZeroSlip.
type Measures struct {
	Values      [kinds]float64 // by Kind; NaN where the curve does not hold the figure
	Why         [kinds]Reason  // by Kind; "" where there is a value
	Marks       Marks
	Tare        float64 // taken off every load: the level of the slack at the start
	Preparation Preparation
}

// Marks are places on the curve, for drawing: slips as read, loads with the tare taken
// off; NaN where there is no such place.
type Marks struct {
	ZeroSlip         float64 // slip where the stiffness line is at no load
	LineFrom, LineTo float64 // slips the stiffness line was fitted between
	MaxSlip          float64
	DropSlip         float64 // of the peak before the first drop
	TroughSlip       float64 // of the lowest reading after it
	YieldSlip        float64 // where the two lines meet
	StillCarrying    bool    // the last reading is above 20 % of the largest load, so EnergyTotal is cut short
	ShortLine        bool    // the first reading is above 10 %, so the line starts there
}

// Error says why a curve, a calibration or a gauge check cannot be worked out. Codes:
// "uneven-lengths", "bad-option", "too-few-readings", "not-a-number" (infinite, or for a
// gauge also missing), "too-large", "slip-stands-still", "slip-backwards" (it counts down),
// "no-rise" (the first reading is the largest, or none is above zero), "upside-down" (loads
// run further below zero than above); "repeated-reading", "not-rising" (calibration);
// "order-stands-still", "all-equal" (drift).
type Error struct {
	Code    string
	N       int // readings there were
	Reading int // the one it is about, from 0, or -1
	Other   int // the one it clashes with, or -1
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s (reading %d, other %d, of %d)", e.Code, e.Reading, e.Other, e.N)
}

func because(code string, n int) *Error { return &Error{Code: code, N: n, Reading: -1, Other: -1} }

// curve is a path with its loads counted from no load, and what is known of it so far.
type curve struct {
	path
	top   int     // index of the largest load
	most  float64 // that load
	noise float64
}

// Measure takes the figures of one curve from its readings in test order; a reading without
// slip or load (NaN) is left out. Stiffness is EN 26891 = ISO 6891 and yield EN 12512, both
// from memory; first drop and load after it are common practice, no source. Loops of
// unloading are left out, so energies are those of the envelope. An error is an *Error.
func Measure(slip, load []float64, o Options) (*Measures, error) {
	if o.Drop == 0 {
		o.Drop = defaultDrop
	}
	if !(o.Drop > 0 && o.Drop < 1) {
		return nil, because("bad-option", len(slip))
	}
	slip, from := counted(slip, load)
	p, prep, err := travel(slip, load)
	if err != nil {
		return nil, err
	}
	m := &Measures{Preparation: prep}
	for k := range m.Values {
		m.Values[k] = math.NaN()
	}
	nan := math.NaN()
	m.Marks = Marks{ZeroSlip: nan, LineFrom: nan, LineTo: nan, MaxSlip: nan, DropSlip: nan, TroughSlip: nan,
		YieldSlip: nan}
	c := &curve{path: p}
	m.zero(c)
	if err := c.findTop(); err != nil {
		return nil, err
	}
	m.set(MaxLoad, c.most)
	m.Marks.MaxSlip = c.slip[c.top]

	l, why := c.line()
	c.noise = l.noise
	reach := c.slip[c.top] - c.slip[0]
	if why == "" {
		reach = c.slip[c.top] - l.zeroSlip
	}
	within := wonBackWithin * reach
	d := c.firstDrop(o.Drop, within)
	m.drop(c, d, o.Drop)
	if why == "" && d.found && d.peak < l.end {
		why = DropsEarly
	}
	m.line(c, l, why, c.wholeUntil(d, within))
	m.energy(c)
	m.asRead(from)
	return m, nil
}

// counted is the slips from the first whole reading, so that where the gauge counts from
// changes no figure, not even by its rounding; and the slip of that reading.
func counted(slip, load []float64) ([]float64, float64) {
	first := 0
	for first < min(len(slip), len(load)) && math.IsNaN(slip[first]+load[first]) {
		first++
	}
	if first == len(slip) || !(math.Abs(slip[first]) <= largest) {
		return slip, 0
	}
	return lists.Mapped(slip, func(s float64) float64 { return s - slip[first] }), slip[first]
}

// asRead gives the places on the curve in slips as the gauge had them.
func (m *Measures) asRead(from float64) {
	at := &m.Marks
	for _, slip := range []*float64{&at.ZeroSlip, &at.LineFrom, &at.LineTo, &at.MaxSlip, &at.DropSlip,
		&at.TroughSlip, &at.YieldSlip} {
		*slip += from
	}
}

func (m *Measures) set(k Kind, v float64) { m.Values[k], m.Why[k] = v, "" }

// findTop finds the largest load, the first of equals.
func (c *curve) findTop() error {
	least := c.load[0]
	for i, v := range c.load {
		if v > c.load[c.top] {
			c.top = i
		}
		least = min(least, v)
	}
	c.most = c.load[c.top]
	switch n := len(c.load); {
	case -least > max(c.most, 0):
		return because("upside-down", n)
	case c.top == 0 || c.most < smallest:
		return because("no-rise", n)
	}
	return nil
}

// line records what depends on the stiffness line, or why there is none.
func (m *Measures) line(c *curve, l line, why Reason, whole int) {
	if why != "" {
		m.Why[Stiffness] = why
		m.Why[SlipAtMax], m.Why[YieldLoad] = NoStiffness, NoStiffness
		return
	}
	m.set(Stiffness, l.slope)
	m.set(SlipAtMax, c.slip[c.top]-l.zeroSlip)
	m.Marks.ZeroSlip, m.Marks.LineFrom, m.Marks.LineTo, m.Marks.ShortLine = l.zeroSlip, l.from, l.to, l.short
	y, why := c.yield(l, whole)
	if why != "" {
		m.Why[YieldLoad] = why
		return
	}
	m.set(YieldLoad, y.load)
	m.Marks.YieldSlip = y.slip
}
