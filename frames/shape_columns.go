package frames

import (
	"context"
	"maps"
	"math"
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// Impossible counts the specimens for which a value could not be worked out.
type Impossible struct {
	Reason Reason
	Count  int
	Row    int // the first of them
}

// WithVector is the frame with a new column of the vector's values: numbers, or a
// category of words with its levels in natural order. impossible lists the reasons
// why numbers are missing, in the order first met. A name that is taken, or a sum of
// temperatures that is neither one nor a difference, is an *Error with code
// "name-taken" or "mixed-temperatures".
func (f *Frame) WithVector(ctx context.Context, name, label string, v *Vector) (next *Frame, impossible []Impossible, err error) {
	defer parallel.Catch(&err)
	if v.IsText() {
		next, err = f.withWords(ctx, held{Column: Column{Name: name, Label: label}}, v.text)
		return next, nil, err
	}
	difference := false
	if warm(v.Unit) {
		switch {
		case math.Abs(v.zeros) < 1e-9:
			difference = true
		case math.Abs(v.zeros-1) > 1e-9:
			return nil, nil, &Error{Code: "mixed-temperatures", Column: name,
				Detail: "this is neither a temperature in " + v.Unit.String() + " nor a difference of two: their zeros do not go out of it"}
		}
	}
	values := make([]float64, f.Len())
	at := map[Reason]int{}
	for row := range values {
		parallel.LookAt(ctx, row)
		values[row] = v.number(row)
		why := v.reason(row)
		if why == "" {
			continue
		}
		if _, met := at[why]; !met {
			at[why] = len(impossible)
			impossible = append(impossible, Impossible{Reason: why, Row: row})
		}
		impossible[at[why]].Count++
	}
	if _, taken := f.at[name]; taken {
		return nil, nil, nameTaken(name)
	}
	next, err = f.WithNumbers(ctx, NumberColumn{Name: name, Label: label, Unit: v.Unit, Values: values,
		Step: StepAt(ctx, values, v.digits)})
	if err == nil {
		h := &next.held[next.at[name]]
		h.Difference, h.LnOf = difference, v.lnOf
	}
	return next, impossible, err
}

// withWords is the frame with a new category column, its levels in natural order;
// a cell is missing where the second result is false.
func (f *Frame) withWords(ctx context.Context, h held, cell func(row int) (string, bool)) (*Frame, error) {
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
		return nil, nameTaken(h.Name)
	}
	next := *f
	next.held = append(slices.Clip(f.held), h)
	next.at = maps.Clone(f.at)
	next.at[h.Name] = len(f.held)
	next.columns = append(slices.Clip(f.columns), s)
	return &next, nil
}

func nameTaken(name string) *Error {
	return &Error{Code: "name-taken", Column: name, Word: name, Detail: "there is a column " + name + " already", Hint: "choose another name"}
}

// Rename gives a column another plain name and another label; the header stays as it
// was written. A name that another column has is an *Error with code "name-taken".
func (f *Frame) Rename(column, name, label string) (*Frame, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	if at, taken := f.at[name]; taken && at != i {
		return nil, nameTaken(name)
	}
	h := f.held[i]
	h.Name, h.Label = name, label
	next := f.with(i, h)
	for j := range next.held {
		if of := next.held[j].LnOf; of != nil && of.Of == column {
			next.held[j].LnOf = &Logarithm{Of: name, Label: label, Unit: of.Unit}
		}
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
