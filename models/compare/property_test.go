package compare

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/verdict"
)

// series draws k levels of whole-number loads that vary within at least one level.
func series(t *rapid.T, least int) [][]float64 {
	k := rapid.IntRange(2, 3).Draw(t, "levels")
	values := make([][]float64, k)
	varies := false
	for l := range values {
		for _, v := range rapid.SliceOfN(rapid.IntRange(0, 40), least, 6).Draw(t, "level") {
			values[l] = append(values[l], 100+float64(v))
		}
		varies = varies || slices.Min(values[l]) < slices.Max(values[l])
	}
	if !varies {
		values[0][0] += 3
		values[0] = append(values[0], 100)
	}
	return values
}

// moved is the series in another unit and with its levels in another order.
func moved(values [][]float64, times float64) [][]float64 {
	out := make([][]float64, len(values))
	for l, level := range values {
		turned := len(values) - 1 - l
		for i := range level {
			out[turned] = append(out[turned], times*level[len(level)-1-i])
		}
	}
	return out
}

// run is a comparison of raw levels, all pairs.
type run func(values [][]float64, o Options) (*Result, error)

func routes() map[string]run {
	ctx := context.Background()
	return map[string]run{
		"uneven": func(v [][]float64, o Options) (*Result, error) {
			m, err := Uneven(ctx, v)
			if err != nil {
				return nil, err
			}
			return AllPairs(ctx, m, o)
		},
		"ranked":     func(v [][]float64, o Options) (*Result, error) { return Ranked(ctx, v, -1, o) },
		"reshuffled": func(v [][]float64, o Options) (*Result, error) { return Reshuffled(ctx, v, nil, -1, o) },
	}
}

func TestUnitsAndOrderChangeNothing(t *testing.T) {
	for name, compare := range routes() {
		rapid.Check(t, func(t *rapid.T) {
			values := series(t, 2)
			if name == "uneven" {
				values = values[:2] // more take long to plan for; they are held to the reference
			}
			// Times a power of two, so that ties stay ties.
			o := Options{Worth: 0.1 * mean(values[0]), Times: 2000, Seed: 5}
			a, errA := compare(values, o)
			o.Worth *= 4
			b, errB := compare(moved(values, 4), o)
			if (errA == nil) != (errB == nil) {
				t.Fatalf("%s: %v and %v", name, errA, errB)
			}
			if errA != nil || a.Method == ByReshuffling && !a.Every {
				return
			}
			k := len(values)
			for _, d := range a.Differences {
				i := slices.IndexFunc(b.Differences, func(e Difference) bool {
					return e.First == k-1-d.Second && e.Second == k-1-d.First
				})
				e := b.Differences[i]
				if !(math.Abs(e.Diff+4*d.Diff) <= 1e-9*math.Max(1, math.Abs(d.Diff))) || !(math.Abs(e.P-d.P) <= 1e-9) ||
					e.Answer != d.Answer || e.Enough != d.Enough {
					t.Fatalf("%s of %v: %+v\nmoved %+v", name, values, d, e)
				}
			}
		})
	}
}

func mean(v []float64) float64 {
	m, _ := meanAndSquares(context.Background(), v)
	return m
}

// An interval excludes zero where the answer says that levels differ, and only there.
func TestAnswersFollowRanges(t *testing.T) {
	for name, compare := range routes() {
		rapid.Check(t, func(t *rapid.T) {
			r, err := compare(series(t, 2), Options{Worth: 10, Times: 500})
			if err != nil {
				return
			}
			for _, d := range r.Differences {
				differs := d.Answer == verdict.Differs || d.Answer == verdict.DiffersLessThanWorth
				excludes := d.Low > 0 || d.High < 0
				if r.Method == ByReshuffling {
					if !math.IsNaN(d.Low) || !math.IsNaN(d.High) || !math.IsNaN(d.Detectable) {
						t.Fatalf("a range by reshuffling: %+v", d)
					}
					excludes = d.P <= 0.05+1e-12
				}
				if differs != excludes {
					t.Fatalf("%s: %+v", name, d)
				}
				if (d.Answer == verdict.CannotTell) != (d.Enough > 0) && r.Method != ByRanks {
					t.Fatalf("%s: enough %+v", name, d)
				}
				if !(d.P >= 0 && d.P <= 1) {
					t.Fatalf("%s: p %+v", name, d)
				}
			}
		})
	}
}

