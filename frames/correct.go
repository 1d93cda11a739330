package frames

import (
	"context"
	"math"
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/models/parallel"
)

// Correction is a cell that was given another value than its file has.
type Correction struct {
	Row      int // of the series, from 0
	Column   string
	Was, Now string // "" where missing
	Because  string // "" where an empty cell was filled in
}

// Corrections are the cells given another value, in the order in which that was done.
func (f *Frame) Corrections() []Correction { return f.corrected }

// CorrectNumber is the frame with another number, in the column's own unit, in one cell; NaN empties it.
// For a column of another kind it is an *Error with code "not-a-number-column". It is ctx's own error
// where that ends.
func (f *Frame) CorrectNumber(ctx context.Context, column string, row int, x float64,
	because string) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	values, err := f.Numbers(column)
	if err != nil {
		return nil, err
	}
	i := f.at[column]
	h := f.held[i]
	values[row] = x
	h.missing = maskOf(len(values), func(row int) bool { return math.IsNaN(values[row]) })
	return f.replaced(i, h, numbersOf(ctx, values)).noting(f, column, row, because), nil
}

// CorrectWord is the frame with another word in one cell of a category or text column; there is false
// to empty it. A word that is no level yet becomes the last one, and a level that no specimen has any
// more is dropped. For a number column it is an *Error with code "not-a-category". It is ctx's own error
// where that ends.
func (f *Frame) CorrectWord(ctx context.Context, column string, row int, word string, there bool,
	because string) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	h := f.held[i]
	cell := func(at int) (string, bool) {
		switch {
		case at == row:
			return word, there
		case h.gone(at) || h.Kind == Category && f.level(i, at) < 0:
			return "", false
		}
		return f.cell(i, at), true
	}
	if h.Kind == Text {
		h.missing = maskOf(f.Len(), func(at int) bool { _, ok := cell(at); return !ok })
		s := seriesOf(ctx, series.String, f.Len(), func(at int) any { text, _ := cell(at); return text })
		return f.replaced(i, h, s).noting(f, column, row, because), nil
	}
	if _, err := f.category(column); err != nil {
		return nil, err
	}
	order := slices.Clone(h.Levels)
	if there && !slices.Contains(order, word) {
		order = append(order, word)
	}
	codes := f.coded(ctx, &h, cell)
	h.setOrder(slices.DeleteFunc(order, func(l string) bool { return !slices.Contains(h.words, l) }))
	s := seriesOf(ctx, series.Int, len(codes), func(at int) any { return codes[at] })
	return f.replaced(i, h, s).noting(f, column, row, because), nil
}

// noting adds what became of a cell to the corrections of the frame; a cell that is as its file has it
// again is none.
func (f *Frame) noting(before *Frame, column string, row int, because string) *Frame {
	is := Correction{Row: row, Column: column, Because: because}
	is.Was, _ = before.Cell(column, row)
	is.Now, _ = f.Cell(column, row)
	f.corrected = slices.Clone(before.corrected)
	if at := slices.IndexFunc(f.corrected, func(c Correction) bool {
		return c.Row == row && c.Column == column
	}); at >= 0 {
		is.Was = f.corrected[at].Was
		f.corrected = slices.Delete(f.corrected, at, at+1)
	}
	if is.Was != is.Now {
		f.corrected = append(f.corrected, is)
	}
	return f
}

// moved are corrections in rows that stand elsewhere now, at to(row); -1 where they are gone.
func moved(corrected []Correction, to func(row int) int) (out []Correction) {
	for _, c := range corrected {
		if c.Row = to(c.Row); c.Row >= 0 {
			out = append(out, c)
		}
	}
	return out
}
