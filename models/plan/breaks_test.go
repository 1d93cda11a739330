package plan

import (
	"context"
	"math"
	"testing"

	"breakbook/models/strength"
)

// Expected information censored at z: integrals by scipy 1.10.1 (quad). Uncensored it is the textbook's: 1, 1 − γ and
// π²/6 + (1 − γ)² of the smallest extreme value, 1, 0 and 2 of the normal distribution.
func TestInformationOfABreak(t *testing.T) {
	const euler = 0.5772156649015329
	for _, c := range []struct {
		d    strength.Distribution
		z    float64
		want information
	}{
		{strength.Weibull, -1.5, information{0.1999892870, -0.3112702767, 0.6954854017, 0.1999892870}},
		{strength.Weibull, -0.2, information{0.5590089741, -0.2303024101, 0.7618418608, 0.5590089741}},
		{strength.Weibull, 0.7, information{0.8665132033, 0.1478773574, 1.2469079936, 0.8665132033}},
		{strength.Lognormal, -1.5, information{0.2790593096, -0.4478957581, 0.8054580397, 0.0668072013}},
		{strength.Lognormal, -0.2, information{0.7629312642, -0.4594808887, 0.9333767589, 0.4207402906}},
		{strength.Lognormal, 0.7, information{0.9424220892, -0.1831839144, 1.3878439555, 0.7580363478}},
		{strength.Weibull, math.Inf(1), information{1, 1 - euler, math.Pi*math.Pi/6 + (1-euler)*(1-euler), 1}},
		{strength.Lognormal, math.Inf(1), information{1, 0, 2, 1}},
	} {
		got := breakTable(c.d).upTo(c.z, c.d)
		for _, f := range [][2]float64{{got.place, c.want.place}, {got.both, c.want.both}, {got.spread, c.want.spread},
			{got.seen, c.want.seen}} {
			if !(math.Abs(f[0]-f[1]) <= 2e-5) { // the table is interpolated between steps of a hundredth
				t.Errorf("%s up to %g: %+v, want %+v", c.d.Name(), c.z, got, c.want)
				break
			}
		}
	}
}

// breaksOfTwo is a plan for two levels of one kind of specimen each.
func breaksOfTwo(d strength.Distribution) Breaks {
	return Breaks{Distribution: d, Level: []int{0, 1}, Levels: 2, Place: []float64{6, 6}, Effect: []float64{0, 0.3},
		Spread: 0.15, Delta: 0.1, Confidence: 0.95, Wanted: 0.8}
}

// Where nothing else ends a test, two levels of n tell their difference with the variance 2σ²/n: the spread that is
// estimated as well is unrelated to it (textbook). Of log-normal breaks that is the plan for means but for the t.
func TestBreaksWithNothingElse(t *testing.T) {
	for _, d := range []strength.Distribution{strength.Weibull, strength.Lognormal} {
		b := breaksOfTwo(d)
		each, _, err := b.rows().noncentrality(b, b.Delta)
		if want := 0.01 / (2 * 0.15 * 0.15); err != nil || !(math.Abs(each/want-1) <= 1e-6) {
			t.Errorf("%s: %.9f, want %.9f (%v)", d.Name(), each, want, err)
		}
		if share, _, _, err := b.Seen(); err != nil || !(math.Abs(share-1) <= 1e-6) {
			t.Errorf("%s: a share of %g breaks so (%v)", d.Name(), share, err)
		}
	}
	got, err := breaksOfTwo(strength.Lognormal).Least()
	means, _ := Means{Levels: []int{2}, Delta: 0.1, SD: 0.15, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}.Least()
	if err != nil || got.PerLevel > means.PerLevel || got.PerLevel < means.PerLevel-1 {
		t.Errorf("%d of each, for means %d (%v)", got.PerLevel, means.PerLevel, err)
	}
}

// Of Weibull breaks that other ways end first with one spread, the information about a place is the share that is
// seen: half of it where both are as strong.
func TestBreaksCutShort(t *testing.T) {
	b := breaksOfTwo(strength.Weibull)
	b.Effect, b.OtherPlace, b.OtherEffect, b.OtherSpread = []float64{0, 0}, []float64{6, 6}, []float64{0, 0}, 0.15
	r := b.rows()
	own, other := r.places(b, [2]int{0, 1}, 0)
	if one := r.info(b, 0, own, other); !(math.Abs(one.place-0.5) <= 1e-3) || !(math.Abs(one.seen-0.5) <= 1e-3) {
		t.Errorf("%+v", one)
	}
	plain, _ := breaksOfTwo(strength.Weibull).Least()
	cut, err := b.Least()
	if err != nil || cut.PerLevel < 19*plain.PerLevel/10 {
		t.Errorf("%d of each where half is seen, %d where all is (%v)", cut.PerLevel, plain.PerLevel, err)
	}
}

// The drawn series confirm the expected information but for few specimens, and the same seed draws the same.
func TestTriedBreaks(t *testing.T) {
	b := breaksOfTwo(strength.Weibull)
	b.Effect, b.OtherPlace, b.OtherEffect, b.OtherSpread = []float64{0, 0}, []float64{6, 6}, []float64{0.1, 0.2}, 0.2
	for _, n := range []int{15, 60} {
		got, err := b.tried(context.Background(), n, 5, 2000)
		again, _ := b.tried(context.Background(), n, 5, 2000)
		if err != nil || got.Gain != again.Gain || got.More != again.More ||
			!(math.Abs(got.Gain) <= 6) || !(math.Abs(got.More*float64(n)) <= 6) {
			t.Errorf("%d of each: %g and %g, again %g and %g (%v)", n, got.Gain, got.More, again.Gain, again.More, err)
		}
	}
}

