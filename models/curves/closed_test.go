package curves

import (
	"fmt"
	"math"
	"testing"
)

// shape is a curve whose figures are known in closed form. load is on [0, end]; corners
// are slips that must be read (a drop is a corner met twice: before and after).
type shape struct {
	name    string
	end     float64
	load    func(s float64) float64
	corners []corner
	want    [kinds]float64
	why     [kinds]Reason
	bent    float64 // largest |second derivative|: readings joined by straight pieces miss by bent·h²/8
	window  float64 // slip between 10 % and 40 %
	edge    bool    // on the edge between softening and not
	thin    bool    // close to it
}

type corner struct{ slip, load float64 }

// read samples n evenly spaced readings and puts the corners among them, each in the
// place of a reading at the same slip.
func (c shape) read(n int) (slip, load []float64) {
	k := 0
	for i := range n {
		s := c.end * float64(i) / float64(n-1)
		at := false
		for ; k < len(c.corners) && c.corners[k].slip <= s; k++ {
			at = c.corners[k].slip == s
			slip, load = append(slip, c.corners[k].slip), append(load, c.corners[k].load)
		}
		if !at {
			slip, load = append(slip, s), append(load, c.load(s))
		}
	}
	return slip, load
}

// pieces is a curve of straight pieces, drops included.
func pieces(name string, at ...corner) shape {
	load := func(s float64) float64 {
		for i := 1; i < len(at); i++ {
			if s <= at[i].slip && at[i].slip > at[i-1].slip {
				t := (s - at[i-1].slip) / (at[i].slip - at[i-1].slip)
				return at[i-1].load + t*(at[i].load-at[i-1].load)
			}
		}
		return math.NaN()
	}
	return shape{name: name, end: at[len(at)-1].slip, load: load, corners: at}
}

var nan = math.NaN()

func (c shape) gives(values [kinds]float64, why map[Kind]Reason) shape {
	c.want = values
	for k, r := range why {
		c.why[k] = r
	}
	return c
}

func (c shape) close(edge bool) shape {
	c.edge, c.thin = edge, !edge
	return c
}

// Values in the order of Kinds: max_load, slip_at_max, first_drop_load, stiffness,
// yield_load, energy_to_max, energy_total, load_after_drop.
func shapes() []shape {
	brittle := map[Kind]Reason{YieldLoad: NeverSoftens, FirstDropLoad: NeverDrops, LoadAfterDrop: NeverDrops}
	undropped := map[Kind]Reason{FirstDropLoad: NeverDrops, LoadAfterDrop: NeverDrops}
	return []shape{
		// Load 120 s up to s = 3: areas are half of 3 · 360.
		pieces("straight line", corner{0, 0}, corner{3, 360}).
			gives([kinds]float64{360, 3, nan, 120, nan, 540, 540, nan}, brittle),
		// The same after 0.5 of slack: the foot of the line is at 0.5, areas do not change.
		pieces("slack", corner{0, 0}, corner{0.5, 0}, corner{3.5, 360}).
			gives([kinds]float64{360, 3, nan, 120, nan, 540, 540, nan}, brittle),
		// Slopes 100 and 10, corner at (2, 200): 10 < 100/6, so the line of slope 100/6
		// touches at the corner, which is on the stiffness line: yield 200. Areas: 200, then 4 · 220.
		pieces("two lines", corner{0, 0}, corner{2, 200}, corner{6, 240}).
			gives([kinds]float64{240, 6, nan, 100, 200, 1080, 1080, nan}, undropped),
		// Slopes 60 and 10 = 60/6: the second line is the tangent all along: yield at the corner.
		pieces("two lines, second just a sixth", corner{0, 0}, corner{2, 120}, corner{6, 160}).
			gives([kinds]float64{160, 6, nan, 60, 120, 680, 680, nan}, undropped).close(true),
		// Slopes 100 and 20: steeper than a sixth to the end: no tangent.
		pieces("two lines that never soften", corner{0, 0}, corner{2, 200}, corner{6, 280}).
			gives([kinds]float64{280, 6, nan, 100, nan, 1160, 1160, nan}, brittle).close(false),
		parabola(), halfSine(),
		// Slope 100 throughout; falls 100→50 at 1, 120→70 at 1.7, ends at 140 at 2.4.
		// Areas: 50 + 0.7 · (85 + 105) = 183.
		pieces("sawtooth", corner{0, 0}, corner{1, 100}, corner{1, 50}, corner{1.7, 120}, corner{1.7, 70},
			corner{2.4, 140}).
			gives([kinds]float64{140, 2.4, 100, 100, nan, 183, 183, 140}, map[Kind]Reason{YieldLoad: NeverSoftens}),
		// The glue line breaks at 300 and the pins carry 180 → 240, then give way, 240 → 0
		// from 3 to 7; 60, a fifth of 300, is reached at 6. Areas: 150; + 2 · 210 + 3 · 150.
		pieces("glue, then pins", corner{0, 0}, corner{1, 300}, corner{1, 180}, corner{3, 240}, corner{7, 0}).
			gives([kinds]float64{300, 1, 300, 300, nan, 150, 1020, 240}, map[Kind]Reason{YieldLoad: NeverSoftens}),
		// The same with pins that reach 360 at 3 (and 0 at 7: 72 at 6.2). Areas: 150 + 2 · 270; + 3.2 · 216.
		pieces("glue, then stronger pins", corner{0, 0}, corner{1, 300}, corner{1, 180}, corner{3, 360}, corner{7, 0}).
			gives([kinds]float64{360, 3, 300, 300, nan, 690, 690 + 3.2*216, 360},
				map[Kind]Reason{YieldLoad: NeverSoftens}),
		// Yields at 240 (slope 300, then 20 < 50) before the glue line breaks at 280, at 2.8;
		// then 20 to the end: falls straight down past a fifth. Areas: 96 + 2 · 260.
		pieces("yields, then breaks", corner{0, 0}, corner{0.8, 240}, corner{2.8, 280}, corner{2.8, 20}, corner{4, 10}).
			gives([kinds]float64{280, 2.8, 280, 300, 240, 616, 616, nan}, map[Kind]Reason{LoadAfterDrop: NothingAfter}),
	}
}

