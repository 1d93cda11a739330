package frames

import (
	"context"
	"maps"
	"math"
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// WithWords is the frame with a new category column of what c says of name, label and unit, its
// levels in natural order; a cell is missing where the second result is false. A name that is taken
// is an *Error with code "name-taken"; the error is ctx's own where that ends.
func (f *Frame) WithWords(ctx context.Context, c Column, cell func(row int) (string, bool)) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	h := held{Column: c}
	h.Kind, h.Made = Category, true
	h.Header = headerOf(h.Column)
	codes := f.coded(ctx, &h, cell)
	h.setOrder(f.naturally(h.words))
	return f.added(h, seriesOf(ctx, series.Int, len(codes), func(row int) any { return codes[row] }))
}

// coded gives a category its words and mask, and returns the codes of the cells.
func (f *Frame) coded(ctx context.Context, h *held, cell func(row int) (string, bool)) []int {
	codes := make([]int, f.Len())
	seen := map[string]int{}
	h.words = nil
	for row := range codes {
		parallel.LookAt(ctx, row)
		word, present := cell(row)
		if !present {
			codes[row] = -1
			continue
		}
		code, met := seen[word]
		if !met {
			code = len(h.words)
			seen[word] = code
			h.words = append(h.words, word)
		}
		codes[row] = code
	}
	h.missing = maskOf(len(codes), func(row int) bool { return codes[row] < 0 })
	return codes
}

// maskOf is a mask of what is gone, nil where nothing is.
func maskOf(rows int, gone func(row int) bool) []bool {
	mask, any := make([]bool, rows), false
	for row := range mask {
		mask[row] = gone(row)
		any = any || mask[row]
	}
	if !any {
		return nil
	}
	return mask
}

// added is the frame with one column more.
func (f *Frame) added(h held, s series.Series) (*Frame, error) {
	if _, taken := f.at[h.Name]; taken {
		return nil, NameTaken(h.Name)
	}
	next := *f
	next.held = append(slices.Clip(f.held), h)
	next.at = maps.Clone(f.at)
	next.at[h.Name] = len(f.held)
	next.columns = append(slices.Clip(f.columns), s)
	return &next, nil
}

// NameTaken is the error of a new column whose name another has.
func NameTaken(name string) *Error {
	return &Error{Code: "name-taken", Column: name, Word: name, Detail: "there is a column " + name + " already",
		Hint: "choose another name"}
}

// Rename gives a column another plain name and another label; the header stays as it
// was written. A name that another column has is an *Error with code "name-taken".
func (f *Frame) Rename(column, name, label string) (*Frame, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	if at, taken := f.at[name]; taken && at != i {
		return nil, NameTaken(name)
	}
	h := f.held[i]
	h.Name, h.Label = name, label
	next := f.with(i, h)
	for j := range next.held {
		if of := next.held[j].LnOf; of != nil && of.Of == column {
			next.held[j].LnOf = &origin.Logarithm{Of: name, Label: label, Unit: of.Unit}
		}
		next.held[j].Adjusted = next.held[j].Adjusted.Renamed(column, name)
		next.held[j].From = renamed(next.held[j].From, column, name)
	}
	next.corrected = slices.Clone(f.corrected)
	for j := range next.corrected {
		if next.corrected[j].Column == column {
			next.corrected[j].Column = name
		}
	}
	next.at = maps.Clone(f.at)
	delete(next.at, column)
	next.at[name] = i
	return next, nil
}

// Convert turns a number column into another unit. A column without a unit is an
// *Error with code "no-unit"; another dimension is a *units.Error.
func (f *Frame) Convert(ctx context.Context, column string, u units.Unit) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	h := f.held[i]
	switch {
	case h.Kind != Number:
		return nil, f.notNumbers(i)
	case h.Unit.None():
		return nil, &Error{Code: "no-unit", Column: column, Detail: column + " has no unit to convert from",
			Hint: "say what it is in: unit " + column + " is " + u.String()}
	}
	change, err := units.To(h.Unit, u)
	if err != nil {
		return nil, err
	}
	values, err := f.Numbers(column)
	if err != nil {
		return nil, err
	}
	h.Step = math.Abs(change.ApplyDifference(f.step(ctx, i, values)))
	for row, x := range values {
		parallel.LookAt(ctx, row)
		if values[row] = change.Apply(x); h.Difference {
			values[row] = change.ApplyDifference(x)
		}
	}
	h.Unit = u
	return f.replaced(i, h, numbersOf(ctx, values)), nil
}
