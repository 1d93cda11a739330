package compare

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/verdict"
)

// The answer of reshuffled labels goes with their p: a difference exactly where no more than one arrangement in twenty
// does as well, in blocks too, all pairs or against one level.
func TestReshuffledAnswersFollowTheirP(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	var answers [2]int
	for round := range 60 {
		levels := 2 + round%2
		values, blocks := make([][]float64, levels), make([][]int, levels)
		for l := range levels {
			for i := range 4 {
				values[l] = append(values[l], math.Round(400+40*float64(l)+25*r.NormFloat64()))
				blocks[l] = append(blocks[l], i/2)
			}
		}
		if round%3 == 0 {
			blocks = nil
		}
		got, err := Reshuffled(t.Context(), values, blocks, round%2-1, Options{Times: 999, Seed: uint64(round)})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range got.Differences {
			if (d.Answer == verdict.Differs) != (d.P <= 0.05) || d.P < got.LeastP {
				t.Errorf("round %d: p %g, at least %g, and %s", round, d.P, got.LeastP, d.Answer.Key())
			}
			if d.Answer == verdict.Differs {
				answers[0]++
			} else {
				answers[1]++
			}
		}
	}
	if min(answers[0], answers[1]) < 20 {
		t.Errorf("answers %v: the series no longer cover both", answers)
	}
}

// How many specimens are enough is by the t tests of the same family, so that without blocks it is what those tests say
// of the same series, and so are difference, error and percent.
func TestReshuffledEnoughIsThatOfTheTTests(t *testing.T) {
	values := [][]float64{{382, 367, 398, 417, 437}, {405, 391, 412, 377, 424}, {407, 388, 391, 430, 409}}
	for levels := 2; levels <= 3; levels++ {
		m, err := Groups(t.Context(), values[:levels])
		if err != nil {
			t.Fatal(err)
		}
		for ref := -1; ref < 1; ref++ {
			o := Options{Worth: 18, Times: 999}
			want, err := AllPairs(t.Context(), m, o)
			if ref >= 0 {
				want, err = Against(t.Context(), m, ref, o)
			}
			got, err2 := Reshuffled(t.Context(), values[:levels], nil, ref, o)
			if err != nil || err2 != nil || len(got.Differences) != len(want.Differences) {
				t.Fatal(err, err2)
			}
			for i, d := range got.Differences {
				w := want.Differences[i]
				if d.Answer != verdict.CannotTell || w.Answer != verdict.CannotTell || d.Enough != w.Enough ||
					d.Together != w.Together || d.Enough == 0 {
					t.Errorf("%d levels against %d: %s with %d and %d, by t %s with %d and %d", levels, ref,
						d.Answer.Key(), d.Enough, d.Together, w.Answer.Key(), w.Enough, w.Together)
				}
				near(t, "difference", d.Diff, w.Diff, 1e-12)
				near(t, "percent", d.Percent, w.Percent, 1e-12)
				near(t, "standard error", d.SE, w.SE, 1e-12)
				near(t, "statistic", d.Statistic, w.Statistic, 1e-12)
			}
		}
	}
}

// What cannot be reshuffled within blocks has its code: levels that no chain of blocks joins, and nothing left over.
func TestWhatCannotBeReshuffled(t *testing.T) {
	for _, c := range []struct {
		about  string
		values [][]float64
		blocks [][]int
		ref    int
		code   string
	}{
		{"each level on its own board", [][]float64{{1, 2, 4}, {3, 5, 9}}, [][]int{{0, 0, 0}, {1, 1, 1}}, -1,
			"not-within-blocks"},
		{"joined by a third", [][]float64{{1, 2}, {3, 5}, {2, 7, 4}}, [][]int{{0, 0}, {1, 1}, {0, 1, 1}}, -1, ""},
		{"joined by none", [][]float64{{1, 2}, {3, 5}, {2, 7, 4}}, [][]int{{0, 0}, {1, 1}, {0, 0, 0}}, -1,
			"not-within-blocks"},
		{"one of each on two boards", [][]float64{{1, 2}, {3, 5}}, [][]int{{0, 1}, {0, 1}}, -1, ""},
		{"one of each on one board", [][]float64{{1, 2}, {3, 5}}, [][]int{{0, 1}, {0, 2}}, -1, "no-freedom-left"},
		{"no such level", [][]float64{{1, 2, 4}, {3, 5, 9}}, nil, 2, "no-such-level"},
		{"against the last", [][]float64{{1, 2, 4}, {3, 5, 9}}, nil, 1, ""},
		{"one level", [][]float64{{1, 2, 4}}, nil, -1, "too-few-levels"},
	} {
		_, err := Reshuffled(t.Context(), c.values, c.blocks, c.ref, Options{Times: 99})
		var e *Error
		if c.code == "" && err != nil || c.code != "" && (!errors.As(err, &e) || e.Code != c.code) {
			t.Errorf("%s: %v, want %q", c.about, err, c.code)
		}
	}
}

