package design

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// category has n levels, each once, in the order that turn gives.
func category(n int, turn func(i int) int) Variable {
	v := Variable{Codes: make([]int, n)}
	for i := range n {
		v.Codes[i] = turn(i)
		v.Levels = append(v.Levels, fmt.Sprint("b", i))
	}
	return v
}

// TestTooWideModelsAreRefusedBeforehand: every column of the model would hold as many numbers as
// there are specimens, the products of the last some 10¹⁰ of them.
func TestTooWideModelsAreRefusedBeforehand(t *testing.T) {
	const n = 100_000
	number := Variable{Numbers: make([]float64, n)}
	for i := range n {
		number.Numbers[i] = float64(i % 97)
	}
	board, batch := category(n, func(i int) int { return i }), category(n, func(i int) int { return n - 1 - i })
	for _, c := range []struct {
		terms []Term
		term  int
	}{
		{[]Term{plain(2), plain(0)}, 1},
		{[]Term{plain(0)}, 0},
		{[]Term{plain(0, 2)}, 0},
		{[]Term{plain(0, 1)}, 0},
	} {
		_, err := Spell(t.Context(), n, Model{Variables: []Variable{board, batch, number}, Terms: c.terms},
			FromBaseline)
		var e *Error
		if !errors.As(err, &e) || e.Code != "too-many-columns" || e.Term != c.term {
			t.Errorf("%v: %v", c.terms, err)
		}
	}
}

// TestOnlyCombinationsThatOccurCount: 400 boards in 400 batches are 159,201 combinations, of which
// these have a column.
func TestOnlyCombinationsThatOccurCount(t *testing.T) {
	const n = 400
	board, batch := category(n, func(i int) int { return i }), category(n, func(i int) int { return n - 1 - i })
	m := spell(t, n, Model{Variables: []Variable{board, batch}, Terms: []Term{plain(0, 1)}}, FromBaseline)
	if len(m.Columns) != 1+n-2 || len(m.Empty) != (n-1)*(n-1)-(n-2) {
		t.Errorf("%d columns, %d combinations that nothing has", len(m.Columns), len(m.Empty))
	}
	for j, l := range m.Labels[1:] {
		for i, x := range m.Columns[j+1] {
			if is := board.Codes[i] == l.Levels[0] && batch.Codes[i] == l.Levels[1]; is != (x == 1) {
				t.Fatalf("column of %v, specimen %d: %g", l.Levels, i, x)
			}
		}
	}
}

// TestBaselinesDoNotCount: 800 boards, each with one joint on the first of three levels and one on the second, are
// 1,598 combinations beside the baselines, 799 of which occur; the 800 on the first level are no columns.
func TestBaselinesDoNotCount(t *testing.T) {
	const n = 800
	board, kind := Variable{}, Variable{Levels: []string{"a", "b", "c"}}
	for i := range n {
		board.Levels = append(board.Levels, fmt.Sprint("b", i))
		board.Codes, kind.Codes = append(board.Codes, i, i), append(kind.Codes, 0, 1)
	}
	board.Codes, kind.Codes = append(board.Codes, 0), append(kind.Codes, 2) // the third level on the first board alone
	m := spell(t, 2*n+1, Model{Variables: []Variable{board, kind}, Terms: []Term{plain(0, 1)}}, FromBaseline)
	if len(m.Columns) != n || len(m.Empty) != n-1 {
		t.Errorf("%d columns, %d combinations that nothing has", len(m.Columns), len(m.Empty))
	}
}

// TestBadWeights: a weight is a number from 0 up.
func TestBadWeights(t *testing.T) {
	for _, w := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := Spell(t.Context(), 6, Model{Variables: []Variable{width}, Terms: []Term{plain(0)},
			Weights: []float64{1, 1, w, 1, 1, 1}}, FromBaseline)
		var e *Error
		if !errors.As(err, &e) || e.Code != "bad-weight" || e.Specimen != 2 {
			t.Errorf("weight %g: %v", w, err)
		}
	}
}

// TestTheFirstWithoutALogarithmIsNamed: of the specimens used, where their mean has none either.
func TestTheFirstWithoutALogarithmIsNamed(t *testing.T) {
	below := Variable{Numbers: []float64{-1, 4, -30, 2, -5, 3}}
	logs := Term{Factors: []Factor{{Function: Ln}}}
	for _, c := range []struct {
		weights []float64
		first   int
	}{{nil, 0}, {[]float64{0, 1, 1, 1, 1, 1}, 2}} {
		_, err := Spell(t.Context(), 6, Model{Variables: []Variable{below}, Terms: []Term{logs}, Weights: c.weights},
			FromBaseline)
		var e *Error
		if !errors.As(err, &e) || e.Code != "not-a-number" || e.Specimen != c.first {
			t.Errorf("weights %v: %v", c.weights, err)
		}
	}
}
