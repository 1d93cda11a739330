package dist

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"breakbook/models/parallel"
)

// drawDF draws degrees of freedom from a fraction to a hundred million.
func drawDF(t *rapid.T) float64 {
	return math.Exp(rapid.Float64Range(math.Log(0.5), math.Log(1e8)).Draw(t, "ln df"))
}

// drawLoads are the loads of m levels of 1 to 50 specimens against one of n0.
func drawLoads(t *rapid.T, m int, n0 float64) []float64 {
	loads := make([]float64, m)
	for i := range loads {
		n := float64(rapid.IntRange(1, 50).Draw(t, "n"))
		loads[i] = math.Sqrt(n / (n + n0))
	}
	return loads
}

func TestPointsAreWhereTailsSay(t *testing.T) {
	ctx := context.Background()
	rapid.Check(t, func(t *rapid.T) {
		df := math.Max(1, drawDF(t))
		p := math.Exp(rapid.Float64Range(math.Log(1e-12), math.Log(0.9)).Draw(t, "ln p"))
		k := rapid.IntRange(2, 12).Draw(t, "k")
		if q := TQuantile(p/2, df); !(relative(TwoSidedT(q, df), p) <= 1e-11) {
			t.Fatalf("t: %g at %g, %g df gives %g", p, q, df, TwoSidedT(q, df))
		}
		r := NewStudentisedRange(k, df)
		if q := r.Point(p); !(relative(r.Tail(q), p) <= 1e-11) {
			t.Fatalf("range of %d: %g at %g, %g df gives %g", k, p, q, df, r.Tail(q))
		}
		loads := drawLoads(t, k-1, 6)
		m := NewManyToOne(fromLoads(loads), df)
		c := m.Point(ctx, p)
		if got, _ := m.Tail(ctx, c); !(relative(got, p) <= 1e-10) {
			t.Fatalf("many to one %v: %g at %g, %g df gives %g", loads, p, c, df, got)
		}
	})
}

func TestTailsFallAndBoundEachOther(t *testing.T) {
	if testing.Short() {
		t.Skip("digits of many values, compared without -short")
	}
	ctx := context.Background()
	rapid.Check(t, func(t *rapid.T) {
		df := math.Max(1, drawDF(t))
		x := rapid.Float64Range(0.05, 12).Draw(t, "x")
		more := x * rapid.Float64Range(1.01, 1.5).Draw(t, "more")
		k := rapid.IntRange(3, 10).Draw(t, "k")
		if a, b := TwoSidedT(x, df), TwoSidedT(more, df); !(a > b && a <= 1 && TwoSidedT(-x, df) == a) {
			t.Fatalf("t tails %g %g", a, b)
		}
		if a, b := FTail(x, 3, df), FTail(more, 3, df); !(a >= b && a <= 1 && b >= 0) {
			t.Fatalf("F tails %g %g", a, b)
		}
		// The range of k: between one pair alone and all pairs by Bonferroni, and it grows with k.
		one := TwoSidedT(x/math.Sqrt2, df)
		r := NewStudentisedRange(k, df).Tail(x)
		// near 1 each is good to some 2e-13
		if pairs := float64(k*(k-1)) / 2; r < one || r > pairs*one+1e-12 ||
			r > NewStudentisedRange(k+1, df).Tail(x)+1e-12 {
			t.Fatalf("range of %d at %g, %g df: %g, one pair %g", k, x, df, r, one)
		}
		if cdf := NewStudentisedRange(k, df).CDF(x); !(math.Abs(r+cdf-1) <= 1e-12) {
			t.Fatalf("range of %d at %g, %g df: tail and rest come to %.16g", k, x, df, r+cdf)
		}
		// Many to one: more correlation, less chance; the order of the levels does not matter.
		loose, tight := drawLoads(t, k, 6), make([]float64, k)
		for i, l := range loose { // half as many specimens at the level they are set against
			tight[i] = math.Sqrt(2 * l * l / (1 + l*l))
		}
		a, _ := NewManyToOne(fromLoads(loose), df).Tail(ctx, x)
		b, _ := NewManyToOne(fromLoads(tight), df).Tail(ctx, x)
		if !(b <= a+1e-14) {
			t.Fatalf("loads %v at %g: %g, tighter %g", loose, x, a, b)
		}
		loose[0], loose[k-1] = loose[k-1], loose[0]
		if c, _ := NewManyToOne(fromLoads(loose), df).Tail(ctx, x); !(relative(c, a) <= 1e-12) {
			t.Fatalf("turned round: %g, was %g", c, a)
		}
	})
}

