package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/verdict"

	"pgregory.net/rapid"
)

// As many of every level are what Means plans, with blocks and without.
func TestUnevenOfEqualNumbersIsMeans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, each := rapid.IntRange(2, 5).Draw(t, "levels"), rapid.IntRange(1, 3).Draw(t, "each")
		n := each * rapid.IntRange(2, 9).Draw(t, "blocks")
		m := Uneven{Delta: rapid.Float64Range(5, 60).Draw(t, "delta"), SD: 30, HighSD: 40, Confidence: 0.95,
			Wanted: 0.8}
		if rapid.Bool().Draw(t, "blocked") {
			m.Blocks = &Blocks{SD: rapid.SampledFrom([]float64{0, 10, 25}).Draw(t, "sd"), HighSD: 30, Each: each,
				Whole: []bool{rapid.Bool().Draw(t, "whole")}}
		}
		for range k {
			m.N = append(m.N, n)
		}
		got, err := m.Given()
		want, wrong := m.means().At(n)
		if err != nil || wrong != nil {
			t.Fatal(err, wrong)
		}
		for _, f := range [][2]float64{{got.Overall, want.Overall}, {got.Pair, want.Pair}, {got.Chance, want.Chance},
			{got.Detectable, want.Detectable}, {got.ChanceHighSpread, want.ChanceHighSpread}} {
			if !(math.Abs(f[0]-f[1]) <= 1e-7*math.Max(1, f[1])) {
				t.Fatalf("%d levels of %d: %+v, as many of each %+v", k, n, got.Size, want)
			}
		}
		a, _ := m.Answers(0, 1, 20, 35)
		b, _ := m.means().Answers(n, 20, 35)
		if math.Abs(a.Differs-b.Differs)+math.Abs(a.None-b.None)+math.Abs(a.Half-b.Half)/b.Half > 1e-7 {
			t.Fatalf("%+v, as many of each %+v", a, b)
		}
	})
}

// Chances and answers of uneven numbers by scipy 1.10.1 (nct, ncf, studentized_range, quad over χ²): with numbers
// n the difference of two means has the variance sd²(1/n₁ + 1/n₂) and Σn − k degrees of freedom.
func TestUnevenAgainstAnIndependentIntegration(t *testing.T) {
	for _, c := range []struct {
		n                                    []int
		pair, others                         int
		chance, overall, half, differs, none float64 // differs and none at a truth of 20, worth 40
	}{
		{[]int{8, 12}, 0, 0, 0.788868778824, 0.788868778824, 28.3714672894, 0.282450951695, 0.391778090164},
		{[]int{5, 9, 20}, 1, 0, 0.585352529438, 0.519156907145, 36.6213569354, 0.145161509508, 0.192120790471},
		{[]int{6, 6, 10, 15}, 5, 3, 0.704747669983, 0.415380587129, 33.025838674, 0.157711603616, 0.23145077419},
	} {
		m := Uneven{N: c.n, Delta: 40, SD: 30, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8, Others: c.others}
		got, err := m.Given()
		if err != nil {
			t.Fatal(err)
		}
		p := got.Pairs[c.pair]
		a, _ := m.Answers(p.First, p.Second, 20, 40)
		for _, f := range [][2]float64{{p.Chance, c.chance}, {got.Overall, c.overall}, {p.Half / 100, c.half / 100},
			{a.Differs, c.differs}, {a.None, c.none}} {
			if !(math.Abs(f[0]-f[1]) <= 1e-8) { // the studentised range agrees to nine digits
				t.Errorf("%v: %.10g, want %.10g", c.n, f[0], f[1])
			}
		}
		m.Delta = p.Detectable
		if again, _ := m.Given(); !(math.Abs(again.Pairs[c.pair].Chance-0.8) <= 1e-9) {
			t.Errorf("%v: the difference with a chance of 0.8 has %.10g", c.n, again.Pairs[c.pair].Chance)
		}
	}
}

