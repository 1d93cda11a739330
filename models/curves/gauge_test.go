package curves

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func TestCalibration(t *testing.T) {
	// Typed by hand, out of order, the 100 put on twice (101 and 103: mean 102): a gauge that shows 2 with nothing
	// on it.
	c, err := NewCalibration(t.Context(), []float64{202, 2, 101, 103, 302}, []float64{190, 0, 100, 100, 280})
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		reading, want float64
		outside       bool
	}{
		{2, 0, false}, {102, 100, false}, {302, 280, false}, // the points themselves
		{52, 50, false}, {152, 145, false}, {252, 235, false}, // half way: means of the points
		{-8, -10, true}, {312, 289, true}, // the end lines (slopes 1 and 0.9) carried on by 10
	} {
		got, outside := c.Apply(test.reading)
		if !near(got, test.want, 1e-12) || outside != test.outside {
			t.Errorf("Apply(%v) = %v, %v", test.reading, got, outside)
		}
	}
	if got, outside := c.Apply(nan); !math.IsNaN(got) || outside {
		t.Errorf("Apply(NaN) = %v, %v", got, outside)
	}
	// Least squares on (2, 0), (102, 100), (202, 190), (302, 280): about the means 152 and
	// 142.5, Sxy = 150·142.5 + 50·42.5 + 50·47.5 + 150·137.5 = 46500, Sxx = 50000; gain 0.93;
	// off the line by −3, 4, 1, −2.
	if c.Tare != 2 || c.From != 2 || c.To != 302 || c.Repeats != 1 || c.Disagree != 2 ||
		!near(c.Gain, 0.93, 1e-12) || !near(c.Bend, 4, 1e-9) || !near(c.WidestGap, 1./3, 1e-12) || c.Step != 1 {
		t.Errorf("%+v", c)
	}
}

func TestCalibrationTare(t *testing.T) {
	c, err := NewCalibration(t.Context(), []float64{-5, 15, 35}, []float64{-10, 10, 30})
	if err != nil || !near(c.Tare, 5, 1e-12) { // half way between the first two
		t.Errorf("%+v, %v", c, err)
	}
	c, err = NewCalibration(t.Context(), []float64{20, 30}, []float64{10, 20})
	if err != nil || !math.IsNaN(c.Tare) {
		t.Errorf("%+v, %v", c, err)
	}
}

func TestCalibrationErrors(t *testing.T) {
	for _, test := range []struct {
		reading, truth []float64
		code           string
		row, other     int
	}{
		{[]float64{1}, []float64{1, 2}, "uneven-lengths", -1, -1},
		{nil, nil, "too-few-readings", -1, -1},
		{[]float64{1, 2}, []float64{5, 5}, "too-few-readings", -1, -1},
		{[]float64{1, nan}, []float64{1, 2}, "not-a-number", 1, -1},
		{[]float64{1, 2}, []float64{1, 1e200}, "too-large", 1, -1},
		{[]float64{0, 10, 10}, []float64{0, 20, 30}, "repeated-reading", 2, 1},
		{[]float64{30, 0, 40, 20}, []float64{30, 0, 20, 10}, "not-rising", 0, 2},
	} {
		_, err := NewCalibration(t.Context(), test.reading, test.truth)
		var e *Error
		if !errors.As(err, &e) || e.Code != test.code || e.Reading != test.row || e.Other != test.other {
			t.Errorf("%v, %v: %v", test.reading, test.truth, err)
		}
	}
}

// A calibrated reading rises with the reading and passes through every point.
func TestApplyRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var x, y []float64
		r, v := 0., 0.
		for range rapid.IntRange(2, 20).Draw(t, "points") {
			r += rapid.Float64Range(0.1, 50).Draw(t, "reading")
			v += rapid.Float64Range(0.1, 50).Draw(t, "true")
			x, y = append(x, r), append(y, v)
		}
		c, err := NewCalibration(t.Context(), x, y)
		if err != nil {
			t.Fatal(err)
		}
		for i := range x {
			if got, outside := c.Apply(x[i]); !near(got, y[i], 1e-12) || outside {
				t.Fatalf("Apply(%v) = %v, %v, want %v", x[i], got, outside, y[i])
			}
		}
		a := rapid.Float64Range(-100, 1200).Draw(t, "a")
		b := a + rapid.Float64Range(0.001, 100).Draw(t, "more")
		if low, _ := c.Apply(a); true {
			if high, _ := c.Apply(b); high < low {
				t.Fatalf("falls from %v at %v to %v at %v", low, a, high, b)
			}
		}
	})
}

