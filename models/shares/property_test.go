package shares

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/resample"
)

// orthogonal is a series in which two factors are crossed evenly.
func orthogonal() (table, []float64) {
	var d table
	var y []float64
	for i := range 36 {
		d.A, d.B, d.C = append(d.A, i%3), append(d.B, i/3%2), append(d.C, i/6%2)
		d.X, d.Z = append(d.X, float64(i*i%23)), append(d.Z, float64(i*7%19))
		y = append(y, 100+8*float64(i%3)-5*float64(i/3%2)+float64(i*i*7919%17))
	}
	return d, y
}

func TestSharesAddUpAndKeepWithUnits(t *testing.T) {
	shapes := [][]string{{"a", "b"}, {"a", "b", "a:b"}, {"x", "x*x", "a"}, {"a", "x", "a:x", "z"}}
	rapid.Check(t, func(t *rapid.T) {
		d, y := orthogonal()
		for i := range y {
			y[i] += rapid.Float64Range(-20, 20).Draw(t, "noise")
			d.X[i] += rapid.Float64Range(0, 5).Draw(t, "x")
		}
		terms := rapid.SampledFrom(shapes).Draw(t, "terms")
		r, err := OfMeasure(context.Background(), y, d.model(terms), quick)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, s := range r.Shares {
			sum += s.Share
			if s.Share < -1e-12 || s.BeyondRest < -1e-12 || s.BeyondRest > 1 {
				t.Fatalf("%v: %+v", terms, s)
			}
		}
		if !(math.Abs(sum-r.Explained) <= 1e-12) {
			t.Fatalf("shares add up to %g of %g", sum, r.Explained)
		}
		for i := range y {
			y[i] = 9.80665*y[i] - 40
			d.X[i] = d.X[i]/25.4 + 7
		}
		other, err := OfMeasure(context.Background(), y, d.model(terms), quick)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range r.Shares {
			if !(math.Abs(s.Share-other.Shares[i].Share) <= 1e-9) ||
				!(math.Abs(s.Alone-other.Shares[i].Alone) <= 1e-9) {
				t.Fatalf("in another unit %+v is %+v", s, other.Shares[i])
			}
		}
	})
}

// Factors crossed evenly get what each explains alone, whatever the others do.
func TestEvenlyCrossedFactorsGetWhatTheyExplainAlone(t *testing.T) {
	d, y := orthogonal()
	r, err := OfMeasure(context.Background(), y, d.model([]string{"a", "b", "c"}), quick)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range r.Shares {
		near(t, "share", s.Share, s.Alone, 1e-12)
		near(t, "beyond the rest", s.BeyondRest, s.Alone, 1e-12)
	}
	near(t, "by chance of three levels", r.Shares[0].ByChance, 2./35, 1e-15)
	near(t, "by chance of two levels", r.Shares[1].ByChance, 1./35, 1e-15)
}

func TestOneCorePartsAsMany(t *testing.T) {
	d, y := orthogonal()
	mode := make([]bool, len(y))
	for i := range mode {
		mode[i] = y[i] > 110
	}
	both := func() (*Result, *Result) {
		a, err := OfMeasure(context.Background(), y, d.model([]string{"a", "x", "z"}),
			Options{Seed: 3, Resamples: 199, Times: 499})
		if err != nil {
			t.Fatal(err)
		}
		b, err := OfMode(context.Background(), mode, d.model([]string{"x", "z"}),
			Options{Seed: 3, Resamples: 99, Times: 99})
		if err != nil {
			t.Fatal(err)
		}
		return a, b
	}
	a, b := both()
	before := runtime.GOMAXPROCS(1)
	c, e := both()
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(a, c) || !reflect.DeepEqual(b, e) {
		t.Errorf("one core: %+v %+v, many: %+v %+v", c, e, a, b)
	}
}

// With one term, the reshuffle p is that of the plain comparison of its levels.
func TestOneTermsPIsThatOfReshuffledLevels(t *testing.T) {
	y := []float64{102, 97, 110, 108, 99, 120, 104, 109}
	d := table{A: []int{0, 0, 0, 1, 1, 2, 2, 2}, B: make([]int, 8), C: make([]int, 8), X: make([]float64, 8),
		Z: make([]float64, 8)}
	m := d.model([]string{"a"})
	m.Variables = m.Variables[:1]
	r, err := OfMeasure(context.Background(), y, m, quick)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := compare.Reshuffled(context.Background(), [][]float64{{102, 97, 110}, {108, 99}, {120, 104, 109}}, nil,
		-1, compare.Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "p", r.Shares[0].P, raw.Overall.P, 1e-12) // both of all arrangements
}