// What cannot be planned has its code.
func TestBreaksRefuse(t *testing.T) {
	for code, change := range map[string]func(*Breaks){
		"no-difference":  func(b *Breaks) { b.Delta = 0 },
		"no-spread":      func(b *Breaks) { b.Spread = math.NaN() },
		"too-few-levels": func(b *Breaks) { b.Levels = 1 },
		"confounded":     func(b *Breaks) { b.Others = [][]float64{{0, 1}} },
		"out-of-reach":   func(b *Breaks) { b.Delta = 0.001 },
	} {
		b := breaksOfTwo(strength.Weibull)
		change(&b)
		if _, err := b.Least(); err == nil || err.Error() != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
}

// However much stronger one level is, so that hardly a specimen of it breaks so any more, the number that is told shows
// it with the chance asked for, a tenth and one fewer does not, and a larger difference takes no more: series
// drawn from other seeds, a chance of 0.8 known to 0.009 by 2,000 of them.
func TestTriedLeastHoldsHoweverLargeTheDifference(t *testing.T) {
	if testing.Short() {
		t.Skip("draws thousands of series")
	}
	last := math.MaxInt
	for _, larger := range []float64{0.4, 1, 10} {
		b := breaksOfTwo(strength.Weibull)
		b.Effect, b.OtherPlace, b.OtherEffect, b.OtherSpread = []float64{0, 0}, []float64{6, 6}, []float64{0, 0}, 0.15
		b.Delta = math.Log1p(larger)
		b, err := b.TriedLeast(t.Context(), 1)
		if err != nil {
			t.Fatal(err)
		}
		size, err := b.Least()
		if err != nil {
			t.Fatal(err)
		}
		if size.PerLevel > last {
			t.Errorf("%g larger takes %d of each, less takes %d", larger, size.PerLevel, last)
		}
		last = size.PerLevel
		shown := func(n int) float64 {
			drawn, err := b.tried(t.Context(), n, 9, 4000)
			if err != nil {
				t.Fatal(err)
			}
			at, _ := drawn.At(n)
			return at.Chance
		}
		if most := shown(size.PerLevel); !(most >= 0.8-0.03) || size.Chance < 0.8 {
			t.Errorf("%g larger: %d of each show it in %.3f, told %.3f", larger, size.PerLevel, most, size.Chance)
		}
		if few := size.PerLevel*9/10 - 1; few >= 3 && !(shown(few) < 0.8+0.03) {
			t.Errorf("%g larger: %d of each are enough, told %d", larger, few, size.PerLevel)
		}
		// The smallest difference that so many show is one that they do show.
		if !(size.Detectable <= b.Delta*(1+1e-9)) {
			t.Errorf("%g larger: %d of each show %.3f at least", larger, size.PerLevel, math.Expm1(size.Detectable))
		}
		n := 2 * size.PerLevel
		double, err := b.At(n)
		if err != nil {
			t.Fatal(err)
		}
		b.Delta = double.Detectable
		if most := shown(n); !(most >= 0.8-0.03) || !(double.Detectable < size.Detectable) {
			t.Errorf("%g larger: %d of each show %.3f in %.3f", larger, n, math.Expm1(double.Detectable), most)
		}
	}
}

// Too few specimens for the difference planned for show a larger one as often as asked, a tenth less of it no longer,
// in series drawn from another seed, a chance of 0.8 known to 0.009 by 2,000 of them; where hardly one breaks so, none
// is shown.
func TestShownByTooFew(t *testing.T) {
	if testing.Short() {
		t.Skip("draws thousands of series")
	}
	for _, n := range []int{12, 25} {
		b := breaksOfTwo(strength.Weibull)
		b.Effect, b.OtherPlace, b.OtherEffect, b.OtherSpread = []float64{0, 0}, []float64{6, 6}, []float64{0, 0}, 0.15
		b.Delta = 0.05
		larger, ok, err := b.Shown(t.Context(), n, 1)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		at, err := larger.At(n)
		if err != nil || !(at.Detectable <= larger.Delta) || !(at.Detectable >= 0.97*larger.Delta-0.01) {
			t.Errorf("%d of each: %g is shown, and detectable is %g (%v)", n, larger.Delta, at.Detectable, err)
		}
		chance := func(delta float64) float64 {
			c := b
			c.Delta = delta
			c, err := c.tried(t.Context(), n, 9, 4000)
			if err != nil {
				t.Fatal(err)
			}
			size, _ := c.At(n)
			return size.Chance
		}
		if p := chance(larger.Delta); !(p >= 0.8-0.04) {
			t.Errorf("%d of each show %g in %.3f of series", n, larger.Delta, p)
		}
		if p := chance(0.9 * larger.Delta); !(p < 0.8+0.02) {
			t.Errorf("%d of each show %g in %.3f of series already", n, 0.9*larger.Delta, p)
		}
	}
	b := breaksOfTwo(strength.Weibull)
	b.Effect, b.OtherPlace, b.OtherEffect, b.OtherSpread = []float64{0, 0}, []float64{5.7, 5.7}, []float64{0, 0}, 0.15
	if larger, ok, err := b.Shown(t.Context(), 4, 1); ok || err != nil {
		t.Errorf("%g is shown by 4 of each (%v)", larger.Delta, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, ok, err := b.Shown(ctx, 4, 1); ok || err == nil {
		t.Errorf("not stopped: %v, %v", ok, err)
	}
}
