package limits

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/checks"
)

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Every row of the table of factors, to the digits its file confirms (computed there from
// the noncentral t; two rows are the NIST/SEMATECH e-Handbook's, 7.2.6.3).
func TestFactorPublished(t *testing.T) {
	f, err := os.Open("../../testdata/published/tolerance.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 63 {
		t.Fatalf("%d rows", len(rows))
	}
	worst := 0.0
	for _, r := range rows[1:] {
		n, want := number(t, r[0]), number(t, r[3])
		got := Factor(int(n), number(t, r[1]), number(t, r[2]))
		off := math.Abs(got-want) / want
		worst = math.Max(worst, off)
		if !(off <= 0.5001*math.Pow(10, 1-number(t, r[4]))) {
			t.Errorf("n %g, content %s, confidence %s: %.10g, want %s", n, r[1], r[2], got, r[3])
		}
	}
	t.Logf("62 factors, largest relative error %.2g", worst)
}

// Figures worked by hand from k = 2.46336 for five (testdata/published/tolerance.csv).
func TestLimitByEachRoute(t *testing.T) {
	o := Options{Exceeded: 0.95, Confidence: 0.75}
	five := []float64{380, 420, 400, 440, 360} // mean 400, sd √1000
	l, err := Of(t.Context(), five, nil, o)
	if err != nil {
		t.Fatal(err)
	}
	k := Factor(5, 0.95, 0.75)
	if l.Mean != 400 || !(math.Abs(l.SD-math.Sqrt(1000)) <= 1e-12) || l.SDUsed != l.SD ||
		!(math.Abs(l.Value-(400-k*math.Sqrt(1000))) <= 1e-10) {
		t.Errorf("normal: %+v", l)
	}
	if l, _ = Of(t.Context(), []float64{400, 401, 399}, nil, o); l.SDUsed != 20 || !(math.Abs(l.SD-1) <= 1e-12) {
		t.Errorf("floor of 5 %%: %+v", l)
	}
	o.Method = Lognormal
	l, err = Of(t.Context(), []float64{math.E, math.Exp(2), math.Exp(3)}, nil, o)
	if err != nil || !(math.Abs(l.Mean-2) <= 1e-12) || !(math.Abs(l.SD-1) <= 1e-12) ||
		!(math.Abs(l.Value-math.Exp(2-Factor(3, 0.95, 0.75))) <= 1e-10) {
		t.Errorf("lognormal: %+v %v", l, err)
	}
	if l, _ = Of(t.Context(), []float64{400, 401, 399}, nil, o); l.SDUsed != 0.05 {
		t.Errorf("floor on the logs: %+v", l)
	}
}

// 28 is the smallest n at 95/75 (1 − 0.95²⁸ = 0.762, 1 − 0.95²⁷ = 0.750 just short); the second
// lowest serves from 53 (textbook: 1 − 0.95ⁿ − n·0.05·0.95ⁿ⁻¹).
func TestRanks(t *testing.T) {
	o := Options{0.95, 0.75, Ranked}
	if n := FewestRanked(0.95, 0.75); n != 28 {
		t.Errorf("from %d on", n)
	}
	second := 0
	for n := 3; n <= 60; n++ {
		v := make([]float64, n)
		for i := range v {
			v[n-1-i] = float64(i + 1)
		}
		l, err := Of(t.Context(), v, nil, o)
		if err != nil {
			t.Fatal(err)
		}
		if (n >= 28) != (l.Rank >= 1) || math.IsNaN(l.Value) != (n < 28) || n >= 28 && l.Value != float64(l.Rank) {
			t.Errorf("n %d: %+v", n, l)
		}
		if l.Rank == 2 && second == 0 {
			second = n
		}
	}
	p := func(n float64) float64 { return 1 - math.Pow(0.95, n) - n*0.05*math.Pow(0.95, n-1) }
	if p(float64(second)) < 0.75 || p(float64(second-1)) >= 0.75 {
		t.Errorf("the second lowest serves from %d", second)
	}
}

// The confidence promised is the confidence found: 4,000 seeded series of ten, the error
// of the simulation being 0.7 of a percent.
func TestConfidenceIsKept(t *testing.T) {
	if testing.Short() {
		t.Skip("a count over many draws, made without -short")
	}
	draw := rand.New(rand.NewPCG(5, 14358))
	const series, mean, sd = 4000, 500.0, 75.0
	truth := mean - 1.6448536269514722*sd
	below := 0
	for range series {
		v := make([]float64, 10)
		for i := range v {
			v[i] = mean + sd*draw.NormFloat64()
		}
		l, err := Of(t.Context(), v, nil, Options{Exceeded: 0.95, Confidence: 0.75})
		if err != nil {
			t.Fatal(err)
		}
		if l.Value <= truth {
			below++
		}
	}
	got := float64(below) / series
	t.Logf("the limit is below the true 5th percentile in %.3f of the series", got)
	if !(math.Abs(got-0.75) <= 3*math.Sqrt(0.75*0.25/series)) {
		t.Errorf("confidence %g, promised 0.75", got)
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		values []float64
		o      Options
		code   string
	}{
		{[]float64{1, 2}, Options{0.95, 0.75, Normal}, "too-few-specimens"},
		{[]float64{1, 2, math.NaN()}, Options{0.95, 0.75, Normal}, "not-a-number"},
		{[]float64{-1, -2, -3}, Options{0.95, 0.75, Normal}, "not-positive"},
		{[]float64{1, 2, 0}, Options{0.95, 0.75, Lognormal}, "not-positive"},
		{[]float64{1, 2, 3}, Options{1, 0.75, Normal}, "share"},
		{[]float64{1, 2, 3}, Options{0.95, 0, Normal}, "share"},
	} {
		_, err := Of(t.Context(), c.values, nil, c.o)
		var e *Error
		if !errors.As(err, &e) || e.Code != c.code {
			t.Errorf("%v: %v, want %s", c.values, err, c.code)
		}
	}
}

// Why there is no limit: each reason once.
func TestNoLimit(t *testing.T) {
	wide := []float64{100, 900, 300, 250, 700, 60}
	odd := []float64{400, 401, 402, 403, 404, 405, 406, 407, 408, 409, 410, 900}
	for _, c := range []struct {
		values []float64
		blocks []int
		o      Options
		why    Reason
	}{
		{wide, nil, Options{0.95, 0.75, Normal}, BelowZero},
		{wide, nil, Options{0.95, 0.75, Lognormal}, Given},
		{odd, nil, Options{0.95, 0.75, Normal}, OddShape},
		{odd, nil, Options{0.95, 0.75, Lognormal}, OddShape},
		{odd[:11], nil, Options{0.95, 0.75, Normal}, Given},
		{odd[:11], nil, Options{0.95, 0.75, Ranked}, FewForRanks},
		{odd[:4], []int{7, 7, 7, 7}, Options{0.95, 0.75, Normal}, OneBlock},
		{odd[:4], []int{7, 7, 7, 6}, Options{0.95, 0.75, Ranked}, SharedRanks},
		{odd[:4], []int{1, 2, 3, 4}, Options{0.95, 0.75, Normal}, Given},
	} {
		l, err := Of(t.Context(), c.values, c.blocks, c.o)
		if err != nil || l.None != c.why || math.IsNaN(l.Value) != (c.why != Given) {
			t.Errorf("%v in %v by %s: %d, %g (%v), want %d", c.values, c.blocks, c.o.Method.Name(), l.None, l.Value,
				err, c.why)
		}
	}
	// Each on a block of its own, specimens count by themselves.
	alone, _ := Of(t.Context(), odd[:4], []int{1, 2, 3, 4}, Options{0.95, 0.75, Normal})
	if plain, _ := Of(t.Context(), odd[:4], nil, Options{0.95, 0.75, Normal}); alone.Value != plain.Value ||
		alone.Blocks != 0 {
		t.Errorf("%g, and %g", alone.Value, plain.Value)
	}
}

// The test of the shape raises a false alarm of normal loads in one series of a hundred, in
// blocks no more often: 10,000 series, the error of the count 0.1 of a percent.
func TestShapeOfBlocksIsNoFalseAlarm(t *testing.T) {
	draw := rand.New(rand.NewPCG(4, 1995))
	for _, between := range []float64{0, 1, 3} {
		const series = 10_000
		alarms := 0
		for range series {
			var y []float64
			var codes []int
			for b := range 5 {
				shift := between * draw.NormFloat64()
				for range 4 {
					y, codes = append(y, shift+draw.NormFloat64()), append(codes, b)
				}
			}
			c, err := newCurve(t.Context(), ofMean(t.Context(), y, stat.Mean(y, nil), codes, 5))
			if err != nil {
				t.Fatal(err)
			}
			if _, _, share := c.estimate(); shape(y, codes, 5, share) < LeastShape {
				alarms++
			}
		}
		if share := float64(alarms) / series; share > 0.013 || share < 0.003 {
			t.Errorf("blocks' sd %g: %.4f", between, share)
		} else {
			t.Logf("blocks' sd %g: %.4f", between, share)
		}
	}
}

// The test of a shape was made for 5,000 values (Royston 1995, Applied Statistics 44): of more it takes every
// second, third, … as they come, as few as that takes.
func TestShapeOfMoreThanItsTestWasMadeFor(t *testing.T) {
	rng := rand.New(rand.NewPCG(46, 1))
	values := make([]float64, 3*5000+1)
	for i := range values {
		values[i] = rng.NormFloat64() + 0.4*rng.NormFloat64()*rng.NormFloat64()
	}
	for _, c := range []struct{ n, every int }{{4999, 1}, {5000, 1}, {5001, 2}, {10000, 2}, {10001, 3},
		{15000, 3}, {15001, 4}} {
		var taken []float64
		for i := 0; i < c.n; i += c.every {
			taken = append(taken, values[i])
		}
		_, want, err := checks.ShapiroWilk(taken)
		if got := bell(values[:c.n]); err != nil || got != want {
			t.Errorf("of %d values: p %v, of every %d. %v (%v)", c.n, got, c.every, want, err)
		}
	}
}
