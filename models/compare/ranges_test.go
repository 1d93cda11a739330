package compare

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"breakbook/models/dist"
	"breakbook/models/verdict"
)

// alikeMeans are independent means of n specimens with sd 1.
func alikeMeans(n float64, mean ...float64) Means {
	m := Means{Mean: mean, DF: float64(len(mean)) * (n - 1)}
	for i := range mean {
		row := make([]float64, len(mean))
		row[i] = 1 / n
		m.Cov, m.N = append(m.Cov, row), append(m.N, n)
	}
	return m
}

// scipy 1.10.1: the noncentrality at which nct passes studentized_range.ppf(0.95, 4, 16)/√2
// on either side with chance 0.8, by brentq.
func TestDetectable(t *testing.T) {
	m, err := Groups(t.Context(), groups(t, "tukey_four_groups.csv"))
	if err != nil {
		t.Fatal(err)
	}
	r, err := AllPairs(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range r.Differences {
		near(t, "detectable in standard errors", d.Detectable/d.SE, 3.7574009447752132, 1e-9)
	}
}

// The smallest n by direct search with scipy 1.10.1: nct and t or studentized_range for the
// chance to show worth, and quad over the chi density for the chance that the 90 % interval
// lies inside ± worth; sd 1.
func TestEnough(t *testing.T) {
	for _, c := range []struct {
		m     Means
		worth float64
		want  int
	}{
		{alikeMeans(5, 10, 10.3), 1, 18},
		{alikeMeans(5, 10, 10.3), 0.5, 70},
		{alikeMeans(3, 10, 10.3), 2, 6},
		{alikeMeans(5, 10, 10.3, 10.1, 10.2), 1.5, 12},
		{alikeMeans(5, 10, 10.3), 0.001, 0}, // over ten thousand
		{alikeMeans(5, 10, 10.3), 0, 0},     // unknown
	} {
		r, err := AllPairs(context.Background(), c.m, Options{Worth: c.worth})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range r.Differences {
			if d.Answer != verdict.CannotTell || d.Enough != c.want {
				t.Errorf("worth %g: %s, enough %d, want %d", c.worth, d.Answer.Key(), d.Enough, c.want)
			}
		}
	}
}

// df 20, worth two standard errors: the same two conditions by scipy 1.10.1.
func TestSingle(t *testing.T) {
	one := Single(t.Context(), 1, 1, 20, Options{Worth: 2}, 1)
	if one.Answer != verdict.CannotTell {
		t.Fatal(one.Answer.Key())
	}
	near(t, "times", one.Times, 2.2088142037391663, 0.003) // told to one part in a thousand
	// t(0.975, 20) and t(0.95, 20) as in printed tables, in full by scipy 1.10.1 t.ppf.
	near(t, "low", one.Range.Low, 1-2.0859634472658644, 1e-12)
	near(t, "ninety", one.Ninety.High, 1+1.7247182429207857, 1e-12)
	near(t, "p", one.P, 0.3292565771717093, 1e-13)
	three := Single(t.Context(), 1, 1, 20, Options{Worth: 2}, 3)
	near(t, "p of three", three.P, 3*one.P, 1e-13)
	if three.Range.High <= one.Range.High || three.Ninety.High <= one.Ninety.High {
		t.Error("three together need wider ranges")
	}
	if bad := Single(t.Context(), 1, 0, 20, Options{Worth: 2}, 1); !math.IsNaN(bad.P) ||
		bad.Answer != verdict.CannotTell || bad.Range.Known() {
		t.Errorf("no spread: %+v", bad)
	}
}

// Fieller by the plain quadratic for the ratio of the means, which is one more than the
// share: (a² − c²v_a) ρ² − 2 (a b − c² v_ab) ρ + (b² − c² v_b) = 0.
func TestFieller(t *testing.T) {
	for _, m := range []Means{
		{Mean: []float64{10, 12}, Cov: [][]float64{{0.04, 0}, {0, 0.09}}, N: []float64{5, 5}, DF: 8},
		{Mean: []float64{10, 10}, Cov: [][]float64{{0.5, 0.2}, {0.2, 0.3}}, N: []float64{5, 5}, DF: 12},
		{Mean: []float64{-10, 7}, Cov: [][]float64{{0.5, 0.2}, {0.2, 0.3}}, N: []float64{5, 5}, DF: 12},
	} {
		r, err := AllPairs(context.Background(), m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		d, a, b, c := r.Differences[0], m.Mean[0], m.Mean[1], r.Critical
		square := a*a - c*c*m.Cov[0][0]
		half := a*b - c*c*m.Cov[0][1]
		root := math.Sqrt(half*half - square*(b*b-c*c*m.Cov[1][1]))
		ends := []float64{100 * ((half-root)/square - 1), 100 * ((half+root)/square - 1)}
		slices.Sort(ends)
		near(t, "percent", d.Percent, 100*(b-a)/a, 1e-12)
		near(t, "percent low", d.PercentLow, ends[0], 1e-10)
		near(t, "percent high", d.PercentHigh, ends[1], 1e-10)
	}
	m := alikeMeans(4, 0.5, 3) // 0.5 ± 2.4 × 0.5 is not clear of zero
	r, err := AllPairs(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if d := r.Differences[0]; !math.IsNaN(d.PercentLow) || !math.IsNaN(d.PercentHigh) || d.Percent != 500 {
		t.Errorf("percents of a mean not clear of zero: %+v", d)
	}
}

func TestNothingToCompare(t *testing.T) {
	ctx := context.Background()
	for name, c := range map[string]struct {
		values [][]float64
		code   string
		level  int
	}{
		"one level":   {[][]float64{{1, 2}}, "too-few-levels", -1},
		"empty level": {[][]float64{{1, 2}, {}}, "too-few-specimens", 1},
		"singles":     {[][]float64{{1}, {2}}, "too-few-specimens", -1},
		"all equal":   {[][]float64{{2, 2}, {2, 2}}, "all-equal", -1},
		"no spread":   {[][]float64{{0.1, 0.1, 0.1}, {0.3, 0.3, 0.3}}, "no-spread", -1},
		"not numbers": {[][]float64{{1, 2}, {3, math.NaN()}}, "not-a-number", 1},
	} {
		_, err := Groups(t.Context(), c.values)
		_, err2 := OneWay(t.Context(), c.values)
		for _, err := range []error{err, err2} {
			var e *Error
			if !errors.As(err, &e) || e.Code != c.code || e.Level != c.level {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	m := alikeMeans(5, 10, 11, 12)
	var e *Error
	if _, err := Against(ctx, m, 3, Options{}); !errors.As(err, &e) || e.Code != "no-such-level" {
		t.Error(err)
	}
	if _, err := AllPairs(ctx, m, Options{Confidence: 1}); !errors.As(err, &e) || e.Code != "confidence" {
		t.Error(err)
	}
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := AllPairs(stopped, m, Options{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// routesOfFamilies are both families on raw groups.
func routesOfFamilies(values [][]float64, o Options) (out []*Result, err error) {
	m, err := Groups(context.Background(), values)
	if err != nil {
		return nil, err
	}
	all, err := AllPairs(context.Background(), m, o)
	if err != nil {
		return nil, err
	}
	one, err := Against(context.Background(), m, len(values)-1, o)
	return []*Result{all, one}, err
}

func TestRangesAndProbabilitiesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		confidence := rapid.SampledFrom([]float64{0.8, 0.9, 0.95, 0.99}).Draw(t, "confidence")
		values := series(t, 2)
		results, err := routesOfFamilies(values, Options{Confidence: confidence, Worth: 10})
		if err != nil {
			return
		}
		for _, r := range results {
			for _, d := range r.Differences {
				if math.Abs(d.P-(1-confidence)) < 1e-9 {
					continue // on the edge either is right
				}
				if excludes := d.Low > 0 || d.High < 0; excludes != (d.P < 1-confidence) {
					t.Fatalf("%+v", d)
				}
				if alone := dist.TwoSidedT(d.Statistic, d.DF); d.P < alone-1e-12 || d.P > 1 {
					t.Fatalf("adjusted %g, alone %g", d.P, alone)
				}
				if !(d.Low <= d.Diff && d.Diff <= d.High) || d.Detectable <= 0 {
					t.Fatalf("%+v", d)
				}
				if !math.IsNaN(d.PercentLow) && (d.PercentLow > 0 || d.PercentHigh < 0) != (d.Low > 0 || d.High < 0) {
					t.Fatalf("percents tell another story: %+v", d)
				}
			}
		}
		// The other way round, the differences change sign and nothing else.
		slices.Reverse(values)
		m, _ := Groups(t.Context(), values)
		turned, err := AllPairs(context.Background(), m, Options{Confidence: confidence, Worth: 10})
		if err != nil {
			t.Fatal(err)
		}
		k := len(values)
		for _, d := range results[0].Differences {
			i := slices.IndexFunc(turned.Differences, func(e Difference) bool {
				return e.First == k-1-d.Second && e.Second == k-1-d.First
			})
			if e := turned.Differences[i]; !(math.Abs(e.Diff+d.Diff) <= 1e-12) || !(math.Abs(e.P-d.P) <= 1e-10) ||
				e.Answer != d.Answer {
				t.Fatalf("%+v\nturned %+v", d, e)
			}
		}
	})
}

func TestTwoLevelsAreOneT(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := series(t, 2)[:2]
		results, err := routesOfFamilies(values, Options{})
		if err != nil {
			return
		}
		for _, r := range results {
			d := r.Differences[0]
			if want := dist.TwoSidedT(d.Statistic, d.DF); !(math.Abs(d.P-want) <= 1e-13) {
				t.Fatalf("p %g, want %g", d.P, want)
			}
			if want := dist.TQuantile(0.975, d.DF); !(math.Abs(r.Critical-want) <= 1e-11*want) {
				t.Fatalf("critical %g, want %g", r.Critical, want)
			}
			o, err := OneWay(t.Context(), values)
			if err != nil {
				t.Fatal(err)
			}
			if !(math.Abs(o.F-d.Statistic*d.Statistic) <= 1e-9*o.F+1e-12) || !(math.Abs(o.P-d.P) <= 1e-10) {
				t.Fatalf("F %g p %g, t² %g p %g", o.F, o.P, d.Statistic*d.Statistic, d.P)
			}
		}
	})
}

// Uneven numbers against the level with 7: the tail at 2.5 by numpy's Gauss–Legendre
// (testdata/published/dist_mpmath.csv, n0=7;n1=3;n2=5;n3=9;n4=4;df=23).
func TestAgainstWithUnevenNumbers(t *testing.T) {
	n := []float64{7, 3, 5, 9, 4}
	m := Means{N: n, DF: 23}
	for i := range n {
		row := make([]float64, len(n))
		row[i] = 4 / n[i] // sd 2
		m.Cov = append(m.Cov, row)
		m.Mean = append(m.Mean, 100)
	}
	m.Mean[2] += 2.5 * math.Sqrt(4./7+4./5)
	r, err := Against(context.Background(), m, 0, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "statistic", r.Differences[1].Statistic, 2.5, 1e-12)
	near(t, "p", r.Differences[1].P, 0.06809677320478359, 1e-12)
	if r.Error != 0 || r.Method != ManyToOne {
		t.Errorf("error %g, method %d", r.Error, r.Method)
	}
}

func BenchmarkCompare(b *testing.B) {
	m, err := Groups(context.Background(), groups(b, "tukey_four_groups.csv"))
	if err != nil {
		b.Fatal(err)
	}
	ctx := context.Background()
	for name, worth := range map[string]float64{"settled": 0, "with enough": 0.5} {
		b.Run("all pairs, "+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := AllPairs(ctx, m, Options{Worth: worth}); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("against one, "+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Against(ctx, m, 0, Options{Worth: worth}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