func TestStep(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	multiples := func(n int, step float64, upTo int) []float64 {
		v := make([]float64, n)
		for i := range v {
			v[i] = step * float64(r.IntN(upTo)+1)
		}
		return v
	}
	const kgf = 9.80665
	for _, step := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1, 2, 5, 10, 50, 3, 0.1 * kgf, kgf / 2,
		0.2 * 4.4482216152605, 1e-7, 1e9} {
		for _, n := range []int{12, 40, 1000} {
			v := multiples(n, step, 900)
			if got, share := Step(t.Context(), v); !near(got/step, 1, 1e-9) || share != 1 {
				t.Errorf("%d multiples of %v: step %v, share %v", n, step, got, share)
			}
			for i := 0; i < n/20; i++ { // one in twenty typed otherwise
				v[i*20] += step * 0.37
			}
			want := 1 - float64(n/20)/float64(n)
			if got, share := Step(t.Context(), v); !near(got/step, 1, 1e-9) || !near(share, want, 1e-12) {
				t.Errorf("%d multiples of %v with strays: step %v, share %v, want %v", n, step, got, share, want)
			}
		}
	}
	for name, v := range map[string][]float64{
		"few":        {1, 2, 3, 4, 1, 2, nan},
		"endless":    {math.Inf(1), 1, 2, 3, 4, 5},
		"no numbers": {nan, nan},
		"unrounded":  {math.Pi, math.E, math.Sqrt2, math.Ln2, math.Phi, math.SqrtPi},
	} {
		if got, share := Step(t.Context(), v); !math.IsNaN(got) || !math.IsNaN(share) {
			t.Errorf("%s: %v, %v", name, got, share)
		}
	}
	// Zeros and signs are multiples too; a missing reading is none at all.
	if got, share := Step(t.Context(), []float64{0, -5, 10, 15, nan, -20, 30, 0}); got != 5 || share != 1 {
		t.Errorf("%v, %v", got, share)
	}
}

// The line through order 1..5 and residuals 2, 1, 4, 3, 5 has slope 8/10 and leaves
// 10 − 0.8·8 = 3.6: standard error √(3.6/3/10) = 0.34641, t = 4/√3 on 3 degrees of freedom.
// For 3 degrees of freedom P(|t| > x) = 1 − (2/π)(atan(x/√3) + (x/√3)/(1 + x²/3)), with
// x/√3 = 4/3: 1 − (2/π)(atan(4/3) + 12/25).
func TestDrift(t *testing.T) {
	d, err := Drift([]float64{3, 1, 2, 9, 5, 4}, []float64{4, 2, 1, nan, 5, 3})
	if err != nil {
		t.Fatal(err)
	}
	p := 1 - 2/math.Pi*(math.Atan(4./3)+12./25)
	if d.N != 5 || d.DF != 3 || !near(d.Slope, 0.8, 1e-14) || !near(d.SE, math.Sqrt(0.12), 1e-14) ||
		!near(d.T, 4/math.Sqrt(3), 1e-14) || !(math.Abs(d.P-p) <= 1e-14) || !near(d.Total, 3.2, 1e-14) {
		t.Errorf("%+v, p %v", d, p)
	}
	for _, test := range []struct {
		order, residual []float64
		code            string
	}{
		{[]float64{1}, nil, "uneven-lengths"},
		{[]float64{1, 2, nan}, []float64{1, 2, 3}, "too-few-readings"},
		{[]float64{2, 2, 2}, []float64{1, 2, 3}, "order-stands-still"},
		{[]float64{1, 2, 3}, []float64{4, 4, 4}, "all-equal"},
		{[]float64{1, 2, 3}, []float64{4, math.Inf(1), 4}, "not-a-number"},
	} {
		_, err := Drift(test.order, test.residual)
		var e *Error
		if !errors.As(err, &e) || e.Code != test.code {
			t.Errorf("%v: %v", test, err)
		}
	}
}

// Shifting the order or the residuals, read to a hundredth, leaves the test alone.
func TestDriftShift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hundredths := rapid.SliceOfN(rapid.IntRange(-10000, 10000), 4, 30).Draw(t, "residual")
		y := make([]float64, len(hundredths))
		for i, h := range hundredths {
			y[i] = float64(h) / 100
		}
		x := make([]float64, len(y))
		moved, up := make([]float64, len(y)), make([]float64, len(y))
		by := rapid.Float64Range(-1000, 1000).Draw(t, "by")
		for i := range x {
			x[i], moved[i], up[i] = float64(i), float64(i)+by, y[i]+by
		}
		a, errA := Drift(x, y)
		b, errB := Drift(moved, up)
		if errA != nil || errB != nil {
			return // all equal, or equal once moved
		}
		if !(math.Abs(a.Slope-b.Slope) <= 1e-9) || !(math.Abs(a.P-b.P) <= 1e-5) {
			t.Fatalf("%+v, moved %+v", a, b)
		}
	})
}

// Whatever the readings, a step found is above zero and a multiple check of our own agrees with its share.
func FuzzStep(f *testing.F) {
	f.Add(uint64(1), 0.1, uint16(40), 0.5)
	f.Add(uint64(2), 1e-300, uint16(9), 1e99)
	f.Fuzz(func(t *testing.T, seed uint64, step float64, n uint16, odd float64) {
		r := rand.New(rand.NewPCG(seed, 5))
		v := []float64{odd, -odd * 3}
		for range n % 3000 {
			v = append(v, step*float64(r.IntN(1e5)))
		}
		got, share := Step(t.Context(), v)
		if math.IsNaN(got) != math.IsNaN(share) || got <= 0 || share < 0.95-1e-12 || share > 1 {
			t.Fatal(fmt.Sprint(got, share))
		}
	})
}

func BenchmarkStep(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 6))
	v := make([]float64, 100_000)
	for i := range v {
		v[i] = 0.2 * float64(r.IntN(3000))
	}
	for b.Loop() {
		Step(b.Context(), v)
	}
}
