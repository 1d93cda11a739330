package linear

import (
	"context"
	"math"
	"math/big"
	"reflect"
	"runtime"
	"testing"

	"breakbook/models/design"
)

func TestOnlyTheBaseline(t *testing.T) {
	f := solve(t, []float64{3, 5, 10, 2}, design.Model{})
	c := f.Coefficients[0]
	atLeast(t, "mean", 15, []figure{{"mean", c.Estimate, 5}, {"sd", f.Sigma, math.Sqrt(38.0 / 3)},
		{"se", c.SE, math.Sqrt(38.0 / 12)}, {"df", f.DF, 3}})
	if !math.IsNaN(f.F) || !math.IsNaN(f.P) {
		t.Errorf("F %g and p %g of nothing", f.F, f.P)
	}
}

// One slope through zero: Σxy/Σx², with n − 1 degrees of freedom, all about zero (textbook).
func TestThroughZero(t *testing.T) {
	x, y := []float64{1, 2, 3, 4, 5}, []float64{2.1, 3.9, 6.2, 7.8, 10.1}
	xy, xx, yy := 0.0, 0.0, 0.0
	for i := range x {
		xy, xx, yy = xy+x[i]*y[i], xx+x[i]*x[i], yy+y[i]*y[i]
	}
	f := solve(t, y, design.Model{Variables: []design.Variable{number("x", x)}, Terms: []design.Term{term(0)},
		ThroughZero: true})
	rss := yy - xy*xy/xx
	atLeast(t, "slope", 12, []figure{{"slope", f.Coefficients[0].Estimate, xy / xx}, {"rss", f.RSS, rss},
		{"tss", f.TSS, yy}, {"df", f.DF, 4},
		{"explained", f.Explained, 1 - rss/yy}, {"F", f.F, (yy - rss) / (rss / 4)},
		{"se", f.Coefficients[0].SE, math.Sqrt(rss / 4 / xx)}})
	if !math.IsNaN(f.AtZero) {
		t.Errorf("at zero: %g", f.AtZero)
	}
	table := anova(t, f, Marginal)
	atLeast(t, "anova", 12, []figure{{"ss", table.Sources[0].SS, yy - rss}, {"total df", table.TotalDF, 5}})
}

// Through zero the first category has its level means as rows; the second goes on from its baseline.
func TestThroughZeroCategories(t *testing.T) {
	a, b := cells([][]int{{2, 3}, {4, 2}, {3, 3}})
	y := times(noise(17), 1, 10)
	m := design.Model{Variables: []design.Variable{a, b}, Terms: []design.Term{term(0), term(1), term(0, 1)}}
	with := solve(t, y, m)
	m.ThroughZero = true
	f := solve(t, y, m)
	if len(f.Coefficients) != 6 {
		t.Fatalf("%d coefficients", len(f.Coefficients))
	}
	for i := range y {
		atLeast(t, "fitted", 13, []figure{{"value", f.Fitted[i], with.Fitted[i]}})
	}
	for i := range 3 {
		p := Point{Levels: map[int]int{0: i}}
		atLeast(t, "adjusted", 13, []figure{{"mean", value(t, f, p).Value, value(t, with, p).Value},
			{"se", value(t, f, p).SE, value(t, with, p).SE}})
	}
	atLeast(t, "rss", 13, []figure{{"rss", f.RSS, with.RSS},
		{"b", anova(t, f, Marginal).Sources[1].SS, anova(t, with, Marginal).Sources[1].SS},
		{"a × b", anova(t, f, EachLast).Sources[2].SS, anova(t, with, EachLast).Sources[2].SS}})
}

func TestExactFit(t *testing.T) {
	f := solve(t, []float64{1, 3, 5, 7, 9},
		design.Model{Variables: []design.Variable{number("x", []float64{0, 1, 2, 3, 4})},
			Terms: []design.Term{term(0)}})
	if f.RSS != 0 || f.Sigma != 0 || f.Explained != 1 || f.Coefficients[1].Estimate != 2 || f.AtZero != 1 ||
		f.Coefficients[1].SE != 0 {
		t.Errorf("y = 1 + 2x: %+v", f.Coefficients)
	}
	if !math.IsInf(f.F, 1) || f.P != 0 || f.Coefficients[1].P != 0 {
		t.Errorf("F %g, p %g, p of the slope %g", f.F, f.P, f.Coefficients[1].P)
	}
}

