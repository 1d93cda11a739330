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
	byShare, err := Sames(t.Context(), samesLevels, -1, Margin{Share: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct {
		diff, low, high, p, shareP, percent, percentLow, percentHigh float64
		answer, shareAnswer                                          Sameness
	}{
		{0.966666666666697, -26.229193784793615, 28.16252711812701, 0.006158443307822076, 0.02152897085705916,
			0.24154589371980784, -6.18581983865365, 7.49183359473089, Same, Same},
		{108.8, 81.43516694369413, 136.1648330563059, 0.9972399950941925, 0.9978789154500834,
			27.18640679660169, 19.183430970740734, 36.26198123189677, Different, Different},
		{107.83333333333331, 90.16167810558791, 125.50498856107872, 0.9998923215293886, 0.9999556253259805,
			26.879933527212295, 21.988286236795098, 32.01948140186366, Different, Different},
	} {
		a, s := byAmount[i], byShare[i]
		for _, pair := range [][2]float64{{a.Diff, want.diff}, {a.Low, want.low}, {a.High, want.high}, {a.P, want.p},
			{s.P, want.shareP},
			{s.Percent, want.percent}, {s.PercentLow, want.percentLow}, {s.PercentHigh, want.percentHigh}} {
			if math.Abs(pair[0]-pair[1]) > 1e-9*math.Max(1, math.Abs(pair[1])) {
				t.Errorf("pair %d: %.14g, want %.14g", i, pair[0], pair[1])
			}
		}
		if a.Answer != want.answer || s.Answer != want.shareAnswer {
			t.Errorf("pair %d: %s and %s", i, a.Answer.Key(), s.Answer.Key())
		}
	}
	if a := byAmount[0]; a.MarginLow != -50 || a.MarginHigh != 50 || !math.IsNaN(a.Percent) {
		t.Errorf("margins %+v", a)
	}
}

// The answer, the p and the interval say one thing: same exactly where p is at most 0.05, and
// where the ratio's interval lies inside the margin.
func TestSameAnswerGoesWithItsRange(t *testing.T) {
	for share := 0.01; share < 0.5; share += 0.0137 {
		all, err := Sames(t.Context(), samesLevels, 0, Margin{Share: share})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range all {
			if p.First != 0 {
				t.Fatalf("against the first: %+v", p)
			}
			inside := p.PercentLow > -100*share && p.PercentHigh < 100*share
			outside := p.PercentLow > 100*share || p.PercentHigh < -100*share
			if (p.Answer == Same) != (p.P <= 0.05) || (p.Answer == Same) != inside || (p.Answer == Different) != outside {
				t.Errorf("margin %.3f: %+v", share, p)
			}
			if (p.Answer == SameCannotTell) != (p.Enough > 0) {
				t.Errorf("margin %.3f: %s with %d as enough", share, p.Answer.Key(), p.Enough)
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
		if _, err := Sames(t.Context(), c.values, -1, Margin{Share: 0.1}); err == nil || err.(*Error).Code != c.code {
			t.Errorf("%v: %v, want %s", c.values, err, c.code)
		}
	}
}