// The shares of series that are drawn and judged as a comparison of all pairs does are the chances.
func TestUnevenAgainstSimulation(t *testing.T) {
	const series, sd, truth, worth = 10_000, 30.0, 40.0, 45.0
	n := []int{5, 9, 14}
	m := Uneven{N: n, Delta: truth, SD: sd, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}
	given, err := m.Given()
	if err != nil {
		t.Fatal(err)
	}
	want, _ := m.Answers(0, 2, truth, worth)
	r := rand.New(rand.NewPCG(21, 22))
	df := 25.0
	wide, narrow := pairPoint(3, df, 0.05), pairPoint(3, df, 0.1)
	var got [4]int
	half := 0.0
	for range series {
		var mean [3]float64
		squares := 0.0
		for g := range mean {
			x := make([]float64, n[g])
			for i := range x {
				x[i] = truth*float64(g)/2 + sd*r.NormFloat64()
				mean[g] += x[i] / float64(n[g])
			}
			for _, v := range x {
				squares += (v - mean[g]) * (v - mean[g])
			}
		}
		d, se := mean[2]-mean[0], math.Sqrt(squares/df*(1.0/5+1.0/14))
		half += wide * se / series
		got[verdict.Decide(verdict.Range{Low: d - wide*se, High: d + wide*se},
			verdict.Range{Low: d - narrow*se, High: d + narrow*se}, worth)]++
	}
	for _, c := range []struct {
		what   string
		n      int
		chance float64
	}{{"differs", got[verdict.Differs] + got[verdict.DiffersLessThanWorth], want.Differs},
		{"the pair's chance", got[verdict.Differs] + got[verdict.DiffersLessThanWorth], given.Pairs[1].Chance},
		{"none", got[verdict.NoDifferenceWorth], want.None}, {"cannot tell", got[verdict.CannotTell], want.Cannot}} {
		if share := float64(c.n) / series; !(math.Abs(share-c.chance) <= 3.5*math.Sqrt(c.chance*(1-c.chance)/series)) {
			t.Errorf("%s in %.4f of series, told %.4f", c.what, share, c.chance)
		}
	}
	if !(math.Abs(half/given.Pairs[1].Half-1) <= 0.01) {
		t.Errorf("half an interval of %.3f, told %.3f", half, given.Pairs[1].Half)
	}
}

// The cheapest split is the cheapest of all there are, on cases small enough to try every one.
func TestCheapestAgainstEverySplit(t *testing.T) {
	for _, c := range []struct {
		delta  float64
		cost   []float64
		blocks *Blocks
	}{
		{delta: 45, cost: []float64{4, 6}},
		{delta: 60, cost: []float64{1, 20}},
		{delta: 90, cost: []float64{20, 1}},
		{delta: 50, cost: []float64{3, 3}},
		{delta: 80, cost: []float64{4, 6, 11}},
		{delta: 110, cost: []float64{30, 2, 1}},
		{delta: 120, cost: []float64{1, 9, 9}},
		{delta: 95, cost: []float64{5, 1, 5}},
		{delta: 130, cost: []float64{40, 6, 5, 1}},
		{delta: 90, cost: []float64{2, 9}, blocks: &Blocks{SD: 20, Each: 3, Whole: []bool{true}}},
		{delta: 120, cost: []float64{9, 2, 1}, blocks: &Blocks{SD: 15, Each: 2, Whole: []bool{true}}},
		{delta: 90, cost: []float64{9, 2}, blocks: &Blocks{SD: 0, Each: 2, Whole: []bool{false}}},
	} {
		m := Uneven{N: make([]int, len(c.cost)), Delta: c.delta, SD: 30, HighSD: math.NaN(), Confidence: 0.95,
			Wanted: 0.8, Blocks: c.blocks}
		got, err := m.Cheapest(c.cost)
		if err != nil {
			t.Fatal(err)
		}
		step := m.means().Step()
		// No level of a cheaper split has more than its whole cost allows.
		best, splits := math.Inf(1), 0
		tests := map[float64]unevenTest{}
		var try func(n []int, spent float64)
		try = func(n []int, spent float64) {
			i := len(n)
			if i == len(c.cost) {
				one := m
				one.N = n
				df := one.df()
				if df < 1 {
					return
				}
				if _, known := tests[df]; !known {
					tests[df] = one.test()
				}
				v, worst := one.variance(one.SD, one.blockSD()), 0.0
				for i := range n {
					for j := range i {
						worst = math.Max(worst, v(i, j))
					}
				}
				splits++
				if tests[df].pair(one.Delta, worst) >= 0.8 && one.overall(tests[df], one.Delta, worst) >= 0.8 {
					best = math.Min(best, spent)
				}
				return
			}
			least := 0.0
			for _, later := range c.cost[i+1:] {
				least += later * float64(least2*step)
			}
			for x := least2 * step; spent+c.cost[i]*float64(x)+least <= got.Cost+1e-9; x += step {
				try(append(n[:i:i], x), spent+c.cost[i]*float64(x))
			}
		}
		try(nil, 0)
		own := m
		own.N = got.N
		size, err := own.Given()
		if err != nil || size.Chance < 0.8 || !(math.Abs(best-got.Cost) <= 1e-9) || got.Cost > got.EqualCost {
			t.Errorf("%v: %v for %g, chance %.4f; the cheapest of %d costs %g, %d of each %g (%v)", c.cost, got.N,
				got.Cost, size.Chance, splits, best, got.Equal, got.EqualCost, err)
		}
	}
}

