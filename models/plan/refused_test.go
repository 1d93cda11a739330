package plan

import (
	"context"
	"math"
	"testing"

	"breakbook/models/stages"
	"breakbook/models/strength"
)

// What can be planned, and each way in which it cannot, at its bound: the least that is taken and the most that is not.
func TestWhatIsRefused(t *testing.T) {
	means := func(change func(m *Means)) Means {
		m := Means{Levels: []int{2, 3}, Delta: 1, SD: 1, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}
		change(&m)
		return m
	}
	breaks := func(change func(b *Breaks)) Breaks {
		b := breaksOfTwo(strength.Weibull)
		change(&b)
		return b
	}
	odds := func(change func(o *Odds)) Odds {
		o := oddsOfTen()
		change(&o)
		return o
	}
	limit := func(change func(l *Limit)) Limit {
		l := Limit{Levels: 1, Mean: 500, SD: 60, HighSD: math.NaN(), Within: 0.1, Exceeded: 0.95, Confidence: 0.75,
			Wanted: 0.8}
		change(&l)
		return l
	}
	staged := func(number int, levels ...int) Stages {
		return Stages{Means: Means{Levels: levels, Delta: 1, SD: 1, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8},
			Number: number, Spending: stages.Late}
	}
	shares := func(levels int, from, to float64) Shares {
		return Shares{Levels: levels, From: from, To: to, Confidence: 0.95, Wanted: 0.8}
	}
	in := func(each int, sd float64, whole ...bool) func(m *Means) {
		return func(m *Means) { m.Blocks = &Blocks{SD: sd, Each: each, Whole: whole} }
	}
	inf := math.Inf(1)
	for _, c := range []struct {
		about string
		code  string // "": a size
		at    func(n int) (Size, error)
		n     int
	}{
		{"two of each", "", means(func(*Means) {}).At, 2},
		{"one of each", "too-few-specimens", means(func(*Means) {}).At, 1},
		{"as many other terms as specimens over", "too-few-specimens", means(func(m *Means) { m.Others = 6 }).At, 2},
		{"one over", "", means(func(m *Means) { m.Others = 5 }).At, 2},
		{"a factor of one level", "too-few-levels", means(func(m *Means) { m.Levels = []int{3, 1} }).At, 5},
		{"no factor", "too-few-levels", means(func(m *Means) { m.Levels = nil }).At, 5},
		{"an endless difference", "no-difference", means(func(m *Means) { m.Delta = inf }).At, 5},
		{"an endless spread", "no-spread", means(func(m *Means) { m.SD = inf }).At, 5},
		{"a certain answer", "share", means(func(m *Means) { m.Wanted = 1 }).At, 5},
		{"no confidence", "share", means(func(m *Means) { m.Confidence = 0 }).At, 5},
		{"blocks of none", "uneven-blocks", means(in(0, 1, true, false)).At, 4},
		{"blocks of one", "", means(in(1, 1, true, false)).At, 4},
		{"blocks of one factor", "uneven-blocks", means(in(2, 1, true)).At, 4},
		{"blocks with a spread below nothing", "uneven-blocks", means(in(2, -1, true, false)).At, 4},
		{"half a block", "uneven-blocks", means(in(2, 1, true, false)).At, 5},
		{"whole blocks", "", means(in(2, 0, true, false)).At, 6},
		{"half a block that holds all levels", "", means(in(2, 1, false, false)).At, 5},

		{"breaks, two of each", "", breaks(func(*Breaks) {}).At, 2},
		{"breaks, one of each", "too-few-specimens", breaks(func(*Breaks) {}).At, 1},
		{"breaks, an endless difference", "no-difference", breaks(func(b *Breaks) { b.Delta = inf }).At, 5},
		{"breaks, an endless spread", "no-spread", breaks(func(b *Breaks) { b.Spread = inf }).At, 5},
		{"breaks, no confidence", "share", breaks(func(b *Breaks) { b.Confidence = 1 }).At, 5},
		{"breaks, no chance", "share", breaks(func(b *Breaks) { b.Wanted = 0 }).At, 5},
		{"breaks, one level", "too-few-levels", breaks(func(b *Breaks) { b.Levels = 1 }).At, 5},

		{"odds, two of each", "", odds(func(*Odds) {}).At, 2},
		{"odds, one of each", "too-few-specimens", odds(func(*Odds) {}).At, 1},
		{"odds, a share over one", "share", odds(func(o *Odds) { o.To = 1.1 }).At, 5},
		{"odds, no change", "no-difference", odds(func(o *Odds) { o.To = o.From }).At, 5},

		{"shares, one level", "too-few-levels", shares(1, 0.2, 0.6).At, 5},
		{"shares below none", "share", shares(2, -0.1, 0.6).At, 5},
		{"shares from none to all", "", shares(2, 0, 1).At, 5},
		{"shares above all", "share", shares(2, 0.2, 1.1).At, 5},

		{"a limit of three", "", limit(func(*Limit) {}).At, 3},
		{"a limit of two", "too-few-specimens", limit(func(*Limit) {}).At, 2},
		{"a limit of no level", "too-few-levels", limit(func(l *Limit) { l.Levels = 0 }).At, 5},
		{"a limit without a spread", "no-spread", limit(func(l *Limit) { l.SD = 0 }).At, 5},
		{"a limit with an endless one", "no-spread", limit(func(l *Limit) { l.SD = inf }).At, 5},
		{"a limit that all exceed", "share", limit(func(l *Limit) { l.Exceeded = 1 }).At, 5},
		{"a limit within all of it", "no-difference", limit(func(l *Limit) { l.Within = 1 }).At, 5},
		{"a limit within none of it", "no-difference", limit(func(l *Limit) { l.Within = 0 }).At, 5},
		{"a quantile below nothing", "no-difference", limit(func(l *Limit) { l.SD = 310 }).At, 5}, // 500 − 1.645·310
		{"one just above", "", limit(func(l *Limit) { l.SD = 300 }).At, 5},

		{"ten stages", "", staged(MostStages, 2).At, 2 * MostStages},
		{"eleven stages", "number-of-stages", staged(MostStages+1, 2).At, 4 * (MostStages + 1)},
		{"no stage", "number-of-stages", staged(0, 2).At, 4},
		{"stages of two factors", "stages-of-two-factors", staged(2, 2, 2).At, 4},
		{"a stage of one", "too-few-specimens", staged(3, 2).At, 3},
		{"half a stage", "uneven-blocks", staged(3, 2).At, 7},
	} {
		size, err := c.at(c.n)
		switch {
		case c.code == "" && (err != nil || size.PerLevel != c.n || !(size.Chance > 0)):
			t.Errorf("%s: %+v (%v)", c.about, size, err)
		case c.code != "" && !Because(err, c.code):
			t.Errorf("%s: %+v (%v), want %s", c.about, size, err, c.code)
		}
	}
	if Because(nil, "share") || Because(&Error{"share"}, "no-spread") ||
		!Because(&Error{"share"}, "no-spread", "share") {
		t.Error("an error is because of what it is not")
	}
}

