package curves

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Two lines, slopes 100 and 10 with the corner at (2, 200), ending at (6, 240): yield 200.
func ductile() shape {
	return pieces("", corner{0, 0}, corner{2, 200}, corner{6, 240})
}

func expect(t *testing.T, m *Measures, err error, want map[Kind]float64, relative float64) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range want {
		if !near(m.Values[k], v, relative) {
			t.Errorf("%s = %v (%s), want %v", k.Key(), m.Values[k], m.Why[k], v)
		}
	}
}

var ofDuctile = map[Kind]float64{MaxLoad: 240, SlipAtMax: 6, Stiffness: 100, YieldLoad: 200, EnergyToMax: 1080,
	EnergyTotal: 1080}

// Unloaded from 40 % of the estimate to 10 % and loaded again, steeper, as EN 26891 has it
// (from memory): the loop is left out and nothing else changes. Two loops likewise.
func TestUnloadingLoops(t *testing.T) {
	for _, n := range []int{61, 601} {
		for _, tops := range [][]float64{{0.9}, {0.8, 1.5}} {
			slip, load := ductile().read(n)
			looped := 0
			for _, s := range tops {
				at := slices.IndexFunc(slip, func(v float64) bool { return v >= s }) + 1
				top, from := load[at-1], slip[at-1]
				var ls, ll []float64
				for _, share := range []float64{0.8, 0.5, 0.3, 0.5, 0.8, 0.95} {
					ll, ls = append(ll, share*top), append(ls, from-(1-share)*top/400)
				}
				looped += len(ls)
				slip, load = slices.Insert(slip, at, ls...), slices.Insert(load, at, ll...)
			}
			m, err := usual(slip, load)
			expect(t, m, err, ofDuctile, 1e-9)
			got := 0
			for _, l := range m.Preparation.Loops {
				got += l
			}
			if len(m.Preparation.Loops) != len(tops) || got != looped || !math.IsNaN(m.Values[FirstDropLoad]) {
				t.Errorf("%d readings: loops %+v, first drop %v", n, m.Preparation.Loops, m.Values[FirstDropLoad])
			}
		}
	}
}

// The load taken off at the end, in steps, is no drop.
func TestTakenOff(t *testing.T) {
	slip, load := ductile().read(100)
	for _, share := range []float64{0.8, 0.6, 0.4, 0.2, 0} {
		slip, load = append(slip, 6-(1-share)*2), append(load, share*240)
	}
	m, err := usual(slip, load)
	expect(t, m, err, ofDuctile, 1e-9)
	if m.Preparation.TakenOff != 5 || m.Why[FirstDropLoad] != NeverDrops {
		t.Errorf("%+v, first drop %v", m.Preparation, m.Values[FirstDropLoad])
	}
}

// A break during which slip springs back is a drop, straight down.
func TestSpringsBack(t *testing.T) {
	slip, load := ductile().read(100)
	m, err := usual(append(slip, 5.8, 5.9, 6.2), append(load, 40, 38, 36))
	expect(t, m, err, ofDuctile, 1e-9)
	if m.Values[FirstDropLoad] != 240 || m.Preparation.Back != 2 || m.Values[LoadAfterDrop] == m.Values[LoadAfterDrop] {
		t.Errorf("%+v, %+v", m.Preparation, m.Values)
	}
}

// Readings in no order come to the same as in order.
func TestShuffled(t *testing.T) {
	for _, n := range []int{12, 100, 2000} {
		for seed := range uint64(10) {
			slip, load := ductile().read(n)
			r := rand.New(rand.NewPCG(seed, 2))
			r.Shuffle(len(slip), func(i, j int) {
				slip[i], slip[j] = slip[j], slip[i]
				load[i], load[j] = load[j], load[i]
			})
			m, err := usual(slip, load)
			expect(t, m, err, ofDuctile, 1e-9)
			if !m.Preparation.Sorted {
				t.Errorf("%d readings, seed %d: not put in order", n, seed)
			}
		}
	}
	slip, load := ductile().read(100)
	half := len(slip) / 2
	m, err := usual(slices.Concat(slip[half:], slip[:half]), slices.Concat(load[half:], load[:half]))
	expect(t, m, err, ofDuctile, 1e-9)
}

// Slip noise of 0.2 % of the span makes many readings go back a little; slip rounded so
// that twenty or more repeat does too little. Rounding to d moves a slip by d/2 at most:
// the slope by 3·(d/2)·100/w·... is below 2 % for d = 0.05 over w = 0.72, the rest below.
func TestSlipNoise(t *testing.T) {
	for seed := range uint64(20) {
		slip, load := ductile().read(5000)
		r := rand.New(rand.NewPCG(seed, 3))
		rounded := make([]float64, len(slip))
		for i := range slip {
			rounded[i] = math.Round(slip[i]*20) / 20
			slip[i] += 0.012 * r.NormFloat64()
		}
		m, err := usual(slip, load)
		expect(t, m, err, ofDuctile, 0.02)
		if m.Preparation.Back == 0 || m.Preparation.Sorted || len(m.Preparation.Loops) > 0 ||
			m.Why[FirstDropLoad] != NeverDrops {
			t.Errorf("seed %d: %+v", seed, m.Preparation)
		}
		m, err = usual(rounded, load)
		expect(t, m, err, ofDuctile, 0.02)
	}
}

