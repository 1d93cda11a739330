package design

import (
	"errors"
	"fmt"
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
