package frames

import (
	"context"

	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// DateSpan is the first and the last of the dates in a column, each as it is written there.
type DateSpan struct {
	Column      Column
	First, Last string
}

// DateSpans are those of the columns that hold nothing but dates, in file order. It is
// parallel.Stopped where ctx ends.
func (f *Frame) DateSpans(ctx context.Context) []DateSpan {
	if f.dates == notation.NoDates {
		return nil
	}
	var out []DateSpan
	for i := range f.held {
		if h := &f.held[i]; h.Kind != Number {
			if first, last, ok := f.dateSpan(ctx, i); ok {
				out = append(out, DateSpan{Column: h.Column, First: first, Last: last})
			}
		}
	}
	return out
}

// dateSpan is the earliest and the latest word of a column; ok is false where one of them is no date, or
// there is none.
func (f *Frame) dateSpan(ctx context.Context, column int) (first, last string, ok bool) {
	var low, high float64
	h := &f.held[column]
	for row := range f.Len() {
		parallel.LookAt(ctx, row)
		if h.gone(row) {
			continue
		}
		word := f.cell(column, row)
		at, is := notation.Date(word, f.dates)
		switch {
		case !is:
			return "", "", false
		case !ok:
			first, last, low, high, ok = word, word, at, at, true
		case at < low:
			first, low = word, at
		case at > high:
			last, high = word, at
		}
	}
	return first, last, ok
}
