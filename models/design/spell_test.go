package design

import (
	"context"
	"errors"
	"math"
	"math/big"
	"reflect"
	"slices"
	"testing"

	"breakbook/models/exact"
)

func plain(variables ...int) Term {
	var t Term
	for _, v := range variables {
		t.Factors = append(t.Factors, Factor{Variable: v})
	}
	return t
}

func spell(t *testing.T, n int, m Model, c Coding) *Matrix {
	t.Helper()
	matrix, err := Spell(context.Background(), n, m, c)
	if err != nil {
		t.Fatal(err)
	}
	return matrix
}

var (
	pins  = Variable{Name: "pins", Codes: []int{1, 3, 1, 2, 3, 1}, Levels: []string{"none", "single", "pair", "four"}}
	glue  = Variable{Name: "glue", Codes: []int{0, 0, 1, 1, 1, 0}, Levels: []string{"bone", "resin"}}
	width = Variable{Name: "width", Unit: "mm", Numbers: []float64{10, 20, 30, 40, 50, 60}} // mean 35
)

func TestColumns(t *testing.T) {
	squared := Term{Factors: []Factor{{Variable: 2, Function: Squared}}}
	for _, c := range []struct {
		name        string
		terms       []Term
		weights     []float64
		throughZero bool
		coding      Coding
		labels      []Label
		columns     [][]float64
		empty       []Label
	}{
		{name: "a level nobody has is no column, the baseline is the first anybody has", terms: []Term{plain(0)},
			labels:  []Label{{Term: -1}, {0, []int{2}}, {0, []int{3}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {0, 0, 0, 1, 0, 0}, {0, 1, 0, 0, 1, 0}}},
		{name: "numbers from their mean, squares of that", terms: []Term{plain(2), squared},
			labels:  []Label{{Term: -1}, {0, []int{-1}}, {1, []int{-1}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {-25, -15, -5, 5, 15, 25}, {625, 225, 25, 25, 225, 625}}},
		{name: "the mean is weighted", terms: []Term{plain(2)}, weights: []float64{3, 1, 0, 0, 0, 0},
			labels:  []Label{{Term: -1}, {0, []int{-1}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {-2.5, 7.5, 17.5, 27.5, 37.5, 47.5}}},
		{name: "combined terms are products", terms: []Term{plain(0, 1), plain(1, 2)},
			labels:  []Label{{Term: -1}, {0, []int{2, 1}}, {0, []int{3, 1}}, {1, []int{1, -1}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {0, 0, 0, 1, 0, 0}, {0, 0, 0, 0, 1, 0}, {0, 0, -5, 5, 15, 0}}},
		{name: "an empty combination is no column", terms: []Term{plain(1, 0)}, weights: []float64{1, 1, 1, 1, 0, 1},
			labels:  []Label{{Term: -1}, {0, []int{1, 2}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {0, 0, 0, 1, 0, 0}},
			empty:   []Label{{0, []int{1, 3}}}},
		{name: "through zero", terms: []Term{plain(2), plain(1), plain(0), squared}, throughZero: true,
			labels: []Label{{0, []int{-1}}, {1, []int{0}}, {1, []int{1}}, {2, []int{2}}, {2, []int{3}}, {3, []int{-1}}},
			columns: [][]float64{{10, 20, 30, 40, 50, 60}, {1, 1, 0, 0, 0, 1}, {0, 0, 1, 1, 1, 0}, {0, 0, 0, 1, 0, 0},
				{0, 1, 0, 0, 1, 0},
				{100, 400, 900, 1600, 2500, 3600}}},
		{name: "levels that sum to zero", terms: []Term{plain(0), plain(0, 1)}, coding: SumToZero,
			labels: []Label{{Term: -1}, {0, []int{2}}, {0, []int{3}}, {1, []int{2, 1}}, {1, []int{3, 1}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {-1, 0, -1, 1, 0, -1}, {-1, 1, -1, 0, 1, -1},
				{1, 0, -1, 1, 0, 1}, {1, -1, -1, 0, 1, 1}}},
		{name: "a combination that nobody has goes with the others where levels sum to zero",
			terms: []Term{plain(0, 1)}, coding: SumToZero, weights: []float64{1, 1, 1, 1, 0, 1},
			labels:  []Label{{Term: -1}, {0, []int{2, 1}}, {0, []int{3, 1}}},
			columns: [][]float64{{1, 1, 1, 1, 1, 1}, {1, 0, -1, 1, 0, 1}, {1, -1, -1, 0, 1, 1}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := spell(t, 6, Model{Variables: []Variable{pins, glue, width}, Terms: c.terms,
				ThroughZero: c.throughZero, Weights: c.weights}, c.coding)
			if !reflect.DeepEqual(m.Labels, c.labels) || !reflect.DeepEqual(m.Columns, c.columns) ||
				!reflect.DeepEqual(m.Empty, c.empty) {
				t.Errorf("labels %v\ncolumns %v\nempty %v", m.Labels, m.Columns, m.Empty)
			}
		})
	}
	m := spell(t, 6, Model{Variables: []Variable{pins, glue, width}, Terms: []Term{plain(0, 1)},
		Weights: []float64{1, 1, 1, 0, 1, 1}},
		FromBaseline)
	if want := [][]int{{1, 3}, {0, 1}, nil}; !reflect.DeepEqual(m.Present, want) {
		t.Errorf("present levels %v", m.Present)
	}
}

// Where levels sum to zero, a combination is empty if nobody has it, nor one with the baseline in its place: here
// pins none to pair are never glued other than with resin.
func TestEmptyWhereLevelsSumToZero(t *testing.T) {
	wood := Variable{Name: "pins", Codes: []int{0, 1, 2, 2}, Levels: []string{"none", "single", "pair"}}
	glues := Variable{Name: "glue", Codes: []int{1, 1, 0, 2}, Levels: []string{"bone", "resin", "hide"}}
	m := spell(t, 4, Model{Variables: []Variable{wood, glues}, Terms: []Term{plain(0, 1)}}, SumToZero)
	labels := []Label{{Term: -1}, {0, []int{1, 1}}, {0, []int{2, 1}}, {0, []int{2, 2}}}
	columns := [][]float64{{1, 1, 1, 1}, {-1, 1, 0, 0}, {-1, 0, -1, 0}, {0, 0, -1, 1}}
	if empty := []Label{{0, []int{1, 2}}}; !reflect.DeepEqual(m.Labels, labels) ||
		!reflect.DeepEqual(m.Columns, columns) || !reflect.DeepEqual(m.Empty, empty) {
		t.Errorf("labels %v\ncolumns %v\nempty %v", m.Labels, m.Columns, m.Empty)
	}
}

// x³ − x̄³ and products of it to 30 digits, against 300-bit arithmetic.
func TestPowersAreHeldExactly(t *testing.T) {
	x := []float64{-8.781464495, -3.1, -7.123, -5.5, -4.4445}
	z := []float64{0.1, 0.7, 0.2, 0.35, 0.9}
	cube := Factor{Variable: 0, Function: PowerOf, Power: 3}
	m := spell(t, 5, Model{Variables: []Variable{{Numbers: x}, {Numbers: z}},
		Terms: []Term{{[]Factor{cube}}, {[]Factor{cube, {Variable: 1}}}}}, FromBaseline)
	long := func(v float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(v) }
	mean := func(v []float64) *big.Float {
		s := long(0)
		for _, e := range v {
			s.Add(s, long(e))
		}
		return s.Quo(s, long(float64(len(v))))
	}
	third := func(v *big.Float) *big.Float { return long(0).Mul(v, long(0).Mul(v, v)) }
	for i := range x {
		want := long(0).Sub(third(long(x[i])), third(mean(x)))
		for j := 1; j <= 2; j++ {
			got := long(0).Add(long(m.Columns[j][i]), long(m.Low[j][i]))
			off, _ := got.Quo(got.Sub(got, want), want).Float64()
			if !(math.Abs(off) <= 1e-29) {
				t.Errorf("column %d of specimen %d is off by %g", j, i, off)
			}
			want.Mul(want, long(0).Sub(long(z[i]), mean(z)))
		}
	}
}

func TestFunctions(t *testing.T) {
	x := Variable{Numbers: []float64{0.5, 1, 2, 4.5}} // mean 2
	for _, c := range []struct {
		factor             Factor
		at, measured, zero float64 // the factor at x = at, and where the function is 0
	}{
		{Factor{}, 3, 1, -2},
		{Factor{Function: Ln}, 2 * math.E, 1, -math.Ln2},
		{Factor{Function: Log10}, 20, 1, -math.Log10(2)},
		{Factor{Function: Sqrt}, 8, math.Sqrt2, -math.Sqrt2},
		{Factor{Function: Exp}, 0, 1 - math.Exp(2), -math.Exp(2)},
		{Factor{Function: Abs}, -3, 1, -2},
		{Factor{Function: PowerOf, Power: 3}, 3, 19, -8},
		{Factor{Function: PowerOf, Power: -1}, 4, -0.25, -0.5},
		{Factor{Function: PowerOf, Power: 2.5}, 4, 32 - math.Pow(2, 2.5), -math.Pow(2, 2.5)},
		{Factor{Function: Squared}, 5, 9, 4},
	} {
		m := spell(t, 4, Model{Variables: []Variable{x}, Terms: []Term{{[]Factor{c.factor}}}}, FromBaseline)
		if got := m.At(c.factor, exact.Of(c.at)).Float(); !(math.Abs(got-c.measured) <= 1e-14*math.Abs(c.measured)) {
			t.Errorf("%+v at %g: %.17g, not %.17g", c.factor, c.at, got, c.measured)
		}
		if got := m.Zero(c.factor).Float(); !(math.Abs(got-c.zero) <= 1e-15*math.Abs(c.zero)) {
			t.Errorf("%+v at zero: %.17g, not %.17g", c.factor, got, c.zero)
		}
		for i, v := range x.Numbers {
			if got, want := m.Columns[1][i], m.At(c.factor, exact.Of(v)).Hi; got != want {
				t.Errorf("%+v of specimen %d: %g in the column, %g at the point", c.factor, i, got, want)
			}
		}
	}
}

func TestContains(t *testing.T) {
	a, x := plain(0), plain(1)
	curved := Term{[]Factor{{Variable: 1, Function: Squared}}}
	cube := Term{[]Factor{{Variable: 1, Function: PowerOf, Power: 3}}}
	ax, axCurved := plain(0, 1), Term{[]Factor{{}, {Variable: 1, Function: Squared}}}
	for _, c := range []struct {
		name         string
		outer, inner Term
		want         bool
	}{
		{"itself", a, a, false}, {"itself in another order", plain(1, 0), ax, false},
		{"a combined term, its parts", ax, a, true}, {"a combined term, its parts", ax, x, true},
		{"a part, the combined term", a, ax, false},
		{"the triple, a pair", plain(0, 1, 2), plain(2, 0), true},
		{"the triple, another pair", plain(0, 1, 2), plain(0, 3), false},
		{"the square, the line", curved, x, true}, {"the line, the square", x, curved, false},
		{"a cube typed as such was not built from the line", cube, x, false},
		{"combined with the square, combined with the line", axCurved, ax, true},
		{"combined with the square, the line", axCurved, x, true},
		{"combined with the square, the square", axCurved, curved, true},
	} {
		if got := Contains(c.outer, c.inner); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

func TestSpellErrors(t *testing.T) {
	of := func(f Function, x ...float64) Model {
		return Model{Variables: []Variable{{Numbers: x}}, Terms: []Term{{[]Factor{{Function: f}}}}}
	}
	for _, c := range []struct {
		name string
		m    Model
		want Error
	}{
		{"ln of a negative number", of(Ln, 3, 2, -1), Error{"not-a-number", 0, 0, 2}},
		{"ln of zero", of(Log10, 3, 0, 1), Error{"not-a-number", 0, 0, 1}},
		{"root of a negative number", of(Sqrt, -3, 20, 1), Error{"not-a-number", 0, 0, 0}},
		{"too large a power of e", of(Exp, 1, 800, 2), Error{"not-a-number", 0, 0, 1}},
		{"a missing number", of(Identity, 1, math.NaN(), 2), Error{"not-a-number", -1, 0, 1}},
		{"a reciprocal whose mean is at 0", Model{Variables: []Variable{{Numbers: []float64{-1, 0.5, 0.5}}},
			Terms: []Term{{[]Factor{{Function: PowerOf, Power: -1}}}}}, Error{"not-a-number", 0, 0, -1}},
		{"one value", of(Identity, 4, 4, 4), Error{"nothing-varies", 0, 0, -1}},
	} {
		_, err := Spell(context.Background(), 3, c.m, FromBaseline)
		var e *Error
		if !errors.As(err, &e) || *e != c.want {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Spell(ctx, 3, of(Identity, 1, 2, 3), FromBaseline); !errors.Is(err, context.Canceled) {
		t.Errorf("not interrupted: %v", err)
	}
}

func TestZeroWeightRowsMayHoldAnything(t *testing.T) {
	m := Model{Variables: []Variable{{Numbers: []float64{1, 2, 4, -7}},
		{Codes: []int{0, 1, 1, -1}, Levels: []string{"p", "q"}}},
		Terms: []Term{{[]Factor{{Function: Ln}}}, plain(1)}, Weights: []float64{1, 1, 1, 0}}
	matrix := spell(t, 4, m, FromBaseline)
	if got := matrix.Columns[2]; !slices.Equal(got, []float64{0, 1, 1, 0}) {
		t.Errorf("%v", got)
	}
	if matrix.Centre[0] != 7.0/3 {
		t.Errorf("centre %g", matrix.Centre[0])
	}
}
