package doubts

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, name string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.10g, want %.10g", name, got, want)
	}
}

// By hand from Holm's steps: the i-th smallest times the number not yet rejected, never falling.
func TestHolm(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct{ p, want []float64 }{
		{[]float64{0.01}, []float64{0.01}},
		{[]float64{0.03, 0.01, 0.04, 0.02}, []float64{0.06, 0.04, 0.06, 0.06}},
		{[]float64{0.5, nan, 0.004}, []float64{0.5, nan, 0.008}},
		{[]float64{0.9, 0.8}, []float64{1, 1}},
		{nil, nil},
	} {
		got := Holm(c.p)
		if len(got) != len(c.want) {
			t.Fatalf("%v: %v", c.p, got)
		}
		for i := range got {
			if nan := math.IsNaN(c.want[i]); nan != math.IsNaN(got[i]) ||
				!nan && !(math.Abs(got[i]-c.want[i]) <= 1e-15) {
				t.Errorf("%v: %v, want %v", c.p, got, c.want)
			}
		}
	}
}

// The upper 5 % point of F on 10 and 10 degrees of freedom is 2.978 (NIST/SEMATECH e-Handbook of
// Statistical Methods, section 1.3.6.7.3, three decimals): two levels of eleven are as far apart
// on either side in a tenth of series.
func TestSpreads(t *testing.T) {
	ratio := math.Sqrt(2.978)
	near(t, "two levels", Spreads([]float64{1, ratio}, []float64{10, 10}), 0.10, 1e-4)
	near(t, "the other way round", Spreads([]float64{ratio, 1}, []float64{10, 10}), 0.10, 1e-4)
	near(t, "three pairs", Spreads([]float64{1, ratio, ratio}, []float64{10, 10, 10}), 0.30, 3e-4)
	near(t, "one without freedom", Spreads([]float64{1, ratio, 50}, []float64{10, 10, 0}), 0.10, 1e-4)
	near(t, "nothing in one", Spreads([]float64{0, 1}, []float64{10, 10}), 0, 0)
	if p := Spreads([]float64{1}, []float64{10}); !math.IsNaN(p) {
		t.Errorf("one level: %g", p)
	}
}

// Of levels with one spread, at most one series in a hundred is clear.
func TestSpreadsAlarmFalselyAsOftenAsSaid(t *testing.T) {
	const series = 4000
	r := rand.New(rand.NewPCG(1, 2))
	sizes := []int{4, 9, 15}
	clear := 0
	for range series {
		sd, df := make([]float64, 3), make([]float64, 3)
		for l, n := range sizes {
			var sum, squares float64
			for range n {
				x := r.NormFloat64()
				sum, squares = sum+x, squares+x*x
			}
			df[l] = float64(n - 1)
			sd[l] = math.Sqrt((squares - sum*sum/float64(n)) / df[l])
		}
		if Spreads(sd, df) < Clear {
			clear++
		}
	}
	if share := float64(clear) / series; share > Clear+3*math.Sqrt(Clear/series) || share < Clear/3 {
		t.Errorf("%.4f of series are clear, want about %g", share, Clear)
	}
}

// The count at the top against the binomial chance in exact fractions.
func TestTies(t *testing.T) {
	values := []float64{500, 500, 500, 500, 495, 490, 485, 480, 475, 470} // steps of 5: with sd 15 seven steps
	ties, p := Ties(values, 15)
	want := new(big.Rat)
	for k := int64(4); k <= 10; k++ { // all ten stand within two sd
		one := new(big.Rat).SetInt(new(big.Int).Binomial(10, k))
		for range k {
			one.Mul(one, big.NewRat(1, 7))
		}
		for range 10 - k {
			one.Mul(one, big.NewRat(6, 7))
		}
		want.Add(want, one)
	}
	exact, _ := want.Float64()
	if ties != 4 {
		t.Errorf("%d ties", ties)
	}
	near(t, "four of ten", p, exact, 1e-13)
	for _, c := range []struct {
		name   string
		values []float64
		sd     float64
		ties   int
	}{{"one at the top", []float64{1, 2, 3}, 1, 1}, {"all alike", []float64{3, 3, 3}, 0, 3}, {"none", nil, 1, 0},
		{"two under one at the top", []float64{1, 3, 3, 4}, 1, 1}, {"one step in two sd", []float64{1, 3, 3}, 0.9, 2}} {
		if ties, p := Ties(c.values, c.sd); ties != c.ties || p != 1 {
			t.Errorf("%s: %d, p %g", c.name, ties, p)
		}
	}
}