// Of many specimens of two levels the cheapest numbers stand as the square roots of the costs turned round
// (Cochran 1977, Sampling Techniques, 5.5; from memory).
func TestCheapestFollowsTheSquareRoots(t *testing.T) {
	for _, c := range [][]float64{{4, 6}, {1, 4}, {1, 9}, {25, 1}} {
		got, err := Uneven{N: make([]int, 2), Delta: 3.5, SD: 30, HighSD: math.NaN(), Confidence: 0.95,
			Wanted: 0.8}.Cheapest(c)
		if err != nil {
			t.Fatal(err)
		}
		n1, n2 := float64(got.N[0]), float64(got.N[1])
		if want := math.Sqrt(c[1] / c[0]); !(math.Abs(n1/n2/want-1) <= 0.02) {
			t.Errorf("costs %v: %v, a ratio of %.4f, the square root rule %.4f", c, got.N, n1/n2, want)
		}
		// The cost of the rule's own numbers, with the variance that an equal split has: (√c₁ + √c₂)² ÷ 2(c₁ + c₂).
		saved := (math.Sqrt(c[0]) + math.Sqrt(c[1])) * (math.Sqrt(c[0]) + math.Sqrt(c[1])) / (2 * (c[0] + c[1]))
		if !(math.Abs(got.Cost/got.EqualCost-saved) <= 0.002) {
			t.Errorf("costs %v: %.4f of the equal split's cost, by the rule %.4f", c, got.Cost/got.EqualCost, saved)
		}
	}
}

// What cannot be planned has its code.
func TestUnevenRefuses(t *testing.T) {
	good := Uneven{N: []int{4, 6}, Delta: 10, SD: 30, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}
	for code, change := range map[string]func(*Uneven){
		"too-few-levels":    func(m *Uneven) { m.N = []int{8} },
		"too-few-specimens": func(m *Uneven) { m.N = []int{0, 8} },
		"no-difference":     func(m *Uneven) { m.Delta = 0 },
		"no-spread":         func(m *Uneven) { m.SD = math.NaN() },
		"uneven-blocks":     func(m *Uneven) { m.Blocks = &Blocks{SD: 5, Each: 4, Whole: []bool{true}} },
		"out-of-reach":      func(m *Uneven) { m.N = []int{5, 2 * Most} },
	} {
		m := good
		change(&m)
		if _, err := m.Given(); err == nil || err.Error() != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	if _, err := good.Cheapest([]float64{4, 0}); err == nil || err.Error() != "out-of-range" {
		t.Error(err)
	}
}

// Within blocks an uneven split gives up a part of what pairing saves: the variance lies between that of the
// specimens compared within blocks alone and that without blocks, and is that of the textbook where every block
// is alike.
func TestUnevenWithinBlocks(t *testing.T) {
	m := Uneven{N: []int{6, 18}, Delta: 10, SD: 30, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8,
		Blocks: &Blocks{SD: 20, Each: 2, Whole: []bool{false}}} // 6 boards of 4: one and three
	if got, want := m.variance(30, 20)(0, 1), 900*(1.0/6+1.0/18); !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("%.6f, alike in every block %.6f", got, want)
	}
	if m.df() != 24-6-1 {
		t.Errorf("%g degrees of freedom", m.df())
	}
	m.N = []int{5, 12} // 17 on 5 boards
	got, within := m.variance(30, 20)(0, 1), 900*(1.0/5+1.0/12)
	if got < within-1e-9 || got > (900+400)*(1.0/5+1.0/12) {
		t.Errorf("%.4f, at the least %.4f", got, within)
	}
}
