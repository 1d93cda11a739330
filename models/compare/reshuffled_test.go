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
	var told [2]int
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
				told[0]++
			} else {
				told[1]++
			}
		}
	}
	if min(told[0], told[1]) < 20 {
		t.Errorf("answers %v: the series no longer cover both", told)
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