// What cannot be given out to levels has its code.
func TestWhatCannotBeAllotted(t *testing.T) {
	column := []float64{610, 640, 655}
	for _, c := range []struct {
		columns [][]float64
		levels  int
		code    string
	}{
		{[][]float64{column}, 1, "too-few-levels"}, {nil, 2, "too-few-levels"},
		{[][]float64{column}, 4, "too-few-levels"},
		{[][]float64{column}, 2, ""}, {[][]float64{column}, 3, ""},
		{[][]float64{column, {5, 5, 5}}, 2, "no-difference"},
	} {
		a, err := Allot(context.Background(), c.columns, nil, c.levels, 1)
		if c.code == "" && (err != nil || len(a.Level) != 3) || c.code != "" && !Because(err, c.code) {
			t.Errorf("%d columns, %d levels: %+v (%v), want %q", len(c.columns), c.levels, a, err, c.code)
		}
	}
}

// Of three levels without other terms the likelihood ratio of a pair is 2n(h(p) + h(q) − 2h((p + q)/2)) with h the
// entropy with its sign turned, the third level having its own share; it is normal by its root, at the error over three
// (the formulas written out; Self, Mauritsen and Ohara 1992). What can be detected has the wanted chance.
func TestOddsOfThreeLevelsByHand(t *testing.T) {
	h := func(p float64) float64 { return p*math.Log(p) + (1-p)*math.Log(1-p) }
	above := func(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }
	const critical = 2.3939797998185104 // normal point of 1 − 0.05/6: scipy 1.10.1, norm.ppf
	for _, c := range []struct{ from, to float64 }{{0.6, 0.25}, {0.25, 0.6}, {0.4, 0.9}} {
		for _, balanced := range []bool{false, true} {
			o := Odds{Levels: 3, From: c.from, To: c.to, Confidence: 0.95, Wanted: 0.8, Level: []int{0, 1, 2, 1},
				Offset: make([]float64, 4), Balanced: balanced}
			const n = 45
			got, err := o.At(n)
			if err != nil {
				t.Fatal(err)
			}
			mu := math.Sqrt(2 * n * (h(c.from) + h(c.to) - 2*h((c.from+c.to)/2)))
			if want := above(critical-mu) + above(critical+mu); !(math.Abs(got.Chance-want) <= 1e-9) ||
				got.N != 3*n || got.Pair != got.Chance || !math.IsNaN(got.Overall) {
				t.Errorf("%+v: %+v, want a chance of %.9f", c, got, want)
			}
			o.To = c.from + math.Copysign(got.Detectable, c.to-c.from)
			if at, err := o.At(n); err != nil || !(math.Abs(at.Chance-0.8) <= 1e-4) {
				t.Errorf("%+v: what it can detect has a chance of %g (%v)", c, at.Chance, err)
			}
		}
	}
	few := Odds{Levels: 2, From: 0.9, To: 0.95, Confidence: 0.95, Wanted: 0.8, Level: []int{0, 1},
		Offset: []float64{0, 0}}
	if got, err := few.At(4); err != nil || !math.IsNaN(got.Detectable) || got.Overall != got.Chance {
		t.Errorf("four of each cannot show any rise from 0.9: %+v (%v)", got, err)
	}
}

