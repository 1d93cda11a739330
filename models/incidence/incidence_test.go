package incidence

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"breakbook/models/dist"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.14g, want %.14g within %g", what, got, want, tolerance)
	}
}

// TestProportionsAgainstReference: scipy's beta quantiles, in testdata/reference/modes.json
// (made by modes.py, versions inside).
func TestProportionsAgainstReference(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/modes.json")
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Proportions []struct {
			K, N                  int
			Confidence, Low, High float64
		}
	}
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Proportions) < 10 {
		t.Fatalf("only %d proportions", len(r.Proportions))
	}
	for _, c := range r.Proportions {
		got := Proportion(c.K, c.N, c.Confidence)
		near(t, "low", got.Low, c.Low, 1e-9)
		near(t, "high", got.High, c.High, 1e-9)
	}
}

// TestNoneOfSeven: the upper end is 1 − 0.025^(1/7), by hand.
func TestNoneOfSeven(t *testing.T) {
	got := Proportion(0, 7, 0.95)
	if got.Low != 0 {
		t.Error(got)
	}
	near(t, "high", got.High, 1-math.Pow(0.025, 1.0/7), 1e-12)
}

// TestByHand has six specimens, one whole at 20 and one at 40:
// at 10 one of 6 ends in way 0; at 20 one of 5 in way 1 (the whole one leaves after it);
// at 30 one of 3 in way 0; at 50 the last one in way 1.
func TestByHand(t *testing.T) {
	got := Buildup(t.Context(), []float64{50, 10, 20, 20, 40, 30}, []int{1, 0, 1, Whole, Whole, 0}, 2, 0.95)
	want := [][]Step{
		{{Load: 10, AtRisk: 6, Share: 1.0 / 6}, {Load: 30, AtRisk: 3, Share: 1.0/6 + 5.0/6*4/5/3}},
		{{Load: 20, AtRisk: 5, Share: 5.0 / 6 / 5}, {Load: 50, AtRisk: 1, Share: 5.0/6/5 + 5.0/6*4/5*2/3}},
	}
	for k := range want {
		if len(got[k]) != len(want[k]) {
			t.Fatalf("way %d: %v", k, got[k])
		}
		for j, w := range want[k] {
			g := got[k][j]
			if g.Load != w.Load || g.AtRisk != w.AtRisk {
				t.Errorf("way %d, step %d: %+v", k, j, g)
			}
			near(t, "share", g.Share, w.Share, 1e-14)
		}
	}
}

// TestWithoutWholeSpecimensItIsAProportion: the share is a count over n, its variance that of
// a proportion, and the interval the formula on ln(−ln share).
func TestWithoutWholeSpecimensItIsAProportion(t *testing.T) {
	loads := []float64{3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8}
	mode := []int{0, 1, 2, 0, 0, 1, 1, 0, 2, 0, 1, 2}
	n := float64(len(loads))
	z := -dist.TQuantile(0.025, math.Inf(1))
	for k, steps := range Buildup(t.Context(), loads, mode, 3, 0.95) {
		for _, s := range steps {
			count := 0.0
			for i, x := range loads {
				if x <= s.Load && mode[i] == k {
					count++
				}
			}
			p := count / n
			near(t, "share", s.Share, p, 1e-14)
			near(t, "SE", s.SE, math.Sqrt(p*(1-p)/n), 1e-13)
			near(t, "low", math.Log(-math.Log(s.Range.Low)), math.Log(-math.Log(p))-z*s.SE/(p*math.Log(p)), 1e-10)
			near(t, "high", math.Log(-math.Log(s.Range.High)), math.Log(-math.Log(p))+z*s.SE/(p*math.Log(p)), 1e-10)
			if !(s.Range.Low < p && p < s.Range.High) {
				t.Errorf("%+v", s)
			}
		}
	}
}

// TestSharesAddUpToAllThatEnded: over the ways they are one less the Kaplan–Meier share that holds.
func TestSharesAddUpToAllThatEnded(t *testing.T) {
	loads := []float64{7, 3, 9, 4, 4, 8, 6, 5, 2, 9}
	mode := []int{0, 1, Whole, Whole, 0, 1, 0, Whole, 1, 0}
	holding := 1.0
	for _, p := range []struct{ d, n float64 }{{1, 10}, {1, 9}, {1, 8}, {1, 5}, {1, 4}, {1, 3}, {1, 2}} {
		holding *= 1 - p.d/p.n
	}
	sum := 0.0
	for _, steps := range Buildup(t.Context(), loads, mode, 2, 0.95) {
		sum += steps[len(steps)-1].Share
	}
	near(t, "all", sum, 1-holding, 1e-14)
}

func TestAllInOneModeHasNoRange(t *testing.T) {
	got := Buildup(t.Context(), []float64{1, 2}, []int{0, 0}, 1, 0.95)[0]
	if last := got[1]; last.Share != 1 || !math.IsNaN(last.Range.Low) || last.SE > 1e-9 {
		t.Errorf("%+v", got)
	}
}

// TestOneModeIsKaplanMeier: with a single mode the share is one less what holds, and its SE
// Greenwood's (1926), whole specimens or not.
func TestOneModeIsKaplanMeier(t *testing.T) {
	loads := []float64{1, 2, 2, 3, 4, 5, 5, 6}
	mode := []int{0, Whole, 0, 0, Whole, 0, 0, Whole}
	holding, sum := 1.0, 0.0
	steps := Buildup(t.Context(), loads, mode, 1, 0.9)[0]
	for j, p := range []struct{ d, n float64 }{{1, 8}, {1, 7}, {1, 5}, {2, 3}} {
		holding *= 1 - p.d/p.n
		sum += p.d / (p.n * (p.n - p.d))
		near(t, "share", steps[j].Share, 1-holding, 1e-14)
		near(t, "SE", steps[j].SE, holding*math.Sqrt(sum), 1e-14)
	}
}

// TestDifferenceAsPublished: Newcombe, Statistics in Medicine 17 (1998) 873–890, table II, method 10.
func TestDifferenceAsPublished(t *testing.T) {
	for _, c := range []struct {
		j, m, k, n int
		low, high  float64
	}{
		{56, 70, 48, 80, 0.0524, 0.3339},
		{9, 10, 3, 10, 0.1705, 0.8090},
		{5, 56, 0, 29, -0.0381, 0.1926},
	} {
		got := Difference(c.k, c.n, c.j, c.m, 0.95)
		near(t, "low", got.Low, c.low, 5e-5)
		near(t, "high", got.High, c.high, 5e-5)
	}
}