func TestSlips(t *testing.T) {
	for _, c := range []struct {
		name                   string
		value, expected, error float64
		want                   []Slip
	}{
		{"ten times", 4870, 480, 5, []Slip{{10, false}}},
		{"ten or 9.81 times", 4870, 490, 40, []Slip{{10, false}, {9.80665, false}}},
		{"a tenth", 48, 480, 10, []Slip{{10, true}, {9.80665, true}}},
		{"kg read as lb", 1058, 480, 10, []Slip{{2.2046226, false}}},
		{"merely high", 700, 480, 10, nil},
		{"about three times, of much scatter", 1384, 443, 150, nil},
		{"three errors away", 100, 13, 1, []Slip{{9.80665, false}, {10, false}}},
		{"a little more", 100, 13, 0.999, []Slip{{9.80665, false}}},
		{"below zero", -4800, 480, 10, nil},
		{"no error known", 4800, 480, 0, nil},
	} {
		got := Slips(c.value, c.expected, c.error)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
	}
}

// Bergsma's correction by his equations, step by step, for a table of 2 × 3 levels over 20
// specimens with V = 0.8; two numbers stand as they are.
func TestCorrected(t *testing.T) {
	const n, v = 20.0, 0.8
	phi := v*v*1 - (2.0-1)*(3-1)/(n-1)
	rows, columns := 2-1.0/(n-1), 3-4.0/(n-1)
	near(t, "two categories", Corrected(v, 2, 3, 20), math.Sqrt(phi/math.Min(rows-1, columns-1)), 1e-14)
	phi = v*v*2 - (4.0-1)*(3-1)/(n-1)
	rows, columns = 4-9.0/(n-1), 3-4.0/(n-1)
	near(t, "four by three", Corrected(v, 4, 3, 20), math.Sqrt(phi/math.Min(rows-1, columns-1)), 1e-14)
	near(t, "three by four", Corrected(v, 3, 4, 20), math.Sqrt(phi/math.Min(rows-1, columns-1)), 1e-14)
	near(t, "two numbers", Corrected(0.95, 0, 0, 20), 0.95, 0)
	// Adjusted share explained, 1 − (1 − R²)(n − 1)/(n − k), of four levels.
	near(t, "a number and a category", Corrected(0.95, 0, 4, 20), math.Sqrt(1-(1-0.9025)*19/16), 1e-14)
	near(t, "less than chance", Corrected(0.2, 4, 4, 20), 0, 0)
	near(t, "as many levels as specimens", Corrected(1, 0, 20, 20), 0, 0)
	near(t, "always together", Corrected(1, 2, 2, 20), 1, 1e-12)
}

func TestOneBlock(t *testing.T) {
	for _, c := range []struct {
		level, block []int
		want         [][2]int
	}{
		{[]int{0, 0, 1, 1}, []int{0, 0, 1, 1}, [][2]int{{0, 1}, {1, 0}}},
		{[]int{0, 0, 1, 1}, []int{0, 1, 1, 1}, nil}, // the other has that one too
		{[]int{0, 0, 1, 1}, []int{2, 2, 2, 2}, nil}, // both on the same one
		{[]int{0, 0}, []int{0, 0}, nil},             // one level: nothing is compared
		{[]int{0, 0, 0, 1, 1}, []int{0, 1, 1, 2, 2}, [][2]int{{1, 0}}},
		{[]int{0, 0, 0, 1}, []int{0, 1, 1, 2}, nil}, // a single specimen
		{[]int{0, 0, 1}, []int{0, 0, 2}, [][2]int{{0, 1}, {1, 0}}},
		{[]int{0, 0, 1, 1, 2, 2}, []int{0, 1, 2, 2, 2, 2}, [][2]int{{1, 0}, {2, 0}}}, // two share one
	} {
		if got := OneBlock(c.level, c.block); !slices.Equal(got, c.want) {
			t.Errorf("%v on %v: %v", c.level, c.block, got)
		}
	}
}

// Holm never makes a probability smaller, nor changes their order.
func TestHolmKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 20).Draw(t, "p")
		got := Holm(p)
		for i := range p {
			if got[i] < p[i] || got[i] > 1 {
				t.Fatalf("%v: %v", p, got)
			}
			for j := range p {
				if p[i] < p[j] && got[i] > got[j] {
					t.Fatalf("%v: %v", p, got)
				}
			}
		}
	})
}