// What shares can detect has the wanted chance, down as up, and there is none where not even all or none would show.
func TestSharesDetectable(t *testing.T) {
	for _, s := range []Shares{{2, 0.7, 0.2, 0.95, 0.8}, {3, 0.2, 0.5, 0.95, 0.9}} {
		got, err := s.At(25)
		if err != nil {
			t.Fatal(err)
		}
		s.To = s.From + math.Copysign(got.Detectable, s.To-s.From)
		if at, err := s.At(25); err != nil || !(math.Abs(at.Chance-s.Wanted) <= 1e-9) ||
			(s.Levels == 2) != (at.Overall == at.Chance) {
			t.Errorf("%+v: %+v (%v)", s, at, err)
		}
	}
	if got, err := (Shares{2, 0.5, 0.6, 0.95, 0.8}).At(3); err != nil || !math.IsNaN(got.Detectable) ||
		got.Chance != 0 {
		t.Errorf("three of each show nothing: %+v (%v)", got, err)
	}
}

// Series drawn are 10,000, fewer where specimens times columns squared pass 2·10⁸ in all, and never under 1,000.
func TestHowManySeriesAreTried(t *testing.T) {
	for _, c := range [][4]int{{10_000, 20, 3, 10_000}, {10_000, 1000, 5, 8000}, {10_000, 4000, 20, 1000},
		{2000, 30, 2, 2000}} {
		if got := seriesTried(c[0], c[1], c[2]); got != c[3] {
			t.Errorf("%v: %d", c[:3], got)
		}
	}
	from := make([]int, 2*mostMade)
	for i := range from {
		from[i] = i
	}
	for i, got := range thinned(from) {
		if got != 2*i {
			t.Fatalf("of twice as many the one at %d is %d", i, got)
		}
	}
	if len(thinned(from[:mostMade])) != mostMade || len(thinned(from[:mostMade+1])) != mostMade {
		t.Error("so many stand for themselves, and one more is left out")
	}
}