// Two levels with own spreads are Welch's t test three times over: overall, as a pair,
// against one.
func TestTwoLevelsAreWelchsT(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := series(t, 3)[:2]
		m, err := Uneven(t.Context(), values)
		if err != nil {
			return
		}
		o, errO := Welch(t.Context(), values)
		pair, errP := AllPairs(context.Background(), m, Options{})
		one, errA := Against(context.Background(), m, 0, Options{})
		if errO != nil || errP != nil || errA != nil || math.IsNaN(o.F) {
			return
		}
		d, e := pair.Differences[0], one.Differences[0]
		if !(math.Abs(o.F-d.Statistic*d.Statistic) <= 1e-9*(1+o.F)) || !(math.Abs(o.DF2-d.DF) <= 1e-9*d.DF) ||
			!(math.Abs(o.P-d.P) <= 1e-10) || !(math.Abs(e.P-d.P) <= 1e-10) || !(math.Abs(e.Low-d.Low) <= 1e-9) ||
			d.Enough != e.Enough {
			t.Fatalf("%v: %+v\n%+v\n%+v", values, o, d, e)
		}
	})
}

// Many reshuffles come to what every arrangement gives, within four standard errors.
func TestDrawnReshufflesComeToAllOfThem(t *testing.T) {
	values := [][]float64{{102, 97, 110, 105}, {108, 99, 112}, {120, 104, 109, 111}}
	d, err := newIntrablock(t.Context(), values, nil, allPairs(3))
	if err != nil {
		t.Fatal(err)
	}
	every := d.reshuffle(context.Background(), Options{})
	if !every.every || len(every.largest) != 11550 {
		t.Fatalf("%d of 11!/(4! 3! 4!) = 11 550", len(every.largest))
	}
	drawn := &shuffles{}
	_, observed := d.largest(d.totals, make([]float64, 3))
	const times = 40_000
	drawn.draw(context.Background(), Options{Seed: 2, Times: times}, 1000, observed*(1-tie), d.dealer)
	slices.Sort(drawn.largest)
	for _, at := range []float64{0.5, 1, 1.5, 2, 2.5, 3} {
		want, got := every.tail(at), drawn.tail(at)
		if !(math.Abs(got-want) <= 4*math.Sqrt(want*(1-want)/times)) {
			t.Errorf("chance of a largest |t| of %g: %g drawn, %g of all", at, got, want)
		}
	}
	if want, got := every.p(every.explains),
		drawn.p(drawn.explains); !(math.Abs(got-want) <= 4*math.Sqrt(want*(1-want)/times)) {
		t.Errorf("overall p: %g drawn, %g of all", got, want)
	}
}

// twenty is two levels of twenty.
func twenty() [][]float64 {
	values := make([][]float64, 2)
	for i := range 40 {
		values[i/20] = append(values[i/20], float64((i*i*7919)%97)+float64(6*(i/20)))
	}
	return values
}

func TestOneCoreReshufflesAsMany(t *testing.T) {
	o := Options{Seed: 9, Times: 20_000}
	many, err := Reshuffled(context.Background(), twenty(), nil, -1, o)
	if err != nil {
		t.Fatal(err)
	}
	before := runtime.GOMAXPROCS(1)
	one, err := Reshuffled(context.Background(), twenty(), nil, -1, o)
	runtime.GOMAXPROCS(before)
	if err != nil || one.Differences[0].P != many.Differences[0].P || one.Critical != many.Critical ||
		one.Overall != many.Overall {
		t.Errorf("%v: %+v on one core, %+v on many", err, one, many)
	}
	o.Seed = 10
	if other, _ := Reshuffled(context.Background(), twenty(), nil, -1, o); other.Critical == many.Critical &&
		other.Overall == many.Overall {
		t.Error("another seed drew the same reshuffles")
	}
}

// stopped interrupts a run that would take hours, and tells how long it went on.
func stopped(t testing.TB, run func(context.Context) error) time.Duration {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	var asked time.Time
	time.AfterFunc(300*time.Millisecond, func() { asked = time.Now(); cancel() })
	if err := run(ctx); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	return time.Since(asked)
}

// endless are reshufflings that would take hours: dealt one by one, and as turns.
func endless() map[string]func(context.Context) error {
	big := make([][]float64, 3)
	for i := range 30_000 {
		big[i%3] = append(big[i%3], float64(i*7919%1013))
	}
	design := longDesign(100_000, 0)
	return map[string]func(context.Context) error{
		"dealt": func(ctx context.Context) error {
			_, err := Reshuffled(ctx, big, nil, -1, Options{Times: 10_000_000})
			return err
		},
		"turned": func(ctx context.Context) error {
			_, err := Beyond(ctx, design, Options{Times: 5_000_000})
			return err
		},
	}
}

func TestReshufflingStops(t *testing.T) {
	for name, run := range endless() {
		t.Run(name, func(t *testing.T) { stopped(t, run) })
	}
}

