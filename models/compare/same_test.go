package compare

import (
	"math"
	"testing"
)

var samesLevels = [][]float64{
	{382, 367, 398, 417, 437},
	{405, 391, 412, 377, 424, 398},
	{517, 498, 491, 530, 509},
}

// Expected figures: scipy 1.10.1 with numpy 1.24.2; one-sided p by stats.ttest_ind
// (equal_var=False) on shifted values, ratios from stats.t with Welch's degrees of freedom,
// their ends by optimize.brentq.
func TestSamesAgainstFiguresDoneElsewhere(t *testing.T) {
	byAmount, err := Sames(t.Context(), samesLevels, -1, Margin{Low: -50, High: 50})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct {
		diff, low, high, p float64
		answer             Sameness
	}{
		{0.966666666666697, -26.229193784793615, 28.16252711812701, 0.006158443307822076, Same},
		{108.8, 81.43516694369413, 136.1648330563059, 0.9972399950941925, Different},
		{107.83333333333331, 90.16167810558791, 125.50498856107872, 0.9998923215293886, Different},
	} {
		a := byAmount[i]
		for _, pair := range [][2]float64{{a.Diff, want.diff}, {a.Low, want.low}, {a.High, want.high}, {a.P, want.p}} {
			if !(math.Abs(pair[0]-pair[1]) <= 1e-9*math.Max(1, math.Abs(pair[1]))) {
				t.Errorf("pair %d: %.14g, want %.14g", i, pair[0], pair[1])
			}
		}
		if a.Answer != want.answer {
			t.Errorf("pair %d: %s", i, a.Answer.Key())
		}
	}
}

// The answer, the p and the range say one thing: same exactly where p is at most 0.05, and
// where the range lies inside the margin.
func TestSameAnswerGoesWithItsRange(t *testing.T) {
	for margin := 4.0; margin < 200; margin += 5.3 {
		all, err := Sames(t.Context(), samesLevels, 0, Margin{Low: -margin, High: margin})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range all {
			if p.First != 0 {
				t.Fatalf("against the first: %+v", p)
			}
			inside := p.Low > -margin && p.High < margin
			outside := p.Low > margin || p.High < -margin
			if (p.Answer == Same) != (p.P <= 0.05) || (p.Answer == Same) != inside ||
				(p.Answer == Different) != outside {
				t.Errorf("margin %.1f: %+v", margin, p)
			}
			if (p.Answer == SameCannotTell) != (p.Enough > 0) {
				t.Errorf("margin %.1f: %s with %d as enough", margin, p.Answer.Key(), p.Enough)
			}
		}
	}
}

func TestSamesRefused(t *testing.T) {
	for _, c := range []struct {
		values [][]float64
		code   string
	}{
		{[][]float64{{1, 2}, {3}}, "alone"},
		{[][]float64{{1, 1}, {2, 2}, {1, 4}}, "no-spread"},
		{[][]float64{{1, 2}}, "too-few-levels"},
	} {
		if _, err := Sames(t.Context(), c.values, -1, Margin{Low: -0.1, High: 0.1}); err == nil ||
			err.(*Error).Code != c.code {
			t.Errorf("%v: %v, want %s", c.values, err, c.code)
		}
	}
}