// A hold of a thousand readings at 36 % of the largest load, creeping 0.02, weighs no more
// in the line than its stretch of slip: its 0.02 of 0.74 moves the slope by some per cent,
// where a reading-by-reading line would follow the thousand.
func TestHold(t *testing.T) {
	var slip, load []float64
	for s := 0.; s < 0.864; s += 0.01 {
		slip, load = append(slip, s), append(load, 100*s)
	}
	for i := range 1000 {
		slip, load = append(slip, 0.864+0.02*float64(i)/1000), append(load, 86.4)
	}
	for s := 0.89; s <= 2.42; s += 0.01 {
		slip, load = append(slip, s), append(load, 100*(s-0.02))
	}
	m, err := usual(slip, load)
	expect(t, m, err, map[Kind]float64{Stiffness: 100}, 0.03)
}

// A fall is a drop when it is large enough and not won back within 1 % of slip_at_max.
func TestFirstDrop(t *testing.T) {
	for _, test := range []struct {
		name     string
		to, back float64 // falls from 100 at slip 1 to this, and has 100 again at 1 + back; slip_at_max is 3
		share    float64
		want     float64
	}{
		{"just 5 %", 95, 0.1, 0, 100},
		{"less", 95.1, 0.1, 0, nan},
		{"less than asked for", 90.1, 0.1, 0.1, nan},
		{"as asked for", 90, 0.1, 0.1, 100},
		{"won back just within", 50, 0.0299, 0, nan},
		{"won back just too late", 50, 0.0301, 0, 100},
	} {
		for _, n := range []int{40, 10000} {
			c := pieces("", corner{0, 0}, corner{1, 100}, corner{1, test.to}, corner{1 + test.back, 100},
				corner{3, 220})
			slip, load := c.read(n)
			m, err := Measure(slip, load, Options{Drop: test.share})
			if err != nil {
				t.Fatal(err)
			}
			got := m.Values[FirstDropLoad]
			if !(near(got, test.want, 1e-9) || math.IsNaN(got) && math.IsNaN(test.want)) {
				t.Errorf("%s, %d readings: %v, want %v", test.name, n, got, test.want)
			}
		}
	}
}

func TestReasons(t *testing.T) {
	for _, test := range []struct {
		name       string
		slip, load []float64
		kind       Kind
		want       Reason
	}{
		{"starts above a quarter", []float64{0, 1, 2, 3, 4}, []float64{30, 50, 70, 90, 100}, Stiffness, StartsHigh},
		{"straight up", []float64{0, 0, 0, 0, 1}, []float64{0, 20, 30, 50, 100}, Stiffness, Upright},
		{"straight up but for rounding", []float64{0, -1, 1e-13, 2e-13, 1}, []float64{5, 0, 30, 50, 100}, Stiffness,
			Upright},
		{"breaks below 40 %", []float64{0, 1, 2, 2, 3, 9}, []float64{0, 15, 30, 10, 12, 100}, Stiffness, DropsEarly},
		{"no slip without a line", []float64{0, 1, 2, 3, 4}, []float64{30, 50, 70, 90, 100}, SlipAtMax, NoStiffness},
		{"ends at the top", []float64{0, 1, 2, 3, 4}, []float64{0, 25, 50, 75, 100}, FirstDropLoad, NeverDrops},
		{"nothing after", []float64{0, 1, 2, 3, 4, 4}, []float64{0, 25, 50, 75, 100, 20}, LoadAfterDrop, NothingAfter},
	} {
		m, err := usual(test.slip, test.load)
		if err != nil {
			t.Fatal(test.name, err)
		}
		if m.Why[test.kind] != test.want || !math.IsNaN(m.Values[test.kind]) {
			t.Errorf("%s: %s = %v (%s), want %s", test.name, test.kind.Key(), m.Values[test.kind], m.Why[test.kind],
				test.want)
		}
	}
}

// Two lines that meet beyond the curve: slope 10 to 40 %, then 100 to the top at 4.6+, then
// level: the first line has not reached the top's height where the curve ends.
func TestMeetsOffCurve(t *testing.T) {
	c := pieces("", corner{0, 0}, corner{4, 40}, corner{4.6, 100}, corner{5, 100})
	m, err := usual(c.read(100))
	if err != nil || m.Why[YieldLoad] != MeetsOffCurve {
		t.Errorf("%v %v, %v", m.Values[YieldLoad], m.Why[YieldLoad], err)
	}
}

func TestErrors(t *testing.T) {
	inf := math.Inf(1)
	up := []float64{0, 1, 2, 3, 4, 5}
	for _, test := range []struct {
		slip, load []float64
		o          Options
		code       string
		reading    int
	}{
		{up, up[:5], Options{}, "uneven-lengths", -1},
		{up, up, Options{Drop: 1}, "bad-option", -1},
		{up, up, Options{Drop: -0.1}, "bad-option", -1},
		{up[:4], up[:4], Options{}, "too-few-readings", -1},
		{up, []float64{0, nan, 2, nan, 4, 5}, Options{}, "too-few-readings", -1},
		{up, []float64{0, 1, 2, inf, 4, 5}, Options{}, "not-a-number", 3},
		{up, []float64{0, 1, 2, 3, 1e101, 5}, Options{}, "too-large", 4},
		{[]float64{2, 2, 2, 2, 2}, up[:5], Options{}, "slip-stands-still", -1},
		{[]float64{5, 4, 3, 2, 1}, up[:5], Options{}, "slip-backwards", -1},
		{up, []float64{5, 4, 3, 2, 1, 0}, Options{}, "no-rise", -1},
		{up, []float64{0, 0, 0, 0, 0, 0}, Options{}, "no-rise", -1},
		{up, []float64{0, -1, -2, -3, -4, 1}, Options{}, "upside-down", -1},
	} {
		_, err := Measure(test.slip, test.load, test.o)
		var e *Error
		if !errors.As(err, &e) || e.Code != test.code || e.Reading != test.reading {
			t.Errorf("slip %v, load %v: %v, want %s at %d", test.slip, test.load, err, test.code, test.reading)
		}
	}
}
