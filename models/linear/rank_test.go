package linear

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"breakbook/models/design"
)

func levelled(name string, levels []string, codes ...int) design.Variable {
	return design.Variable{Name: name, Levels: levels, Codes: codes}
}

// noise is a fixed sequence without structure, between −1 and 1.
func noise(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.Sin(float64(i*i)*1.7 + 0.3)
	}
	return x
}

func TestDependentColumns(t *testing.T) {
	n := 24
	a, b := noise(n), make([]float64, n)
	for i := range b {
		b[i] = math.Cos(float64(i * 3))
	}
	y := make([]float64, n)
	for i := range y {
		y[i] = 5 + a[i] - 2*b[i] + 0.1*math.Sin(float64(i*7))
	}
	made := func(of func(i int) float64) design.Variable {
		x := make([]float64, n)
		for i := range x {
			x[i] = of(i)
		}
		return number("made", x)
	}
	codes := func(of func(i int) int) []int {
		c := make([]int, n)
		for i := range c {
			c[i] = of(i)
		}
		return c
	}
	pins := levelled("pins", []string{"none", "pair", "four"}, codes(func(i int) int { return i % 3 })...)
	for _, c := range []struct {
		name      string
		variables []design.Variable
		dependent map[int][]int // column: what it is a combination of
	}{
		{"sum of two", []design.Variable{number("a", a), number("b", b),
			made(func(i int) float64 { return 3*a[i] - 0.5*b[i] + 100 })}, map[int][]int{3: {0, 1, 2}}},
		{"another unit", []design.Variable{number("a", a), made(func(i int) float64 { return a[i] * 25.4 }),
			number("b", b)}, map[int][]int{2: {1}}},
		{"far off the mean", []design.Variable{number("a", a), made(func(i int) float64 { return 1e6 + float64(i) }),
			made(func(i int) float64 { return 2e6 + 2*float64(i) })}, map[int][]int{3: {2}}},
		{"a part in a thousand million is enough",
			[]design.Variable{number("a", a), made(func(i int) float64 { return a[i] + 1e-9*b[i] })}, nil},
		{"a part in ten thousand thousand million is not",
			[]design.Variable{number("a", a), made(func(i int) float64 { return a[i] + 1e-13*b[i] })},
			map[int][]int{2: {1}}},
		{"four pins only in thickness 44",
			[]design.Variable{pins, levelled("thickness", []string{"34", "44"},
				codes(func(i int) int { return i % 3 / 2 })...)}, map[int][]int{3: {2}}},
		{"no pins only in thickness 44",
			[]design.Variable{pins, levelled("thickness", []string{"34", "44"},
				codes(func(i int) int { return (3 - i%3) / 3 })...)}, map[int][]int{3: {0, 1, 2}}},
		{"two dependent, one after the other",
			[]design.Variable{number("a", a), made(func(i int) float64 { return 2 * a[i] }),
				made(func(i int) float64 { return a[i] + 7 }), number("b", b)}, map[int][]int{2: {1}, 3: {0, 1}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := design.Model{Variables: c.variables}
			for v := range c.variables {
				m.Terms = append(m.Terms, term(v))
			}
			f := solve(t, y, m)
			lost := 0
			for j, row := range f.Coefficients {
				on, want := c.dependent[j]
				if row.Dependent != want || math.IsNaN(row.Estimate) != want {
					t.Errorf("column %d: dependent %v, estimate %g", j, row.Dependent, row.Estimate)
				}
				// Number columns are centred: the baseline has no part in them.
				on = slices.DeleteFunc(slices.Clone(on), func(k int) bool { return k == 0 && row.Label.Levels[0] < 0 })
				if want && !slices.Equal(row.On, on) {
					t.Errorf("column %d is a combination of %v, not %v", j, on, row.On)
				}
				if want {
					lost++
				}
			}
			if f.DF != float64(n-len(f.Coefficients)+lost) {
				t.Errorf("%g degrees of freedom left over", f.DF)
			}
		})
	}
}

func TestDependentColumnsDoNotChangeTheRest(t *testing.T) {
	n := 20
	a, b := noise(n), make([]float64, n)
	y, twice := make([]float64, n), make([]float64, n)
	for i := range y {
		b[i] = float64(i % 5)
		twice[i] = 2*a[i] + 1
		y[i] = 3*a[i] + b[i] + math.Sin(float64(i))
	}
	plain := solve(t, y, design.Model{Variables: []design.Variable{number("a", a), number("b", b)},
		Terms: []design.Term{term(0), term(1)}})
	f := solve(t, y, design.Model{Variables: []design.Variable{number("a", a), number("twice", twice), number("b", b)},
		Terms: []design.Term{term(0), term(1), term(2)}})
	atLeast(t, "others", 13, []figure{
		{"a", f.Coefficients[1].Estimate, plain.Coefficients[1].Estimate},
		{"b", f.Coefficients[3].Estimate, plain.Coefficients[2].Estimate},
		{"sd of b", f.Coefficients[3].SE, plain.Coefficients[2].SE}, {"sigma", f.Sigma, plain.Sigma}})

	if _, ok := f.Combination(context.Background(), []float64{0, 1, 0, 0}); ok {
		t.Error("the slope of a alone was estimated though a and twice cannot be told apart")
	}
	// A step of 1 in a is a step of 2 in twice: that can be estimated.
	e, ok := f.Combination(context.Background(), []float64{0, 1, 2, 0})
	if !ok {
		t.Error("a and twice together were not estimated")
	}
	atLeast(t, "together", 13, []figure{{"value", e.Value, plain.Coefficients[1].Estimate},
		{"se", e.SE, plain.Coefficients[1].SE}})

	table := anova(t, f, Marginal)
	if !table.Sources[0].Untestable || !table.Sources[1].Untestable || table.Sources[2].Untestable {
		t.Errorf("marginal: %+v", table.Sources)
	}
	table = anova(t, f, Sequential)
	if table.Sources[0].Untestable || !table.Sources[1].Untestable || table.Sources[1].Lost != 1 ||
		table.Sources[2].Untestable {
		t.Errorf("sequential: %+v", table.Sources)
	}
}