// permuted calls visit with every order of the places of each block.
func permuted(blocks [][]int, n int, visit func(order []int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var place func(b, at int)
	place = func(b, at int) {
		if b == len(blocks) {
			visit(order)
			return
		}
		if at == len(blocks[b]) {
			place(b+1, 0)
			return
		}
		for i := at; i < len(blocks[b]); i++ {
			p, q := blocks[b][at], blocks[b][i]
			order[p], order[q] = order[q], order[p]
			place(b, at+1)
			order[p], order[q] = order[q], order[p]
		}
	}
	place(0, 0)
}

// A factor of two levels beside a slope, its residuals without the factor put into every order there is (Freedman and
// Lane 1983): F by the squares that two fits leave, each by its normal equations, and p the share of orders with as
// large a one; in two blocks orders stay within them. One pair's p is the same, t being the root of F.
func TestFitReshuffledAgainstEnumeration(t *testing.T) {
	x := []float64{3, 1, 4, 1.5, 5, 9, 2, 6}
	level := []float64{0, 1, 0, 1, 1, 0, 0, 1}
	ones := []float64{1, 1, 1, 1, 1, 1, 1, 1}
	// left is what y leaves off ones and x, and what it leaves off those and the level: level made orthogonal to them.
	sum := func(a, b []float64) (s float64) {
		for i := range a {
			s += a[i] * b[i]
		}
		return s
	}
	rest := func(y []float64) []float64 { // off ones and x
		mx, my := sum(x, ones)/8, sum(y, ones)/8
		slope := (sum(x, y) - 8*mx*my) / (sum(x, x) - 8*mx*mx)
		out := make([]float64, 8)
		for i := range y {
			out[i] = y[i] - my - slope*(x[i]-mx)
		}
		return out
	}
	turned := rest(level)
	ratio := func(y []float64) float64 {
		r := rest(y)
		along := sum(turned, r) * sum(turned, r) / sum(turned, turned)
		return along / ((sum(r, r) - along) / 5)
	}
	for _, blocks := range [][]int{{0, 0, 0, 0, 1, 1, 1, 1}, {0, 1, 0, 1, 0, 1, 0, 1}, {0, 0, 0, 0, 0, 0, 1, 1}} {
		y := []float64{12, 15, 9, 17.5, 14, 11, 10.5, 16}
		places := make([][]int, 2)
		for i, b := range blocks {
			places[b] = append(places[b], i)
		}
		observed, r := ratio(y), rest(y)
		as, orders := 0, 0
		permuted(places, 8, func(order []int) {
			again := make([]float64, 8)
			for i, from := range order {
				again[i] = r[from]
			}
			if orders++; ratio(again) >= observed*(1-1e-9) {
				as++
			}
		})
		f := ReshuffleDesign{Response: y, Rest: [][]float64{ones, x}, Own: [][]float64{level},
			Levels: [][]float64{{0}, {1}}, Blocks: blocks}
		all, err := Beyond(t.Context(), f, Options{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "F", all.F, observed, 1e-10)
		near(t, "p", all.P, float64(as)/float64(orders), 1e-12)
		if all.DF1 != 1 || all.DF2 != 5 {
			t.Errorf("%+v", all)
		}
		variance := (sum(r, r) - sum(turned, r)*sum(turned, r)/sum(turned, turned)) / 5 / sum(turned, turned)
		m := Means{Mean: []float64{12, 12 + sum(turned, r)/sum(turned, turned)},
			Cov: [][]float64{{0, 0}, {0, variance}}, N: []float64{4, 4}, DF: 5}
		pair, err := ReshuffledFit(t.Context(), f, m, -1, Options{})
		if err != nil || len(pair.Differences) != 1 {
			t.Fatal(err)
		}
		near(t, "p of the pair", pair.Differences[0].P, float64(as)/float64(orders), 1e-12)
		near(t, "F of all", pair.Overall.F, observed, 1e-10)
		if !pair.Every || pair.Arrangements != orders {
			t.Errorf("%d orders, want %d", pair.Arrangements, orders)
		}
	}
	same := ReshuffleDesign{Response: x, Rest: [][]float64{ones, level}, Own: [][]float64{level}}
	if all, err := Beyond(t.Context(), same, Options{}); err != nil || !math.IsNaN(all.F) || !math.IsNaN(all.P) {
		t.Errorf("a column that is there already: %+v (%v)", all, err)
	}
}
