package compare

import (
	"context"
	"errors"
	"math"
	"testing"

	"breakbook/models/verdict"
)

// The smallest n of one row and of all rows together by direct search with scipy 1.10.1, as for TestEnough: of so many
// rows the chance that the 90 % interval of one lies inside ± worth is 1 − 0.2/rows. Three families share the
// error and the rows.
func TestTogether(t *testing.T) {
	for _, c := range []struct {
		m             Means
		worth         float64
		families      int
		one, together int
	}{
		{alikeMeans(5, 10, 10.3), 1, 0, 18, 18},
		{alikeMeans(5, 10, 10.3, 10.1), 1.5, 0, 11, 15},
		{alikeMeans(5, 10, 10.3, 10.1, 10.2), 1.5, 0, 12, 18},
		{alikeMeans(5, 10, 10.3, 10.1), 1.5, 3, 14, 14},
	} {
		r, err := AllPairs(t.Context(), c.m, Options{Worth: c.worth, Families: c.families})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range r.Differences {
			if d.Answer != verdict.CannotTell || d.Enough != c.one || d.Together != c.together {
				t.Errorf("%d levels, %d families: %s, enough %d and %d, want %d and %d", len(c.m.Mean), c.families,
					d.Answer.Key(), d.Enough, d.Together, c.one, c.together)
			}
		}
	}
}

// Two differences against one level stand at Dunnett's critical values, here by quadrature over the spread and the
// level shared with scipy 1.10.1 (2.50 with 12 degrees of freedom, as in Dunnett 1964, Biometrics 20), and the search
// is direct as above: of two rows the chance of each is 0.9.
func TestTogetherAgainstOneLevel(t *testing.T) {
	for _, c := range []struct {
		worth         float64
		one, together int
	}{{1, 22, 26}, {1.5, 10, 12}} {
		r, err := Against(t.Context(), alikeMeans(5, 10, 10.5, 9.5), 0, Options{Worth: c.worth})
		if err != nil || len(r.Differences) != 2 {
			t.Fatal(r, err)
		}
		for _, d := range r.Differences {
			if d.Enough != c.one || d.Together != c.together {
				t.Errorf("worth %g: enough %d and %d, want %d and %d", c.worth, d.Enough, d.Together, c.one, c.together)
			}
		}
	}
}

// By ranks the sd of one specimen is that of the shift, half the length of its middle interval (Lehmann 1963), and the
// smallest n that of t at the error over the number of pairs: numpy 1.24.2 for the shifts, scipy 1.10.1 for the search.
// One specimen beside three has an interval of all its shifts.
func TestEnoughByRanks(t *testing.T) {
	third := []float64{407, 388, 391, 430, 409}
	for _, c := range []struct {
		values        [][]float64
		worth         float64
		one, together []int
	}{
		{[][]float64{{400}, {410, 425, 431}}, 30, []int{3}, []int{3}},
		{[][]float64{{400, 403}, {395, 425, 411}}, 30, []int{8}, []int{8}},
		{[][]float64{samesLevels[0], samesLevels[1]}, 20, []int{26}, []int{26}},
		{[][]float64{samesLevels[0], samesLevels[1], third}, 20, []int{35, 44, 19}, []int{47, 58, 25}},
	} {
		r, err := Ranked(t.Context(), c.values, -1, Options{Worth: c.worth})
		if err != nil {
			t.Fatal(err)
		}
		for i, d := range r.Differences {
			if d.Answer != verdict.CannotTell || d.Enough != c.one[i] || d.Together != c.together[i] {
				t.Errorf("%v, row %d: %s, enough %d and %d, want %d and %d", c.values, i, d.Answer.Key(), d.Enough,
					d.Together, c.one[i], c.together[i])
			}
		}
	}
}

// The smallest n a level with which the 90 % range lies inside the margin with a chance of 0.8 where the means are
// alike, by direct search with scipy 1.10.1 (quad over the chi density).
func TestEnoughToBeTheSame(t *testing.T) {
	values := [][]float64{samesLevels[0], samesLevels[1], {407, 388, 391, 430, 409}}
	for _, c := range []struct {
		margin Margin
		want   []int // 0 and 1, 0 and 2, 1 and 2; -1: not looked at here
	}{
		{Margin{-20, 20}, []int{23, 24, -1}}, {Margin{-12, 12}, []int{63, -1, -1}},
		{Margin{-12, 400}, []int{63, -1, -1}},
		{Margin{-400, 12}, []int{63, -1, -1}}, {Margin{0, 40}, []int{0, 0, 0}},
	} {
		all, err := Sames(t.Context(), values, -1, c.margin)
		if err != nil || len(all) != 3 {
			t.Fatal(all, err)
		}
		for i, p := range all {
			if c.want[i] >= 0 && (p.Answer != SameCannotTell || p.Enough != c.want[i]) {
				t.Errorf("%+v: %+v, want %d", c.margin, p, c.want[i])
			}
		}
	}
}