// parabola is F (2u − u²) with u = s/S, to u = 2; S = 4, F = 500. p of F is reached at
// u = 1 − √(1−p). Least squares over an interval gives a parabola's slope in the middle:
// κ F/S with κ = √0.9 + √0.6; the mean over the interval of width w is
// F (2m − m² − w²/12). The slope is κ/6 where 1 − u = κ/12. ∫ = F S (u² − u³/3); a fifth is
// reached at 1 + √0.8.
func parabola() shape {
	const F, S = 500, 4
	a, b := 1-math.Sqrt(0.9), 1-math.Sqrt(0.6)
	κ, m, w := math.Sqrt(0.9)+math.Sqrt(0.6), (a+b)/2, b-a
	intercept := m - (2*m-m*m-w*w/12)/κ
	t := 1 - κ/12
	yield := 6. / 5 * (2*t - t*t - κ/6*(t-intercept))
	e := 1 + math.Sqrt(0.8)
	c := shape{name: "parabola", end: 2 * S, bent: 2. * F / S / S, window: w * S,
		load: func(s float64) float64 { u := s / S; return F * u * (2 - u) }, corners: []corner{{S, F}}}
	return c.gives([kinds]float64{F, S * (1 - intercept), F, κ * F / S, F * yield, F * S * 2. / 3,
		F * S * (e*e - e*e*e/3), nan},
		map[Kind]Reason{LoadAfterDrop: NothingAfter})
}

// halfSine is F sin πv with v = s/S, to v = 1; S = 6, F = 700. p of F is reached at
// asin(p)/π. With m the middle and w the width of the window, the least-squares slope is
// 12/w³ ∫(v − m) sin πv = 12/w³ [sin πv/π² − (v − m) cos πv/π], the mean [−cos πv/π]/w.
// The slope is κ/6 where π cos πv = κ/6. ∫ = F S (1 − cos πv)/π.
func halfSine() shape {
	const F, S, π = 700, 6, math.Pi
	a, b := math.Asin(0.1)/π, math.Asin(0.4)/π
	m, w := (a+b)/2, b-a
	moment := func(v float64) float64 { return math.Sin(π*v)/π/π - (v-m)*math.Cos(π*v)/π }
	κ := 12 / (w * w * w) * (moment(b) - moment(a))
	intercept := m - (math.Cos(π*a)-math.Cos(π*b))/π/w/κ
	t := math.Acos(κ/6/π) / π
	yield := 6. / 5 * (math.Sin(π*t) - κ/6*(t-intercept))
	e := 1 - math.Asin(0.2)/π
	c := shape{name: "half sine", end: S, bent: F * π * π / S / S, window: w * S,
		load: func(s float64) float64 { return F * math.Sin(π*s/S) }, corners: []corner{{S / 2., F}}}
	return c.gives([kinds]float64{F, S * (0.5 - intercept), F, κ * F / S, F * yield, F * S / π,
		F * S * (1 - math.Cos(π*e)) / π, nan},
		map[Kind]Reason{LoadAfterDrop: NothingAfter})
}

