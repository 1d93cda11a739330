package place

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// invented is a series with a change of so many sds at 15, on a constant, and for a kink on a line.
func invented(seed uint64, n int, kind Kind, size float64) Data {
	r := rand.New(rand.NewPCG(seed, 1))
	d := Data{Base: [][]float64{make([]float64, n)}}
	for i := range n {
		x := math.Round((5+27*r.Float64())*4) / 4
		y := 300 + 30*r.NormFloat64()
		switch {
		case x <= 15:
		case kind == Step:
			y += 30 * size
		default:
			y += 3 * size * (x - 15)
		}
		d.Base[0][i] = 1
		d.X, d.Y = append(d.X, x), append(d.Y, y)
	}
	if kind == Kink {
		d.Base = append(d.Base, slices.Clone(d.X))
	}
	return d
}

func find(t interface{ Fatal(...any) }, kind Kind, d Data) *Found {
	f, err := Find(context.Background(), kind, d, Options{Confidence: 0.95, Seed: 7, Line: d.X})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// In another unit of load or of temperature, or shifted, the change is the same one: p and the places are
// as they were, and sizes go with the units.
func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{Step, Kink}).Draw(t, "kind")
		d := invented(rapid.Uint64().Draw(t, "seed"), 36, kind, 1.5)
		byY, byX := rapid.Float64Range(0.1, 20).Draw(t, "by y"), rapid.Float64Range(0.1, 20).Draw(t, "by x")
		upY, upX := rapid.Float64Range(-500, 500).Draw(t, "up y"), rapid.Float64Range(-50, 50).Draw(t, "up x")
		other := Data{Base: [][]float64{d.Base[0]}}
		for i := range d.Y {
			other.Y, other.X = append(other.Y, byY*d.Y[i]+upY), append(other.X, byX*d.X[i]+upX)
		}
		if kind == Kink {
			other.Base = append(other.Base, other.X)
		}
		a, b := find(t, kind, d), find(t, kind, other)
		by := byY
		if kind == Kink {
			by /= byX
		}
		for _, c := range []struct {
			what      string
			got, want float64
		}{{"at", b.At, byX*a.At + upX}, {"low", b.Low, byX*a.Low + upX}, {"high", b.High, byX*a.High + upX},
			{"size", b.Size, by * a.Size}, {"size low", b.SizeLow, by * a.SizeLow},
			{"size high", b.SizeHigh, by * a.SizeHigh}} {
			if !(math.Abs(c.got-c.want) <= 1e-6*(byX+math.Abs(c.want))) {
				t.Fatalf("%s: %.12g, not %.12g", c.what, c.got, c.want)
			}
		}
		if a.P != b.P || kind == Step && !(math.Abs(a.PLine-b.PLine) <= 1e-3) {
			t.Fatalf("p %g and %g, against a line %g and %g", a.P, b.P, a.PLine, b.PLine)
		}
	})
}

// Rows in another order give the same answer to the last digit.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{Step, Kink}).Draw(t, "kind")
		d := invented(rapid.Uint64().Draw(t, "seed"), 30, kind, 1)
		order := rapid.Permutation(make([]int, 30)).Draw(t, "order")
		for i := range order {
			order[i] = i
		}
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "shuffle"), 2)).Shuffle(30, func(i, j int) {
			order[i], order[j] = order[j], order[i]
		})
		other := Data{Base: [][]float64{d.Base[0]}}
		for _, i := range order {
			other.Y, other.X = append(other.Y, d.Y[i]), append(other.X, d.X[i])
		}
		if kind == Kink {
			other.Base = append(other.Base, other.X)
		}
		a, b := find(t, kind, d), find(t, kind, other)
		if a.At != b.At || a.Low != b.Low || a.High != b.High || a.P != b.P || a.Size != b.Size {
			t.Fatalf("%+v\n%+v", a, b)
		}
	})
}

// A specimen of weight 0 takes no part.
func TestWeightZeroIsLeftOut(t *testing.T) {
	d := invented(3, 40, Step, 2)
	d.Weights = make([]float64, 40)
	for i := range d.Weights {
		d.Weights[i] = 1
	}
	d.Weights[4], d.Y[4] = 0, 1e6
	without := Data{Base: [][]float64{d.Base[0][:39]}, X: slices.Delete(slices.Clone(d.X), 4, 5),
		Y: slices.Delete(slices.Clone(d.Y), 4, 5)}
	if a, b := find(t, Step, d), find(t, Step, without); a.At != b.At || a.RSS != b.RSS || a.P != b.P {
		t.Errorf("%+v\n%+v", a, b)
	}
}