// A term that goes with the mode has a small p, one drawn at random has not; p of the
// measure is near that of F.
func TestPOfTermsWithAndWithoutEffect(t *testing.T) {
	draw := resample.Stream(11, 0)
	var d table
	var y []float64
	var mode []bool
	for i := range 60 {
		d.A, d.B, d.C = append(d.A, i%3), append(d.B, draw.IntN(2)), append(d.C, i%2)
		d.X, d.Z = append(d.X, draw.NormFloat64()), append(d.Z, draw.NormFloat64())
		mode = append(mode, d.X[i]+0.7*draw.NormFloat64() > 0)
		y = append(y, d.X[i]+draw.NormFloat64())
	}
	r, err := OfMode(context.Background(), mode, d.model([]string{"x", "z"}),
		Options{Resamples: 2, Times: 999, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if r.Shares[0].P > 0.005 || r.Shares[1].P < 0.05 {
		t.Errorf("p of the term behind the mode %g, of the other %g", r.Shares[0].P, r.Shares[1].P)
	}
	r, err = OfMeasure(context.Background(), y, d.model([]string{"z", "a"}),
		Options{Resamples: 2, Times: 20_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	means := make([][]float64, 3)
	for i, v := range y {
		means[d.A[i]] = append(means[d.A[i]], v)
	}
	o, _ := compare.OneWay(t.Context(), means)
	// z hardly matters here, so its presence moves p a little; 20 000 draws have an error of 0.004.
	near(t, "p of three levels", r.Shares[1].P, o.P, 0.06)
}

// Every order in which combined terms come after their parts is drawn alike.
func TestOrdersAreDrawnAlike(t *testing.T) {
	d, _ := orthogonal()
	for _, terms := range [][]string{{"a", "b", "x"}, {"a", "b", "a:b", "x"}} {
		p := newPrecedence(d.model(terms).Terms)
		draw, order := rand.New(rand.NewPCG(1, 2)), p.first()
		counts := map[string]int{}
		const runs = 24_000
		for range runs {
			p.draw(draw, order)
			set := uint64(0)
			for _, u := range order {
				if !p.may(set, u) {
					t.Fatalf("%v enters out of turn in %v", terms[u], order)
				}
				set |= 1 << u
			}
			counts[fmt.Sprint(order)]++
		}
		want := map[int]int{3: 6, 4: 8}[len(terms)] // 3!, and a:b after a and b: 4!/3
		if len(counts) != want {
			t.Fatalf("%d orders, want %d", len(counts), want)
		}
		for o, n := range counts {
			// Four standard errors of a count.
			mean := runs / float64(want)
			if !(math.Abs(float64(n)-mean) <= 4*math.Sqrt(mean)) {
				t.Errorf("order %s drawn %d times of %d", o, n, runs)
			}
		}
	}
}

// thirteen is a series with more terms than all orders are gone through for.
func thirteen() ([]float64, design.Model) {
	draw := resample.Stream(5, 0)
	m := design.Model{}
	y := make([]float64, 80)
	for v := range 13 {
		x := make([]float64, len(y))
		for i := range x {
			x[i] = draw.NormFloat64() + float64(i%3)
			y[i] += x[i] * float64(v%4)
		}
		m.Variables = append(m.Variables, design.Variable{Numbers: x})
		m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{Variable: v}}})
	}
	for i := range y {
		y[i] += 8 * draw.NormFloat64()
	}
	return y, m
}

func TestSampledOrdersHaveTheirError(t *testing.T) {
	y, m := thirteen()
	r, err := OfMeasure(context.Background(), y, m, Options{Resamples: 2, Times: 2, Orders: 3000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if r.Orders != 3000 {
		t.Errorf("%d orders", r.Orders)
	}
	// The exact shares by the twelve-term route of this package, held to brute force above.
	terms, p, _ := spell(context.Background(), len(y), m)
	g := &measure{n: len(y), baseline: slices.Repeat([]float64{1}, len(y)), y: y, terms: terms}
	g.reduce(context.Background())
	value := g.every(context.Background(), p)
	sum := 0.0
	for i, want := range p.averages(value) {
		s := r.Shares[i]
		sum += s.Share
		if !(s.Error > 0 && s.Error < 0.005) || !(math.Abs(s.Share-want) <= 4.5*s.Error) {
			t.Errorf("term %d: %g ± %g sampled, %g of all orders", i, s.Share, s.Error, want)
		}
	}
	near(t, "explained", sum, value[p.all()], 1e-12)
}

// The interval of one term's share is near that of the textbook: for the square of a
// correlation of many specimens, Fisher's z.
func TestRangeIsNearThatOfACorrelation(t *testing.T) {
	draw := resample.Stream(21, 0)
	n := 400
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = draw.NormFloat64()
		y[i] = x[i] + draw.NormFloat64()
	}
	m := design.Model{Variables: []design.Variable{{Numbers: x}},
		Terms: []design.Term{{Factors: []design.Factor{{Variable: 0}}}}}
	r, err := OfMeasure(context.Background(), y, m, Options{Seed: 2, Times: 2})
	if err != nil {
		t.Fatal(err)
	}
	s := r.Shares[0]
	z, half := math.Atanh(math.Sqrt(s.Share)), 1.959964/math.Sqrt(float64(n-3))
	near(t, "low", s.Low, math.Pow(math.Tanh(z-half), 2), 0.025)
	near(t, "high", s.High, math.Pow(math.Tanh(z+half), 2), 0.025)
	if r.Resamples != 999 {
		t.Errorf("%d resamples", r.Resamples)
	}
}

// Blocks are resampled whole: copies of each specimen bring no surer interval; and a term that
// is constant within them cannot be reshuffled.
func TestWholeBlocksAreResampled(t *testing.T) {
	d, y := orthogonal()
	one, err := OfMeasure(context.Background(), y, d.model([]string{"a", "b"}), Options{Seed: 1, Times: 2})
	if err != nil {
		t.Fatal(err)
	}
	var copies table
	var ys []float64
	var blocks []int
	for i := range y {
		for range 4 {
			copies.A, copies.B, copies.C = append(copies.A, d.A[i]), append(copies.B, d.B[i]), append(copies.C, d.C[i])
			copies.X, copies.Z = append(copies.X, d.X[i]), append(copies.Z, d.Z[i])
			ys, blocks = append(ys, y[i]), append(blocks, i)
		}
	}
	four, err := OfMeasure(context.Background(), ys, copies.model([]string{"a", "b"}),
		Options{Seed: 1, Times: 2, Blocks: blocks})
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range one.Shares {
		near(t, "low", four.Shares[i].Low, s.Low, 1e-9)
		near(t, "high", four.Shares[i].High, s.High, 1e-9)
		if !math.IsNaN(four.Shares[i].P) {
			t.Errorf("p %g of a term that no block varies", four.Shares[i].P)
		}
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

// endless are partings that would take hours: of a load, of a mode, and of a long series.
func endless() map[string]func(context.Context) error {
	y, m := thirteen()
	m.Terms = m.Terms[:12]
	mode := make([]bool, len(y))
	for i := range y {
		mode[i] = y[i] > 10
	}
	d, long := longTable(100_000)
	four := d.model([]string{"a", "b", "x", "z"})
	measure := func(y []float64, m design.Model, o Options) func(context.Context) error {
		return func(ctx context.Context) error {
			_, err := OfMeasure(ctx, y, m, o)
			return err
		}
	}
	return map[string]func(context.Context) error{
		"measure": measure(y, m, Options{Resamples: 1_000_000}),
		"mode": func(ctx context.Context) error {
			_, err := OfMode(ctx, mode, m, Options{Resamples: 1_000_000})
			return err
		},
		"reshuffles of a long series": measure(long, four, Options{Times: 5_000_000}),
		"resamples of a long series":  measure(long, four, Options{Times: 2, Resamples: 1_000_000}),
	}
}

func TestPartingStops(t *testing.T) {
	for name, run := range endless() {
		t.Run(name, func(t *testing.T) { stopped(t, run) })
	}
}

// The longest a parting went on after an interrupt, which is to be under 100 ms.
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

func TestWhatCannotBeParted(t *testing.T) {
	d, y := orthogonal()
	through := d.model([]string{"a"})
	through.ThroughZero = true
	few := table{A: []int{0, 1, 2}, B: []int{0, 1, 0}, C: []int{0, 1, 1}, X: []float64{1, 2, 4}, Z: []float64{3, 1, 2}}
	for code, run := range map[string]func() error{
		"all-equal": func() error {
			_, err := OfMeasure(context.Background(), make([]float64, 36), d.model([]string{"a"}), quick)
			return err
		},
		"no-terms":     func() error { _, err := OfMeasure(context.Background(), y, d.model(nil), quick); return err },
		"through-zero": func() error { _, err := OfMeasure(context.Background(), y, through, quick); return err },
		"too-few-specimens": func() error {
			_, err := OfMeasure(context.Background(), []float64{1, 2, 4}, few.model([]string{"a"}), quick)
			return err
		},
	} {
		var e *Error
		if err := run(); !errors.As(err, &e) || e.Code != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	var e *Error
	if _, err := OfMode(context.Background(), make([]bool, 36), d.model([]string{"a"}), quick); !errors.As(err, &e) ||
		e.Code != "all-equal" {
		t.Errorf("a mode that never shows: %v", err)
	}
}
