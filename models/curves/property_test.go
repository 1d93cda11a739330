package curves

import (
	"encoding/binary"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// anyCurve draws readings that wander: slips mostly forward, loads up and down, on a grid
// of 1/64 so that sums and shifts by whole numbers are exact.
func anyCurve(t *rapid.T) (slip, load []float64) {
	n := rapid.IntRange(5, 60).Draw(t, "n")
	s, l := 0, 0
	for range n {
		s += rapid.IntRange(-3, 40).Draw(t, "step")
		l += rapid.IntRange(-60, 100).Draw(t, "climb")
		slip, load = append(slip, float64(s)/64), append(load, float64(l)/64)
	}
	return slip, load
}

func times(x []float64, by float64) []float64 {
	y := slices.Clone(x)
	for i := range y {
		y[i] *= by
	}
	return y
}

func same(t *rapid.T, what string, got, want *Measures, gotErr, wantErr error, scale func(Kind) float64,
	relative float64) {
	if (gotErr == nil) != (wantErr == nil) || gotErr != nil && gotErr.(*Error).Code != wantErr.(*Error).Code {
		t.Fatalf("%s: %v, before %v", what, gotErr, wantErr)
	}
	if gotErr != nil {
		return
	}
	for _, k := range Kinds() {
		g, w := got.Values[k], want.Values[k]*scale(k)
		if got.Why[k] != want.Why[k] || !(math.IsNaN(g) && math.IsNaN(w)) && !(math.Abs(g-w) <= relative*math.Abs(w)) {
			t.Fatalf("%s: %s = %v (%s), want %v (%s)", what, k.Key(), g, got.Why[k], w, want.Why[k])
		}
	}
}

// Other units, by powers of two so that no digit is lost, scale every figure by its
// powers of load and slip, to the last bit, whatever the curve; and there is a reason
// exactly where there is no number.
func TestUnitsScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slip, load := anyCurve(t)
		m, err := usual(slip, load)
		if err == nil {
			for _, k := range Kinds() {
				if math.IsNaN(m.Values[k]) == (m.Why[k] == "") || math.IsInf(m.Values[k], 0) {
					t.Fatalf("%s = %v with reason %q", k.Key(), m.Values[k], m.Why[k])
				}
			}
		}
		byLoad := math.Ldexp(1, rapid.IntRange(-20, 20).Draw(t, "load"))
		bySlip := math.Ldexp(1, rapid.IntRange(-20, 20).Draw(t, "slip"))
		got, gotErr := usual(times(slip, bySlip), times(load, byLoad))
		same(t, "scaled", got, m, gotErr, err, func(k Kind) float64 {
			pl, ps := k.Powers()
			return math.Pow(byLoad, float64(pl)) * math.Pow(bySlip, float64(ps))
		}, 0)
	})
}

// kgf and inches there and back: the figures in newtons and millimetres, turned back, are
// those of the readings as they were.
func TestUnitsThereAndBack(t *testing.T) {
	const kgf, inch = 9.80665, 25.4
	for _, c := range shapes() {
		if c.edge {
			continue
		}
		slip, load := c.read(200)
		m, err := usual(slip, load)
		got, gotErr := usual(times(slip, inch), times(load, kgf))
		if err != nil || gotErr != nil {
			t.Fatal(c.name, err, gotErr)
		}
		for _, k := range Kinds() {
			pl, ps := k.Powers()
			back := got.Values[k] / math.Pow(kgf, float64(pl)) / math.Pow(inch, float64(ps))
			if got.Why[k] != m.Why[k] || !math.IsNaN(back) && !near(back, m.Values[k], 1e-9) {
				t.Errorf("%s: %s = %v, want %v", c.name, k.Key(), back, m.Values[k])
			}
		}
	}
}

// Where slip is counted from changes no figure, only the places of the marks.
func TestSlipShift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slip, load := anyCurve(t)
		m, err := usual(slip, load)
		by := float64(rapid.IntRange(-1000, 1000).Draw(t, "shift"))
		moved := slices.Clone(slip)
		for i := range moved {
			moved[i] += by
		}
		got, gotErr := usual(moved, load)
		same(t, "shifted", got, m, gotErr, err, func(Kind) float64 { return 1 }, 1e-7)
		if err == nil && !math.IsNaN(m.Marks.ZeroSlip) && !near(got.Marks.ZeroSlip, m.Marks.ZeroSlip+by, 1e-7) {
			t.Fatalf("foot %v, want %v", got.Marks.ZeroSlip, m.Marks.ZeroSlip+by)
		}
	})
}

// Missing readings are as if they were not there, and the caller's slices stay as they were.
func TestMissingReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slip, load := anyCurve(t)
		m, err := usual(slip, load)
		at := rapid.IntRange(0, len(slip)).Draw(t, "at")
		s, l := slices.Insert(slices.Clone(slip), at, 1.), slices.Insert(slices.Clone(load), at, nan)
		before := slices.Clone(s)
		got, gotErr := usual(s, l)
		same(t, "with one missing", got, m, gotErr, err, func(Kind) float64 { return 1 }, 0)
		if !slices.Equal(s, before) {
			t.Fatal("the readings were changed")
		}
	})
}

// Whatever the bits of the readings, there is an error or every figure is finite or has its reason.
func FuzzMeasure(f *testing.F) {
	bytes := func(v ...float64) (b []byte) {
		for _, x := range v {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
		return b
	}
	f.Add(bytes(0, 0, 1, 10, 2, 20, 3, 30, 2.5, 10, 3, 31, 4, 40, 4, 2), 0.05)
	f.Add(bytes(0, 1e100, 1e-100, 1e99, 2, -1e100, nan, 3, math.Inf(1), 2, 5e-324, 1), 0.5)
	f.Add(bytes(5, 1, 4, 2, 3, 3, 2, 4, 1, 5, 0, 6), 0.99)
	f.Fuzz(func(t *testing.T, b []byte, drop float64) {
		var slip, load []float64
		for ; len(b) >= 16; b = b[16:] {
			slip = append(slip, math.Float64frombits(binary.LittleEndian.Uint64(b)))
			load = append(load, math.Float64frombits(binary.LittleEndian.Uint64(b[8:])))
		}
		m, err := Measure(slip, load, Options{Drop: drop})
		if err != nil {
			return
		}
		for _, k := range Kinds() {
			if math.IsNaN(m.Values[k]) == (m.Why[k] == "") || math.IsInf(m.Values[k], 0) {
				t.Fatalf("%s = %v with reason %q", k.Key(), m.Values[k], m.Why[k])
			}
		}
	})
}

// A thousand specimens of a thousand noisy readings each.
func BenchmarkThousandSpecimens(b *testing.B) {
	shapes := shapes()
	var slips, loads [][]float64
	for i := range 1000 {
		c := shapes[i%len(shapes)]
		slip, load := c.noisy(1000, 0.002*c.want[MaxLoad], uint64(i))
		slips, loads = append(slips, slip), append(loads, load)
	}
	b.ResetTimer()
	b.ReportAllocs()
	for b.Loop() {
		for i := range slips {
			if _, err := usual(slips[i], loads[i]); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// A million readings of one specimen whose slips go back again and again.
func BenchmarkUneasySlips(b *testing.B) {
	slip, load := parabola().noisy(1_000_000, 1, 1)
	for i := range slip {
		slip[i] += 0.01 * float64(i*7919%10)
	}
	b.ResetTimer()
	for b.Loop() {
		if _, err := usual(slip, load); err != nil {
			b.Fatal(err)
		}
	}
}