// What adds nothing to an exact fit is nothing, and its test 0 ÷ 0: the loads are 100 and 150 by pins alone, with glue
// and width beside them in no order that takes part (worked by hand).
func TestExactFitWithIdleColumns(t *testing.T) {
	f := solve(t, []float64{100, 100, 100, 150, 150, 150, 150}, design.Model{
		Variables: []design.Variable{levelled("pins", []string{"none", "pair"}, 0, 0, 0, 1, 1, 1, 1),
			levelled("glue", []string{"hide", "bone"}, 0, 0, 1, 1, 0, 1, 1),
			number("width", []float64{10, 12, 14, 10, 12, 14, 16})},
		Terms: []design.Term{term(0), term(1), term(2)}})
	for j, want := range []float64{100, 50, 0, 0} {
		c := f.Coefficients[j]
		if c.Estimate != want || c.SE != 0 || (want == 0) != math.IsNaN(c.P) || want != 0 && c.P != 0 {
			t.Errorf("coefficient %d: %+v, want %v", j, c, want)
		}
	}
	for _, a := range []Adjustment{Marginal, Sequential, EachLast} {
		s := anova(t, f, a).Sources
		if s[0].SS < 1 || s[0].P != 0 || s[1].SS != 0 || s[1].Share != 0 || !math.IsNaN(s[1].P) ||
			s[2].SS != 0 || !math.IsNaN(s[2].P) {
			t.Errorf("sources, adjusted by rule %d: %+v", a, s)
		}
	}
}

func TestAloneOnItsLevel(t *testing.T) {
	f := solve(t, []float64{3, 4, 5, 9},
		design.Model{Variables: []design.Variable{levelled("a", []string{"p", "q"}, 0, 0, 0, 1)},
			Terms: []design.Term{term(0)}})
	if !math.IsNaN(f.ExplainedUnseen) {
		t.Errorf("unseen: %g, though nothing else predicts the last specimen", f.ExplainedUnseen)
	}
	atLeast(t, "alone", 15, []figure{{"leverage", f.Leverage[3], 1}, {"rss", f.RSS, 2}})
}

func TestWeightZeroLeavesOut(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, math.NaN()}
	y := []float64{2, 1, 4, 3, 6, math.NaN()}
	all := solve(t, y[:5], design.Model{Variables: []design.Variable{number("x", x[:5])},
		Terms: []design.Term{term(0)}})
	f := solve(t, y, design.Model{Variables: []design.Variable{number("x", x)}, Terms: []design.Term{term(0)},
		Weights: []float64{1, 1, 1, 1, 1, 0}})
	atLeast(t, "left out", 15, []figure{{"slope", f.Coefficients[1].Estimate, all.Coefficients[1].Estimate},
		{"n", float64(f.N), 5},
		{"rss", f.RSS, all.RSS}, {"log-likelihood", f.LogLikelihood, all.LogLikelihood},
		{"unseen", f.ExplainedUnseen, all.ExplainedUnseen}})
	if !math.IsNaN(f.Fitted[5]) || !math.IsNaN(f.Residuals[5]) || !math.IsNaN(f.Leverage[5]) {
		t.Error("a specimen left out has a fitted value")
	}
}

// Units at the ends of what float64 holds.
func TestExtremeUnits(t *testing.T) {
	x, y := noise(12), make([]float64, 12)
	for i := range y {
		y[i] = 2*x[i] + math.Cos(float64(i*5))
	}
	m := func(x []float64) design.Model {
		return design.Model{Variables: []design.Variable{number("x", x)}, Terms: []design.Term{term(0)}}
	}
	plain := solve(t, y, m(x))
	for _, by := range []float64{0x1p-400, 0x1p400} {
		f := solve(t, y, m(times(x, by, 0)))
		atLeast(t, "x", 15, []figure{{"slope", f.Coefficients[1].Estimate * by, plain.Coefficients[1].Estimate},
			{"t", f.Coefficients[1].T, plain.Coefficients[1].T}, {"p", f.P, plain.P}})
	}
}