// tolerance is how far n readings may be from the closed form. Straight pieces are exact
// up to rounding. For a bent curve each reading pair misses by e = bent·h²/8 at most: the
// energies by e times the slip, the tangent's height by e, and the least-squares slope by
// 3e/w (12/w³ · ∫|x − m| e) and as much again for crossings that move.
func (c shape) tolerance(k Kind, n int) float64 {
	if c.bent == 0 || k == MaxLoad || k == FirstDropLoad {
		return 1e-9 * math.Abs(c.want[k])
	}
	h := c.end / float64(n-1)
	e := c.bent * h * h / 8
	slope := 6 * e / c.window
	switch k {
	case Stiffness:
		return slope + 1e-9*c.want[k]
	case SlipAtMax: // the foot: a quarter of the load over the slope, moved with the slope
		return (e+0.4*c.want[MaxLoad]*slope/c.want[Stiffness])/c.want[Stiffness] + 1e-9
	case YieldLoad: // its height is load less a sixth of the slope times the slip, over 5/6
		return 1.2*(e+slope/6*c.want[SlipAtMax]) + 1e-9
	default:
		return e*c.end + 1e-9
	}
}

func TestClosedForm(t *testing.T) {
	for _, c := range shapes() {
		for _, n := range []int{10, 100, 10000} {
			t.Run(fmt.Sprintf("%s/%d", c.name, n), func(t *testing.T) {
				m, err := usual(c.read(n))
				if err != nil {
					t.Fatal(err)
				}
				for _, k := range Kinds() {
					got, want := m.Values[k], c.want[k]
					if m.Why[k] != c.why[k] || math.IsNaN(want) != math.IsNaN(got) {
						t.Errorf("%s = %v (%s), want %v (%s)", k.Key(), got, m.Why[k], want, c.why[k])
					} else if tol := c.tolerance(k, n); math.Abs(got-want) > tol {
						t.Errorf("%s = %.10g, want %.10g within %.2g", k.Key(), got, want, tol)
					}
				}
			})
		}
	}
}

// usual measures with the usual options.
func usual(slip, load []float64) (*Measures, error) { return Measure(slip, load, Options{}) }

// A reading above half the span's slack shows the level of no load: 17 is taken off.
func TestSlackWithOffset(t *testing.T) {
	for _, n := range []int{25, 100, 10000} {
		c := pieces("", corner{0, 17}, corner{1, 17}, corner{4, 377})
		m, err := usual(c.read(n))
		if err != nil {
			t.Fatal(err)
		}
		want := [kinds]float64{360, 3, nan, 120, nan, 540, 540, nan}
		for _, k := range []Kind{MaxLoad, SlipAtMax, Stiffness, EnergyToMax, EnergyTotal} {
			if !near(m.Values[k], want[k], 1e-9) {
				t.Errorf("%d readings: %s = %v, want %v", n, k.Key(), m.Values[k], want[k])
			}
		}
		if m.Tare != 17 || !near(m.Marks.ZeroSlip, 1, 1e-9) {
			t.Errorf("%d readings: tare %v, foot %v", n, m.Tare, m.Marks.ZeroSlip)
		}
	}
}

// Ten readings of two lines whose corner (200) lies between two of them: the chord cuts it
// by at most (k₁ − k₂) h/4 = 90 · 0.667/4 = 15.
func TestCornerBetweenReadings(t *testing.T) {
	for _, at := range []float64{2.1, 2.2, 2.3, 2.4, 2.5} {
		c := pieces("", corner{0, 0}, corner{at, 100 * at}, corner{6, 100*at + 10*(6-at)})
		c.corners = nil
		m, err := usual(c.read(10))
		if err != nil {
			t.Fatal(err)
		}
		if y := m.Values[YieldLoad]; !(y <= 100*at+1e-9 && y >= 100*at-1.2*15) ||
			!near(m.Values[Stiffness], 100, 1e-9) {
			t.Errorf("corner at %v: yield %v, stiffness %v", at, y, m.Values[Stiffness])
		}
	}
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Max(1, math.Abs(want))
}