// Where some or all of the values have nothing in common it is still a product form.
func TestUncorrelatedIsExact(t *testing.T) {
	ctx, inf := context.Background(), math.Inf(1)
	one := NewManyToOne(fromLoads([]float64{0, 0, 0, 0}), inf)
	if got, _ := one.Tail(ctx, 2); !one.Exact() || !(relative(got, 1-math.Pow(1-2*NormalTail(2), 4)) <= 1e-12) {
		t.Errorf("none: %.16g", got)
	}
	two := NewManyToOne(fromLoads([]float64{0.7, 0, 0.5}), inf)
	pair, _ := NewManyToOne(fromLoads([]float64{0.7, 0.5}), inf).Tail(ctx, 2)
	if got, _ := two.Tail(ctx, 2); !two.Exact() || !(relative(got, 1-(1-pair)*(1-2*NormalTail(2))) <= 1e-12) {
		t.Errorf("two of three: %.16g", got)
	}
}

func TestTwoLevelsAreTheTTest(t *testing.T) {
	ctx := context.Background()
	r := NewStudentisedRange(2, 13.4)
	m := NewManyToOne([][]float64{{1}}, 13.4)
	for _, x := range []float64{0.3, 2, 9} {
		want := TwoSidedT(x, 13.4)
		if got := r.Tail(math.Sqrt2 * x); !(relative(got, want) <= 1e-14) {
			t.Errorf("range: %g, want %g", got, want)
		}
		if got, _ := m.Tail(ctx, x); got != want {
			t.Errorf("many to one: %g, want %g", got, want)
		}
	}
	// The integral that serves three levels and more gives the same for two.
	if got, _ := r.above.at(math.Sqrt2 * 2); !(relative(got, TwoSidedT(2, 13.4)) <= 1e-12) {
		t.Errorf("integral: %g, want %g", got, TwoSidedT(2, 13.4))
	}
}

// A correlation a hair from a product form has no exact way; the lattice's error holds
// against that product form, and the same answer comes back.
func TestLatticeTellsItsError(t *testing.T) {
	ctx := context.Background()
	loads := []float64{0.72, 0.7, 0.65, 0.75, 0.6, 0.68}
	exact, _ := NewManyToOne(fromLoads(loads), 25).Tail(ctx, 2.4)
	r := fromLoads(loads)
	for i := range r {
		for j := range i {
			d := 1e-9 * float64((7*i+3*j)%5-2)
			r[i][j], r[j][i] = r[i][j]+d, r[j][i]+d
		}
	}
	d := NewManyToOne(r, 25)
	if d.Exact() {
		t.Fatal("this should be a lattice")
	}
	p, within := d.Tail(ctx, 2.4)
	if within > latticeAim || !(math.Abs(p-exact) <= within+1e-8) {
		t.Errorf("%.10g within %.2g, want %.10g", p, within, exact)
	}
	again, _ := NewManyToOne(r, 25).Tail(ctx, 2.4)
	if again != p {
		t.Errorf("twice: %.17g and %.17g", p, again)
	}
}

func TestLatticeStops(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
	defer cancel()
	err := func() (err error) {
		defer parallel.Catch(&err)
		NewManyToOne(chain(9, 0.3, 0.5), 30).Point(ctx, 0.05)
		return nil
	}()
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("error %v", err)
	}
}