// More rows than one block holds, against 300-bit sums; and the same to the last bit
// however many processors share the blocks.
func TestManyRows(t *testing.T) {
	y, m := long(20_001, 2)
	f := solve(t, y, m)
	before := runtime.GOMAXPROCS(1)
	alone := solve(t, y, m)
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(alone.Coefficients, f.Coefficients) || alone.RSS != f.RSS ||
		alone.ExplainedUnseen != f.ExplainedUnseen {
		t.Errorf("one processor says otherwise: %+v, not %+v", alone.Coefficients, f.Coefficients)
	}
	x, z := held(m.Variables[0].Numbers), held(m.Variables[1].Numbers)
	// the slopes by the normal equations about the means, in 300 bits
	zero := func() *big.Float { return new(big.Float).SetPrec(300) }
	about := func(v []*big.Float) []*big.Float {
		mean := zero()
		for _, e := range v {
			mean.Add(mean, e)
		}
		mean.Quo(mean, zero().SetInt64(int64(len(v))))
		for i := range v {
			v[i] = zero().Sub(v[i], mean)
		}
		return v
	}
	dot := func(a, b []*big.Float) *big.Float {
		s := zero()
		for i := range a {
			s.Add(s, zero().Mul(a[i], b[i]))
		}
		return s
	}
	x, z, long := about(x), about(z), about(held(y))
	xx, xz, zz, xy, zy := dot(x, x), dot(x, z), dot(z, z), dot(x, long), dot(z, long)
	det := zero().Sub(zero().Mul(xx, zz), zero().Mul(xz, xz))
	slope, _ := zero().Quo(zero().Sub(zero().Mul(xy, zz), zero().Mul(zy, xz)), det).Float64()
	other, _ := zero().Quo(zero().Sub(zero().Mul(zy, xx), zero().Mul(xy, xz)), det).Float64()
	atLeast(t, "slopes", 15.9, []figure{{"x", f.Coefficients[1].Estimate, slope},
		{"z", f.Coefficients[2].Estimate, other}})
}

// A matrix far beyond what one factorisation from cross products could carry: columns
// that differ by a part in 10¹⁰ and then by another. Refinement has to win the digits back.
func TestRefinement(t *testing.T) {
	n := 30
	base := noise(4 * n)
	a := make([]float64, n)
	b, c := make([]float64, n), make([]float64, n)
	y := make([]float64, n)
	for i := range n {
		// whole numbers below 2⁵³, so that the columns are exactly what the formula says
		a[i] = math.Round(base[i] * 1e15)
		b[i] = a[i] + math.Round(base[n+i]*1e5)
		c[i] = a[i] + 2*(b[i]-a[i]) + math.Round(base[2*n+i]*1e4)
		y[i] = (b[i] - a[i]) + 3*(c[i]-a[i]-2*(b[i]-a[i])) // 2a − 5b + 3c
	}
	m := design.Model{Variables: []design.Variable{number("a", a), number("b", b), number("c", c)},
		Terms: []design.Term{term(0), term(1), term(2)}}
	f := solve(t, y, m)
	atLeast(t, "refined", 13, []figure{{"a", f.Coefficients[1].Estimate, 2}, {"b", f.Coefficients[2].Estimate, -5},
		{"c", f.Coefficients[3].Estimate, 3}})
	table := newTable(t.Context(), f.Matrix.Columns, f.Matrix.Low, f.factor.yHi, f.factor.yLo, nil)
	first := table.products(context.Background(), nil)
	g := &factor{table: table}
	g.measure(first, true)
	condition := g.condition(context.Background(), g.cholesky(context.Background(), first, nil))
	if condition < sureBelow {
		t.Errorf("condition %g does not call for refinement", condition)
	}
	t.Logf("condition %.1e", condition)
}
