package frames

import (
	"context"
	"math"
	"slices"
	"strings"

	"github.com/go-gota/gota/series"
	"github.com/maruel/natural"

	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// Lost is a cell that a change of kind made missing.
type Lost struct {
	Line int
	Word string
}

// SetKind makes a column a number, category or text column. On the way to number,
// cells that are no number, are in a unit of another dimension, or are a whole
// number too long for exact arithmetic become missing and are listed in lost;
// cells with a unit are converted to the column's, which is the first cell's
// where it had none. The error is also ctx's own.
func (f *Frame) SetKind(ctx context.Context, column string, k Kind) (next *Frame, lost []Lost, err error) {
	defer parallel.Catch(&err)
	i, err := f.find(column)
	if err != nil {
		return nil, nil, err
	}
	h := f.held[i]
	if h.Kind == k {
		return f, nil, nil
	}
	if k == Number {
		next, lost = f.asNumbers(ctx, i)
		return next, lost, nil
	}
	cells := make([]string, f.Len())
	for row := range cells {
		parallel.LookAt(ctx, row)
		if !h.gone(row) {
			cells[row] = f.cell(i, row)
		}
	}
	h.Kind = k
	if k == Text {
		h.Levels, h.words, h.place = nil, nil, nil
		return f.replaced(i, h, seriesOf(ctx, series.String, len(cells), func(row int) any { return cells[row] })),
			nil, nil
	}
	codes := f.coded(ctx, &h, func(row int) (string, bool) { return cells[row], !f.held[i].gone(row) })
	h.setOrder(f.naturally(h.words))
	return f.replaced(i, h, seriesOf(ctx, series.Int, len(codes), func(row int) any { return codes[row] })), nil, nil
}

// MostlyNumbers reports whether most cells of a column that hold anything are numbers, by some thousand of
// them; of a column that is not there it is false.
func (f *Frame) MostlyNumbers(column string) bool {
	i, err := f.find(column)
	if err != nil {
		return false
	}
	numbers, others := 0, 0
	for row := 0; row < f.Len(); row += f.Len()/1000 + 1 {
		if f.held[i].gone(row) {
			continue
		}
		if _, ok := f.amountIn(f.cell(i, row)); ok {
			numbers++
		} else {
			others++
		}
	}
	return numbers > others
}

func (f *Frame) asNumbers(ctx context.Context, column int) (*Frame, []Lost) {
	h := f.held[column]
	var lost []Lost
	values := make([]float64, f.Len())
	missing := make([]bool, f.Len())
	for row := range values {
		parallel.LookAt(ctx, row)
		values[row], missing[row] = math.NaN(), true
		if h.gone(row) {
			continue
		}
		word := f.cell(column, row)
		a, ok := f.amountIn(word)
		if ok && h.Unit.None() {
			h.Unit = a.unit
		}
		x, err := a.in(h.Unit)
		if !ok || err != nil {
			lost = append(lost, Lost{Line: f.Line(row), Word: word})
			continue
		}
		values[row], missing[row] = x, false
	}
	h.Kind, h.Levels, h.words, h.place = Number, nil, nil, nil
	h.missing = nil
	if slices.Contains(missing, true) {
		h.missing = missing
	}
	return f.replaced(column, h, numbersOf(ctx, values)), lost
}

// amount is a number as a cell or a level gives it, with the unit after it, if any.
type amount struct {
	x    float64
	unit units.Unit
}

// in is the amount in a column's unit; a number without a unit is in it already.
func (a amount) in(u units.Unit) (float64, error) {
	if a.unit.None() {
		return a.x, nil
	}
	return units.Convert(a.x, a.unit, u)
}

// equals compares two amounts of a column kept in unit u.
func (a amount) equals(b amount, u units.Unit) bool {
	x, errX := a.in(u)
	y, errY := b.in(u)
	return errX == nil && errY == nil && same(x, y, a.unit != b.unit)
}

// same is equality; after a conversion it allows for the conversion's rounding.
func same(x, y float64, converted bool) bool {
	return x == y || converted && math.Abs(x-y) <= 1e-12*math.Max(math.Abs(x), math.Abs(y))
}

// amountIn reads a whole cell as a number with or without a unit.
func (f *Frame) amountIn(cell string) (amount, bool) {
	return amountWith(cell, notation.Marks{Decimal: f.decimal, Thousands: f.thousands})
}

func amountWith(cell string, marks notation.Marks) (amount, bool) {
	cell = notation.Trim(cell)
	x, n, form := marks.Scan(cell)
	if form == notation.LongWhole && notation.Rounded(cell[:n], x) {
		return amount{}, false
	}
	if n == 0 {
		return amount{}, false
	}
	rest := notation.Trim(cell[n:])
	if rest == "" {
		return amount{x: x}, true
	}
	u, ok := units.Parse(rest)
	return amount{x, u}, ok
}

// naturally puts words in natural order: t9 before t10, and where all are numbers or
// dates, by their value.
func (f *Frame) naturally(words []string) []string {
	sorted := slices.Clone(words)
	value := make(map[string]float64, len(words))
	for _, w := range words {
		if a, ok := f.amountIn(w); ok {
			value[w] = a.x
		} else if t, ok := notation.Date(w, f.dates); ok && f.dates != notation.NoDates {
			value[w] = t
		}
	}
	slices.SortFunc(sorted, func(a, b string) int {
		if len(value) == len(words) && value[a] != value[b] {
			if value[a] < value[b] {
				return -1
			}
			return 1
		}
		switch {
		case natural.Less(a, b):
			return -1
		case natural.Less(b, a):
			return 1
		}
		return strings.Compare(a, b)
	})
	return sorted
}