// A difference that is told in another unit has its ranges in it.
func TestSingleInAnotherUnit(t *testing.T) {
	one := Single(t.Context(), 3, 2.5, 20, Options{}, 1)
	// t(0.975, 20) and t(0.95, 20) by scipy 1.10.1.
	near(t, "low", one.Range.Low, 3-2.5*2.0859634472658644, 1e-12)
	near(t, "high", one.Range.High, 3+2.5*2.0859634472658644, 1e-12)
	near(t, "low at 90 %", one.Ninety.Low, 3-2.5*1.7247182429207857, 1e-12)
	near(t, "high at 90 %", one.Ninety.High, 3+2.5*1.7247182429207857, 1e-12)
	for _, bad := range []One{Single(t.Context(), 3, 2.5, 0, Options{}, 1),
		Single(t.Context(), 3, 2.5, 20, Options{}, 0),
		Single(t.Context(), 3, math.NaN(), 20, Options{}, 1),
		Single(t.Context(), 3, 2.5, 20, Options{Confidence: 1}, 1)} {
		if bad.Answer != verdict.CannotTell || bad.Range.Known() || bad.Ninety.Known() || !math.IsNaN(bad.P) ||
			bad.Times != 0 {
			t.Errorf("%+v", bad)
		}
	}
}

// More specimens than can be counted out, with ties: p by scipy 1.10.1 (mannwhitneyu, asymptotic, with its correction
// for continuity), the interval between the shifts that the normal point 0.025 leaves, by numpy 1.24.2.
func TestManyByRanks(t *testing.T) {
	values := [][]float64{nil, nil}
	for i := range 105 {
		values[0] = append(values[0], float64(400+i*37%101/2))
	}
	for i := range 110 {
		values[1] = append(values[1], float64(404+i*53%103/2))
	}
	r, err := Ranked(t.Context(), values, -1, Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := r.Differences[0]
	near(t, "p", d.P, 0.054661723882529066, 1e-13)
	near(t, "rank sum", d.Statistic, 6651.5+110*111/2, 0)
	if r.Every || d.Diff != 4 || d.Low != 0 || d.High != 8 {
		t.Errorf("%+v, every %t", d, r.Every)
	}
}

// One group by numpy 1.24.2 (std with n − 1) and scipy 1.10.1 (betaincinv for the point of t).
func TestSummarise(t *testing.T) {
	s := Summarise(t.Context(), samesLevels[1], 0.9)
	near(t, "low", s.Interval.Low, 387.6451398648513, 1e-10)
	near(t, "high", s.Interval.High, 414.6881934684821, 1e-10)
	near(t, "sd", s.SD, 16.436747447918847, 1e-12)
	near(t, "share of the mean", s.CV, 16.436747447918847/(2407.0/6), 1e-14)
	if s.N != 6 || s.Least != 377 || s.Most != 424 || s.Median != 401.5 {
		t.Errorf("%+v", s)
	}
	if two := Summarise(t.Context(), []float64{-3, 1}, 0.9); two.SD != math.Sqrt(8) || !math.IsNaN(two.CV) {
		t.Errorf("a mean below zero: %+v", two)
	}
	if one := Summarise(t.Context(), []float64{7}, 0.9); !math.IsNaN(one.SD) || one.Interval.Known() ||
		one.Median != 7 {
		t.Errorf("one value: %+v", one)
	}
}

// What is no number is named, a mean as well as a variance, and a level that is not there.
func TestMeansThatAreNone(t *testing.T) {
	for _, c := range []struct {
		code   string
		change func(m *Means)
	}{
		{"not-a-number", func(m *Means) { m.Mean[1] = math.NaN() }},
		{"not-a-number", func(m *Means) { m.Cov[1][1] = math.NaN() }},
		{"no-freedom-left", func(m *Means) { m.DF = 0 }},
		{"no-spread", func(m *Means) { m.Cov[0][0], m.Cov[1][1] = 0, 0 }},
	} {
		m := alikeMeans(5, 10, 10.3)
		c.change(&m)
		_, err := AllPairs(context.Background(), m, Options{})
		var e *Error
		if !errors.As(err, &e) || e.Code != c.code {
			t.Errorf("%v, want %s", err, c.code)
		}
	}
	var e *Error
	for _, ref := range []int{2, 3} {
		if _, err := Ranked(t.Context(), [][]float64{{1, 2}, {3, 5}}, ref, Options{}); !errors.As(err, &e) ||
			e.Code != "no-such-level" || e.Level != ref {
			t.Errorf("level %d: %v", ref, err)
		}
	}
}
