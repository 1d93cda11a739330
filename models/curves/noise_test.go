package curves

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// noisy adds load noise of the given sd to a curve's readings.
func (c shape) noisy(n int, sd float64, seed uint64) (slip, load []float64) {
	slip, load = c.read(n)
	r := rand.New(rand.NewPCG(seed, 1))
	for i := range load {
		load[i] += sd * r.NormFloat64()
	}
	return slip, load
}

// noiseTolerance is what noise of one reading may do to a figure, at five sds:
//   - a maximum lies up to five sds high or low, the load after the drop likewise;
//   - the slope of m readings over the window's w has sd σ√12/(w√m) (textbook), or with the
//     two crossings alone (coarse) at most 2σ/w each;
//   - slip at the maximum moves to any reading within ten sds of the top, and by the foot;
//   - the tangent stands on the highest disturbance (five sds), and a sixth of the slope's
//     error times the slip at the maximum comes on top; all over 5/6;
//   - areas: five sds of one reading over √n, times the slip; and what ends them (the
//     maximum, or the fall to a fifth) moves: by the slip it moves times the load.
func (c shape) noiseTolerance(k Kind, n int, sd float64) float64 {
	slip, load := c.read(n)
	most := c.want[MaxLoad]
	inside := 0.
	nearTop := 0.
	for i, s := range slip {
		if s < c.want[SlipAtMax]/2 && load[i] > 0.1*most && load[i] < 0.4*most {
			inside++
		}
		if load[i] >= most-10*sd {
			nearTop = math.Max(nearTop, math.Abs(s-c.topSlip()))
		}
	}
	w := 0.3 * most / c.want[Stiffness]
	slope := 5 * sd * math.Sqrt(12/math.Max(inside, 1)) / w
	interceptError := 0.4*most*slope/c.want[Stiffness]/c.want[Stiffness] + 5*sd/c.want[Stiffness]
	switch k {
	case Stiffness:
		return slope
	case SlipAtMax:
		return nearTop + interceptError
	case YieldLoad:
		return 1.2 * (5*sd + slope/6*(c.want[SlipAtMax]+interceptError))
	case EnergyToMax:
		return 5*sd*c.end/math.Sqrt(float64(n)) + nearTop*most
	case EnergyTotal:
		return 5*sd*c.end/math.Sqrt(float64(n)) + 0.3*most*10*sd/c.want[Stiffness]*20
	default:
		return 5 * sd
	}
}

func (c shape) topSlip() float64 {
	slip, load := c.read(10)
	top := 0
	for i := range load {
		if load[i] > load[top] {
			top = i
		}
	}
	return slip[top]
}

// With noise of 0.2 % and 0.5 % of the largest load every figure stays within what noise
// explains, and no figure appears or vanishes: no drop where there is none, no yield of a
// straight line. Left out is what no method can tell: two lines the second of which is a
// sixth of the first to the last digit; and, with few readings, larger noise on tops that soften
// over one or two readings, and a second line a fifth steeper than a sixth.
func TestNoise(t *testing.T) {
	for _, c := range shapes() {
		for _, n := range []int{10, 30, 300, 10000} {
			for _, share := range []float64{0.002, 0.005} {
				if n < 300 && (share > 0.002 || c.thin) || c.edge {
					continue
				}
				t.Run(fmt.Sprintf("%s/%d/%v", c.name, n, share), func(t *testing.T) {
					sd := share * c.want[MaxLoad]
					var tolerance [kinds]float64
					for _, k := range Kinds() {
						tolerance[k] = c.tolerance(k, n) + c.noiseTolerance(k, n, sd)
					}
					for seed := range uint64(20) {
						c.checkNoisy(t, n, sd, seed, tolerance)
					}
				})
			}
		}
	}
}

func (c shape) checkNoisy(t *testing.T, n int, sd float64, seed uint64, tolerance [kinds]float64) {
	t.Helper()
	m, err := usual(c.noisy(n, sd, seed))
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range Kinds() {
		got, want := m.Values[k], c.want[k]
		switch {
		case k == LoadAfterDrop && c.why[k] == NothingAfter: // readings after a lowest one that noise made
			if got > 5*sd+0.2*c.want[MaxLoad] {
				t.Errorf("seed %d: %s = %v", seed, k.Key(), got)
			}
		case math.IsNaN(want) != math.IsNaN(got):
			t.Errorf("seed %d: %s = %v (%s), want %v", seed, k.Key(), got, m.Why[k], want)
		case math.Abs(got-want) > tolerance[k]:
			t.Errorf("seed %d: %s = %v, want %v within %v", seed, k.Key(), got, want, tolerance[k])
		}
	}
}

// After a touch at (0, 0), a slope of 1 and noise of 1: three readings and more fall by the slope of their least
// squares, which has a standard error of 1/√Σ(x − x̄)² (textbook); fewer by the last one's depth, at six sds.
func TestFallsBesideTheTangent(t *testing.T) {
	for _, c := range []struct {
		after []float64 // loads at slips of 1, 2, 3, …
		want  bool
	}{
		{[]float64{1 - 5.9}, false}, {[]float64{1 - 6.1}, true},
		{[]float64{0, 2 - 5.9}, false}, {[]float64{0, 2 - 6.1}, true},
		// slopes 4 under the given one, where 3/√2 is asked, and as steep as it, however deep
		{[]float64{5, 2, -1}, true},
		{[]float64{5, 2, -7}, true}, {[]float64{-8, -7, -6}, false},
		{[]float64{0, -1.1, -2.2}, false}, {[]float64{0, -1.2, -2.4}, true},
		{[]float64{0, -0.3, -0.6, -0.9}, false}, {[]float64{0, -0.4, -0.8, -1.2}, true}, // 3/√5 = 1.34
	} {
		slip, load := []float64{0}, []float64{0}
		for i, y := range c.after {
			slip, load = append(slip, float64(i+1)), append(load, y)
		}
		of := curve{path: path{slip: slip, load: load}, noise: 1}
		if got := of.falls(0, len(load)-1, 1); got != c.want {
			t.Errorf("readings after the touch at %v fall: %v, want %v", c.after, got, c.want)
		}
	}
}

// The formula of Gasser, Sroka and Jennen-Steinmetz worked out by hand: of the three readings between others 144/14,
// 3136/14 and 4900/14 are the squared pseudo-residuals over the sum of their squared weights. Where three readings
// have one slip, the middle one is held against the mean of its neighbours.
func TestNoiseBetweenReadings(t *testing.T) {
	for _, c := range []struct {
		slip, load []float64
		want       float64
	}{
		{[]float64{0, 1, 3, 4, 6}, []float64{0, 10, 18, 50, 44}, math.Sqrt((144 + 3136 + 4900) / 14. / 3)},
		{[]float64{2, 2, 2, 2, 2}, []float64{0, 3, 0, 0, 0}, math.Sqrt((9 + 2.25) / 1.5 / 3)},
		{[]float64{0, 1, 2, 3, 4}, []float64{1, 2, 3, 4, 5}, 0},
		{[]float64{0, 1, 2, 3}, []float64{0, 9, 0, 9}, 0},
	} {
		p := path{c.slip, c.load}
		if got := p.noiseBetween(0, len(c.slip)); !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("slips %v, loads %v: %g, want %g", c.slip, c.load, got, c.want)
		}
	}
}