// The square of a column with two values, as many of each, is a constant: the baseline.
func TestConstantColumn(t *testing.T) {
	x := make([]float64, 14)
	for i := range x {
		x[i] = 24.1 + 10.3*float64(i%2)
	}
	curved := design.Term{Factors: []design.Factor{{Variable: 1, Function: design.Squared}}}
	f := solve(t, noise(14),
		design.Model{Variables: []design.Variable{number("a", noise(28)[14:]), number("thickness", x)},
			Terms: []design.Term{term(0), term(1), curved}})
	if c := f.Coefficients[3]; !c.Dependent || !slices.Equal(c.On, []int{0}) {
		t.Errorf("%+v", c)
	}
	for _, a := range []Adjustment{Marginal, Sequential, EachLast} {
		table := anova(t, f, a)
		if !table.Sources[2].Untestable || table.Sources[1].DF != 1 || table.ResidualDF != 11 {
			t.Errorf("%+v", table.Sources)
		}
	}
}

func TestErrors(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6}
	y := []float64{2, 1, 4, 3, 6, 5}
	ln := design.Term{Factors: []design.Factor{{Function: design.Ln}}}
	two := []string{"one", "two"}
	for _, c := range []struct {
		code                     string
		y                        []float64
		m                        design.Model
		term, variable, specimen int
		n, p                     int
	}{
		{"too-few-specimens", y[:2], design.Model{Variables: []design.Variable{number("x", x[:2]), number("z", y[:2])},
			Terms: []design.Term{term(0), term(1)}}, -1, -1, -1, 2, 3},
		{"no-freedom-left", y[:2], design.Model{Variables: []design.Variable{number("x", x[:2])},
			Terms: []design.Term{term(0)}}, -1, -1, -1, 2, 2},
		{"no-freedom-left", y[:3],
			design.Model{Variables: []design.Variable{levelled("board", []string{"a", "b", "c"}, 0, 1, 2)},
				Terms: []design.Term{term(0)}}, 0, -1, -1, 3, 3},
		{"all-equal", []float64{7, 7, 7, 7, 7, 7}, design.Model{Variables: []design.Variable{number("x", x)},
			Terms: []design.Term{term(0)}}, -1, -1, -1, 6, 2},
		{"one-level", y,
			design.Model{Variables: []design.Variable{number("x", x), levelled("pins", two, 1, 1, 1, 1, 1, 1)},
				Terms: []design.Term{term(0), term(1)}}, 1, 1, -1, 0, 0},
		{"nothing-varies", y, design.Model{Variables: []design.Variable{number("x", []float64{3, 3, 3, 3, 3, 3})},
			Terms: []design.Term{term(0)}}, 0, 0, -1, 0, 0},
		{"not-a-number", y, design.Model{Variables: []design.Variable{number("x", []float64{1, 2, 0, 4, 5, 6})},
			Terms: []design.Term{ln}}, 0, 0, 2, 0, 0},
		{"not-a-number", y, design.Model{Variables: []design.Variable{number("x", []float64{1, 2, 3, 4, -50, 6})},
			Terms: []design.Term{ln}}, 0, 0, 4, 0, 0},
		{"not-a-number", []float64{1, 2, math.NaN(), 3, 4, 5},
			design.Model{Variables: []design.Variable{number("x", x)}, Terms: []design.Term{term(0)}}, -1, -1, 2, 6, 0},
		{"bad-weight", y, design.Model{Variables: []design.Variable{number("x", x)}, Terms: []design.Term{term(0)},
			Weights: []float64{1, 1, 1, -1, 1, 1}}, -1, -1, 3, 0, 0},
		{"uneven-lengths", y, design.Model{Variables: []design.Variable{number("x", x[:5])},
			Terms: []design.Term{term(0)}}, -1, 0, -1, 0, 0},
		{"unknown-level", y, design.Model{Variables: []design.Variable{levelled("pins", two, 0, 1, 0, 1, -1, 0)},
			Terms: []design.Term{term(0)}}, -1, 0, 4, 0, 0},
		{"no-terms", y, design.Model{ThroughZero: true}, -1, -1, -1, 6, 0},
	} {
		_, err := Solve(context.Background(), c.y, c.m)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", c.code, err)
			continue
		}
		want := Error{Code: c.code, Term: c.term, N: c.n, P: c.p, Variable: c.variable, Specimen: c.specimen}
		if *e != want {
			t.Errorf("got %+v, want %+v", *e, want)
		}
	}
}

func TestPartsMissing(t *testing.T) {
	n := 18
	a := levelled("a", []string{"p", "q", "r"})
	for i := range n {
		a.Codes = append(a.Codes, i%3)
	}
	f := solve(t, noise(n), design.Model{Variables: []design.Variable{a, number("x", noise(2 * n)[n:])},
		Terms: []design.Term{term(0), term(0, 1)}})
	_, err := f.Anova(context.Background(), EachLast)
	var e *Error
	if !errors.As(err, &e) || e.Code != "parts-missing" || e.Term != 1 {
		t.Errorf("a × x without x: %v", err)
	}
}