func TestNoNonsense(t *testing.T) {
	ctx := context.Background()
	nan := math.NaN()
	many, _ := NewManyToOne(nil, 5).Tail(ctx, 2)
	for name, got := range map[string]float64{
		"t of NaN": TwoSidedT(nan, 3), "t without df": TwoSidedT(1, 0), "F without df": FTail(1, -1, 3),
		"chi-square of NaN": ChiSquareTail(nan, 2), "quantile over 1": TQuantile(1.5, 3),
		"quantile of NaN": TQuantile(nan, 3),
		"range of one":    NewStudentisedRange(1, 5).Tail(2), "range without df": NewStudentisedRange(3, 0).Point(0.05),
		"range point over 1": NewStudentisedRange(3, 5).Point(2), "many of none": many,
		"noncentral without df": NoncentralTTail(1, 0, 1), "noncentral of NaN": NoncentralTTail(nan, 5, 1),
		"noncentral about NaN": NoncentralTTail(math.Inf(1), 5, nan), "chance over 1": NoncentralityFor(1.2, 2, 5),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s: %g", name, got)
		}
	}
	inf := math.Inf(1)
	if TwoSidedT(inf, 3) != 0 || FTail(inf, 2, 3) != 0 || FTail(0, 2, 3) != 1 || TQuantile(0.5, 3) != 0 ||
		TQuantile(0, 3) != -inf || NewStudentisedRange(3, 5).Point(0) != inf ||
		NewStudentisedRange(3, 5).Point(1) != 0 {
		t.Error("at the ends")
	}
	if !(relative(TwoSidedT(2, inf), 2*NormalTail(2)) <= 1e-15) ||
		!(relative(NewStudentisedRange(4, inf).Tail(3), NewStudentisedRange(4, 1e9).Tail(3)) <= 1e-7) {
		t.Error("with infinite df")
	}
}

func TestNoncentralityIsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		df := math.Max(1, drawDF(t))
		c := rapid.Float64Range(1, 8).Draw(t, "critical")
		chance := rapid.Float64Range(0.5, 0.99).Draw(t, "chance")
		mu := NoncentralityFor(chance, c, df)
		if mu == 0 {
			if PassingChance(c, df, 0) < chance {
				t.Fatal("0 though it does not pass")
			}
		} else if !(math.Abs(PassingChance(c, df, mu)-chance) <= 1e-11) {
			t.Fatalf("%g df, %g: %g gives %g, want %g", df, c, mu, PassingChance(c, df, mu), chance)
		}
	})
}

func BenchmarkTails(b *testing.B) {
	b.Run("t", func(b *testing.B) {
		for b.Loop() {
			TwoSidedT(2.3, 17)
		}
	})
	b.Run("t point", func(b *testing.B) {
		for b.Loop() {
			TQuantile(0.975, 17)
		}
	})
	b.Run("F", func(b *testing.B) {
		for b.Loop() {
			FTail(3.1, 3, 40)
		}
	})
	b.Run("noncentral t", func(b *testing.B) {
		for b.Loop() {
			NoncentralTTail(2.5, 20, 3)
		}
	})
}

func BenchmarkManyToOne(b *testing.B) {
	ctx := context.Background()
	loads := []float64{0.7, 0.65, 0.72, 0.6}
	two := map[string]float64{"l00": .7, "l01": .3, "l10": .6, "l11": -.4, "l20": .8, "l21": .1, "l30": .5, "l31": .5}
	for _, c := range []struct {
		name string
		r    [][]float64
	}{{"one factor", fromLoads(loads)}, {"two factors", fromFactors(two)}, {"a lattice of 5", chain(5, 0.3, 0.5)},
		{"a lattice of 12", chain(12, 0.3, 0.5)}} {
		b.Run("point, "+c.name, func(b *testing.B) {
			for b.Loop() {
				NewManyToOne(c.r, 25).Point(ctx, 0.05)
			}
		})
	}
}

// A t of 10^200, as of a mean compared with a slip of a number, has its tail as quickly as any: on
// one degree of freedom 2/(π·t), the tail of the Cauchy distribution.
func TestTailsOfHugeStatistics(t *testing.T) {
	ctx := context.Background()
	independent := [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for _, x := range []float64{1e100, 1e150, 1e170, 1e200, 1e300, math.Inf(1)} {
		one := TwoSidedT(x, 1)
		for name, got := range map[string]float64{"range": NewStudentisedRange(4, 1).Tail(x),
			"many to one": firstOf(NewManyToOne(independent, 1).Tail(ctx, x))} {
			// Between one comparison's tail and all of theirs; the range is of √2 times the t.
			if !(got >= one && got <= 6*math.Sqrt2*one*(1+1e-9)) {
				t.Errorf("%s at %g: %g, one comparison's tail is %g", name, x, got, one)
			}
		}
		if got := firstOf(NewManyToOne(independent, 52).Tail(ctx, x)); got != 0 {
			t.Errorf("at %g on 52 degrees of freedom: %g", x, got)
		}
	}
}

func firstOf(p, _ float64) float64 { return p }