// The longest a reshuffling went on after an interrupt, which is to be under 100 ms.
func BenchmarkInterrupt(b *testing.B) {
	for name, run := range endless() {
		b.Run(name, func(b *testing.B) {
			var longest time.Duration
			for b.Loop() {
				longest = max(longest, stopped(b, run))
			}
			b.ReportMetric(float64(longest.Milliseconds()), "ms-longest")
		})
	}
}

// What a fit of the levels alone leaves over is the values themselves: reshuffling it is
// reshuffling the raw values, every order of the specimens in place of every arrangement.
func TestFitOfLevelsAloneReshufflesAsRawValues(t *testing.T) {
	values := [][]float64{{102, 97, 110}, {108, 99}, {120, 104, 109}}
	raw, err := Reshuffled(context.Background(), values, nil, -1, Options{Worth: 10})
	if err != nil {
		t.Fatal(err)
	}
	f := ReshuffleDesign{Rest: [][]float64{make([]float64, 8)},
		Own:    [][]float64{make([]float64, 8), make([]float64, 8)},
		Levels: [][]float64{{0, 0}, {1, 0}, {0, 1}}}
	for l, level := range values {
		for _, v := range level {
			if l > 0 {
				f.Own[l-1][len(f.Response)] = 1
			}
			f.Rest[0][len(f.Response)] = 1
			f.Response = append(f.Response, v)
		}
	}
	m, err := Groups(t.Context(), values)
	if err != nil {
		t.Fatal(err)
	}
	fit, err := ReshuffledFit(context.Background(), f, m, -1, Options{Worth: 10})
	if err != nil || !fit.Every || fit.Arrangements != 40320 {
		t.Fatalf("%v: %d of 8! orders", err, fit.Arrangements)
	}
	near(t, "F", fit.Overall.F, raw.Overall.F, 1e-10)
	near(t, "p of F", fit.Overall.P, raw.Overall.P, 1e-12)
	for i, d := range raw.Differences {
		e := fit.Differences[i]
		near(t, "t", e.Statistic, d.Statistic, 1e-10)
		near(t, "p", e.P, d.P, 1e-12)
		if d.Answer != e.Answer {
			t.Errorf("%v and %v", d.Answer, e.Answer)
		}
	}
}

// With one covariate, the chance a fit's reshuffled levels give is near that of its t test.
func TestFitReshuffledIsNearItsTTest(t *testing.T) {
	n := 60
	v := []design.Variable{{Codes: make([]int, n), Levels: []string{"a", "b", "c"}}, {Numbers: make([]float64, n)}}
	y := make([]float64, n)
	for i := range n {
		v[0].Codes[i] = i % 3
		v[1].Numbers[i] = float64(i*37%101) / 10
		y[i] = 50 + 3*v[1].Numbers[i] + float64(i%3)*2 + float64(i*i*7919%97)/10
	}
	fit, err := linear.Solve(context.Background(), y, design.Model{Variables: v,
		Terms: []design.Term{{Factors: []design.Factor{{Variable: 1}}}, {Factors: []design.Factor{{Variable: 0}}}}})
	if err != nil {
		t.Fatal(err)
	}
	f := ReshuffleDesign{Response: y, Rest: fit.Matrix.Columns[:2], Own: fit.Matrix.Columns[2:],
		Levels: [][]float64{{0, 0}, {1, 0}, {0, 1}}}
	m := Means{Mean: make([]float64, 3), N: []float64{20, 20, 20}, DF: fit.DF}
	var weights [][]float64
	for l := range 3 {
		w, _ := fit.Weights(linear.Point{Levels: map[int]int{0: l}})
		e, _ := fit.Combination(context.Background(), w)
		m.Mean[l], weights = e.Value, append(weights, w)
	}
	m.Cov = fit.Covariance(weights)
	r, err := ReshuffledFit(context.Background(), f, m, -1, Options{Seed: 4, Times: 20_000})
	if err != nil {
		t.Fatal(err)
	}
	tukey, err := AllPairs(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F", r.Overall.F, (fit.TSS-fit.RSS-explainedBy(v[1].Numbers, y))/2/(fit.RSS/fit.DF), 1e-8)
	for i, d := range r.Differences {
		// The largest of both methods' steps: 20 000 draws have an error of up to 0.0036.
		near(t, "p", d.P, tukey.Differences[i].P, 0.015)
	}
}

// explainedBy is the sum of squares a line in x explains.
func explainedBy(x, y []float64) float64 {
	mx, sxx := meanAndSquares(context.Background(), x)
	my, _ := meanAndSquares(context.Background(), y)
	sxy := 0.0
	for i := range x {
		sxy += (x[i] - mx) * (y[i] - my)
	}
	return sxy * sxy / sxx
}
