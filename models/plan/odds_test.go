package plan

import (
	"context"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"breakbook/models/strength"
)

func oddsOfTen() Odds {
	m := Odds{Levels: 2, From: 0.6, To: 0.2, Confidence: 0.95, Wanted: 0.8, Level: []int{0, 0, 0, 0, 0, 1, 1, 1, 1, 1},
		Others: [][]float64{{-1.2, -0.4, 0.1, 0.9, 1.5, -0.2, 0.6, 1.1, 1.9, 2.4}}}
	for _, x := range m.Others[0] {
		m.Offset = append(m.Offset, 0.8*x)
	}
	return m
}

// The noncentrality is the deviance of the model in which the levels are one, fitted to the expected outcomes, and the
// inflation that of the covariance with the density and without: statsmodels 0.13.5 (GLM, Binomial, var_weights) and
// numpy; the chance by scipy 1.10.1 (norm).
func TestOddsAgainstStatsmodels(t *testing.T) {
	m := oddsOfTen()
	r := m.rows()
	err := r.pairs(m, m.To, func(i, j int, p []float64) error {
		want := map[int][3]float64{0: {0.317301091903, 1.55819719131, 0.869775402347},
			1: {0.335169586408, 1.02380812087, 0.887054708013}}[i]
		lost, err := r.lost(p, i, j)
		if err != nil {
			return err
		}
		with, _ := r.contrast(p, i, j, 3)
		alone, _ := r.contrast(p, i, j, 2)
		for _, f := range [][2]float64{{2 * lost, want[0]}, {with / alone, want[1]}, {m.chance(2*lost, 30), want[2]}} {
			if !(math.Abs(f[0]-f[1]) <= 1e-9) {
				t.Errorf("from level %d: %.12g, want %.12g", i, f[0], f[1])
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if from, to, _ := m.Hardest(); from != 0 || to != 1 {
		t.Errorf("the pair told least goes from level %d to %d", from, to)
	}
	if x, _ := m.Inflation(); !(math.Abs(x-1.55819719131) <= 1e-9) {
		t.Errorf("inflation %.10f", x)
	}
}

// With shares near a half and a term that moves them little the inflation is 1/(1 − R²) of the term with the levels
// (Hsieh, Bloch and Larsen 1998; from memory).
func TestInflationIsThatOfTheShareExplained(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Odds{Levels: 2, From: 0.5, To: 0.501, Confidence: 0.95, Wanted: 0.8}
		apart := rapid.Float64Range(0, 3).Draw(t, "apart")
		var x, mean []float64
		n := rapid.IntRange(5, 30).Draw(t, "specimens of a level")
		mean = make([]float64, 2)
		for l := range 2 {
			for range n {
				x = append(x, apart*float64(l)+rapid.Float64Range(-1, 1).Draw(t, "x"))
				mean[l] += x[len(x)-1] / float64(n)
				m.Level = append(m.Level, l)
			}
		}
		within, total := 0.0, 0.0
		for i, v := range x {
			within += (v - mean[m.Level[i]]) * (v - mean[m.Level[i]])
			total += (v - (mean[0]+mean[1])/2) * (v - (mean[0]+mean[1])/2)
		}
		if within/total < 0.01 {
			t.Skip("all but confounded")
		}
		m.Others, m.Offset = [][]float64{x}, make([]float64, len(x))
		got, err := m.Inflation()
		if err != nil || !(math.Abs(got/(total/within)-1) <= 1e-5) {
			t.Fatalf("%.8f, by the share explained %.8f (%v)", got, total/within, err)
		}
	})
}

// The unit that another term is in changes nothing.
func TestUnitsOfOtherTermsChangeNothing(t *testing.T) {
	o := Odds{Levels: 2, From: 0.5, To: 0.2, Confidence: 0.95, Wanted: 0.8, Level: []int{0, 0, 0, 1, 1, 1},
		Offset: make([]float64, 6)}
	b := Breaks{Distribution: strength.Weibull, Level: o.Level, Levels: 2, Place: make([]float64, 6),
		Effect: []float64{0, 0.3}, Spread: 0.15, Delta: 0.1, Confidence: 0.95, Wanted: 0.8}
	var inflation, least float64
	for i, unit := range []float64{1, 1e-9, 1e9} {
		x := []float64{1 * unit, 3 * unit, 2 * unit, 3 * unit, 5 * unit, 2 * unit}
		o.Others, b.Others = [][]float64{x}, [][]float64{x}
		times, err := o.Inflation()
		size, errOf := b.Least()
		if err != nil || errOf != nil {
			t.Fatalf("in units of %g: %v, %v", unit, err, errOf)
		}
		if i == 0 {
			inflation, least = times, size.Chance
		}
		if !(math.Abs(times/inflation-1) <= 1e-9) || !(math.Abs(size.Chance-least) <= 1e-9) {
			t.Errorf("in units of %g: %.12g times, a chance of %.12g; want %.12g and %.12g", unit, times, size.Chance,
				inflation, least)
		}
	}
}

// Without other terms the plan is near that of the exact test of counts, which is a stricter test.
func TestOddsAloneAreNearTheExactTest(t *testing.T) {
	m := Odds{Levels: 2, From: 0.6, To: 0.2, Confidence: 0.95, Wanted: 0.8, Level: []int{0, 1}, Offset: []float64{0, 0}}
	got, err := m.Least()
	exact, _ := Shares{Levels: 2, From: 0.6, To: 0.2, Confidence: 0.95, Wanted: 0.8}.Least()
	if err != nil || got.PerLevel > exact.PerLevel || got.PerLevel < exact.PerLevel-6 {
		t.Errorf("%d of each, by the exact test %d (%v)", got.PerLevel, exact.PerLevel, err)
	}
}

// The chance after series were drawn is their share, and the same seed draws the same.
func TestTriedOddsAreTheShareOfSeries(t *testing.T) {
	m, err := oddsOfTen().tried(context.Background(), 20, 3, 2000)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := oddsOfTen().tried(context.Background(), 20, 3, 2000)
	s, err := m.At(20)
	if count := s.Chance * 2000; err != nil || again.Gain != m.Gain || !(math.Abs(count-math.Round(count)) <= 1e-4) ||
		m.Gain < -2 || m.Gain > 6 {
		t.Errorf("%+v with a gain of %g, then %g (%v)", s, m.Gain, again.Gain, err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := m.Tried(stopped, 20, 3); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// What cannot be planned has its code.
func TestOddsRefuse(t *testing.T) {
	for code, change := range map[string]func(*Odds){
		"no-difference":  func(m *Odds) { m.To = m.From },
		"too-few-levels": func(m *Odds) { m.Levels = 1 },
		"confounded":     func(m *Odds) { m.Others = [][]float64{{0, 0, 0, 0, 0, 1, 1, 1, 1, 1}} },
		"out-of-reach":   func(m *Odds) { m.To = 0.599 },
	} {
		m := oddsOfTen()
		change(&m)
		if _, err := m.Least(); err == nil || err.Error() != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
}

// Specimens that are sure to break so, or never to, lose nothing of their own: by hand, of a half whose chance is 1 or
// 0 beside a half and a whole level of 0.2, one chance for all of them.
func TestOddsOfWhatIsCertain(t *testing.T) {
	h := func(p float64) float64 { return p*math.Log(p) + (1-p)*math.Log1p(-p) }
	m := Odds{Levels: 2, From: 0.6, To: 0.2, Confidence: 0.95, Wanted: 0.8, Level: []int{0, 0, 1, 1},
		Offset: make([]float64, 4)}
	r := m.rows()
	for sure, all := range map[float64]float64{1: 0.4, 0: 0.15} {
		p := make([]float64, len(r.level))
		for row := range p {
			p[row] = 0.2
		}
		p[0] = sure
		if w := r.weight[0]; w != 0.5 || len(p) != 4 {
			t.Fatalf("%d rows, the first of the weight %g", len(p), w)
		}
		lost, err := r.lost(p, 0, 1)
		if want := 1.5*h(0.2) - 2*h(all); err != nil || !(math.Abs(lost-want) <= 1e-12) {
			t.Errorf("with a chance of %g: %.12g, want %.12g (%v)", sure, lost, want, err)
		}
	}
}

// The change that too few specimens of each level show is shown by series drawn from another seed with about the chance
// wanted, a change a tenth smaller with less; where not even one to (nearly) none is, none is said.
func TestChangesShownByTooFew(t *testing.T) {
	if testing.Short() {
		t.Skip("draws thousands of series")
	}
	m := oddsOfTen()
	m.To = 0.5
	for _, n := range []int{15, 30} {
		larger, ok, err := m.Shown(t.Context(), n, 1)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		if !(larger.To > 0.001 && larger.To < m.To) {
			t.Errorf("%d of each: shown from %g to %g", n, larger.From, larger.To)
		}
		chance := func(to float64) float64 {
			c := m
			c.To = to
			c, err := c.tried(t.Context(), n, 9, 4000)
			if err != nil {
				t.Fatal(err)
			}
			size, _ := c.At(n)
			return size.Chance
		}
		if p := chance(larger.To); !(p >= 0.8-0.05) { // 500 series and 4,000 stray by 0.02 (1 sd)
			t.Errorf("%d of each show a change to %g in %.3f of series", n, larger.To, p)
		}
		if smaller := m.From - 0.85*(m.From-larger.To); !(chance(smaller) < 0.8+0.02) {
			t.Errorf("%d of each show a change to %g in %.3f of series already", n, smaller, chance(smaller))
		}
	}
	if larger, ok, err := m.Shown(t.Context(), 5, 1); ok || err != nil {
		t.Errorf("a change to %g is shown by 5 of each (%v)", larger.To, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, ok, err := m.Shown(ctx, 15, 1); ok || err == nil {
		t.Errorf("not stopped: %v, %v", ok, err)
	}
}