func TestWhatCannotBeLookedFor(t *testing.T) {
	ones := func(n int) []float64 { return slices.Repeat([]float64{1}, n) }
	y := []float64{3, 1, 4, 1, 5, 9, 2, 6, 5, 3}
	after := []float64{0, 0, 0, 0, 0, 1, 1, 1, 1, 1}
	for _, c := range []struct {
		name string
		kind Kind
		d    Data
		want Error
	}{
		{"two values", Step, Data{Y: y, X: after, Base: [][]float64{ones(10)}}, Error{"few-values", 2, 3}},
		{"three values for a kink", Kink, Data{Y: y, X: []float64{1, 1, 1, 2, 2, 2, 3, 3, 3, 3},
			Base: [][]float64{ones(10), {1, 1, 1, 2, 2, 2, 3, 3, 3, 3}}}, Error{"few-values", 3, 4}},
		{"nearly all at one end", Step, Data{Y: y, X: []float64{1, 1, 1, 1, 1, 1, 1, 2, 3, 4},
			Base: [][]float64{ones(10)}}, Error{"few-beside", 10, 4}},
		{"another term is the step", Step, Data{Y: y, X: []float64{1, 1, 1, 1, 1, 3, 3, 4, 4, 4},
			Base: [][]float64{ones(10), after}}, Error{Code: "not-apart"}},
		{"as many terms as specimens", Step, Data{Y: y[:8], X: []float64{1, 2, 3, 4, 5, 6, 7, 8},
			Base: [][]float64{ones(8),
				{1, 0, 0, 0, 0, 0, 0, 0}, {0, 1, 0, 0, 0, 0, 0, 0}, {0, 0, 1, 0, 0, 0, 0, 0}, {0, 0, 0, 1, 0, 0, 0, 0},
				{0, 0, 0, 0, 1, 0, 0, 0}}}, Error{"no-freedom-left", 8, 9}},
		{"too many", Step, Data{Y: make([]float64, MostSpecimens+1), X: make([]float64, MostSpecimens+1)},
			Error{"too-many-specimens", MostSpecimens + 1, MostSpecimens}},
	} {
		_, err := Find(t.Context(), c.kind, c.d, Options{Confidence: 0.95})
		var e *Error
		if !errors.As(err, &e) || *e != c.want {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Find(ctx, Step, invented(1, 30, Step, 1), Options{Confidence: 0.95}); !errors.Is(err,
		context.Canceled) {
		t.Errorf("not stopped: %v", err)
	}
}

// A step without any scatter is found where it is, and nothing is made up about its intervals.
func TestNoScatter(t *testing.T) {
	d := Data{Base: [][]float64{slices.Repeat([]float64{1}, 20)}}
	for i := range 20 {
		d.X, d.Y = append(d.X, float64(i)), append(d.Y, 0)
		if i > 11 {
			d.Y[i] = 5
		}
	}
	f := find(t, Step, d)
	if f.At != 11.5 || !(math.Abs(f.Size-5) <= 1e-12) || !math.IsNaN(f.P) || !math.IsNaN(f.Low) ||
		!math.IsNaN(f.SizeHigh) {
		t.Errorf("%+v", f)
	}
}

// With one place the mixture is its t distribution: 2.228 at 10 degrees of freedom (any table of t).
func TestMixture(t *testing.T) {
	one := Mixture{{Share: 1, Value: 3, SE: 2, DF: 10}}
	if low, high := one.Interval(0.95); !(math.Abs(low-(3-2*2.2281389)) <= 1e-6) ||
		!(math.Abs(high-(3+2*2.2281389)) <= 1e-6) {
		t.Errorf("%g to %g", low, high)
	}
	two := Mixture{{Share: 0.9, Value: 0, SE: 1, DF: 30}, {Share: 0.1, Value: 100, SE: 1, DF: 30}}
	if low, high := two.Interval(0.95); low > -1 || high < 99 {
		t.Errorf("a tenth at 100 is not held: %g to %g", low, high)
	}
}