func TestStretches(t *testing.T) {
	for _, c := range []struct {
		level []int
		order []float64
		want  []int
	}{
		{[]int{1, 1, 0, 0}, []float64{1, 2, 3, 4}, []int{1, 1, 0, 0}},          // one after the other
		{[]int{0, 1, 0, 1}, []float64{1, 2, 3, 4}, []int{0, 0, 1, 1}},          // in turn
		{[]int{0, 1, 1, 0, 1}, []float64{9, 1, 2, 8, 3}, []int{0, 1, 1, 0, 1}}, // the file in another order
	} {
		if got := Stretches(c.level, c.order); !slices.Equal(got, c.want) {
			t.Errorf("%v in the order %v: %v, want %v", c.level, c.order, got, c.want)
		}
	}
}

// The strengths are made from the points of published tables (Fisher & Yates 1963, Statistical Tables:
// correlation coefficient, F and chi-square), whose last digit leaves the probability open by a hundredth
// of itself.
func TestByChance(t *testing.T) {
	ofF := func(f, d1, d2 float64) float64 { return math.Sqrt(f * d1 / (f*d1 + d2)) }
	for _, c := range []struct {
		about               string
		strength            float64
		levelsA, levelsB, n int
		want                float64
	}{
		{"two numbers", 0.4438, 0, 0, 20, 0.05},
		{"two numbers", 0.5614, 0, 0, 20, 0.01},
		{"a number and two levels, as two numbers", 0.5614, 2, 0, 20, 0.01},
		{"three levels and a number", ofF(3.59, 2, 17), 3, 0, 20, 0.05},
		{"a number and five levels", ofF(4.89, 4, 15), 0, 5, 20, 0.01},
		{"two by two", math.Sqrt(3.841 / 19), 2, 2, 20, 0.05},
		{"three by five", math.Sqrt(20.090 / 2 / 59), 3, 5, 60, 0.01},
		{"one tells the other", 1, 0, 3, 12, 0},
		{"nothing", 0, 2, 2, 20, 1},
	} {
		if got := ByChance(c.strength, c.levelsA, c.levelsB, c.n); !(math.Abs(got-c.want) <= 0.01*c.want) {
			t.Errorf("%s: %g, want %g", c.about, got, c.want)
		}
	}
	for _, none := range []float64{ByChance(0.5, 1, 3, 20), ByChance(0.5, 0, 3, 3), ByChance(math.NaN(), 0, 0, 20)} {
		if !math.IsNaN(none) {
			t.Errorf("%g where there is nothing to tell", none)
		}
	}
}

// The means of six boards, three a level: the probabilities are those of scipy 1.10.1, f_oneway of the means
// and f.sf of the same sums with one and three degrees of freedom fewer, to 1e-12.
func TestBetweenBlocks(t *testing.T) {
	y := []float64{469, 469, 495, 400, 419, 469, 428, 435, 468, 447, 278, 330, 360, 373, 296, 254, 318, 345, 403, 349}
	block := []int{1, 1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 6, 6, 6}
	level := make([]int, len(block))
	for i, b := range block {
		level[i] = b % 2
	}
	for spent, want := range map[int]float64{0: 0.7741291723325815, 1: 0.8075359806788823, 3: 0.9030213154731296} {
		if p, ok := BetweenBlocks(y, level, block, spent); !ok || !(math.Abs(p-want) <= 1e-12) {
			t.Errorf("%d spent: %v, %t; scipy has %v", spent, p, ok, want)
		}
	}
	if _, ok := BetweenBlocks(y, level, block, 4); ok {
		t.Error("no degree of freedom is left, and a probability is told")
	}
	level[0] = 0
	if _, ok := BetweenBlocks(y, level, block, 0); ok {
		t.Error("a board has both levels, and they are told apart by boards")
	}
	for i := range level {
		level[i] = 1
	}
	if _, ok := BetweenBlocks(y, level, block, 0); ok {
		t.Error("one level is compared")
	}
}

func TestPileUp(t *testing.T) {
	for _, c := range []struct {
		ties, n int
		p       float64
		want    bool
	}{
		{3, 30, 0.0009, true}, {3, 31, 0.0009, false}, {2, 8, 0.0001, false}, {4, 40, 0.0009, true},
		{4, 41, 0.0009, false}, {3, 30, 0.001, false}, {5, 5, math.NaN(), false},
	} {
		if got := PileUp(c.ties, c.n, c.p); got != c.want {
			t.Errorf("%d of %d at the largest, p %g: %v", c.ties, c.n, c.p, got)
		}
	}
}
