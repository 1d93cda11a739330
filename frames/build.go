package frames

import (
	"context"
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// Builder fills a frame with the values of a file, column by column. Several columns may be
// filled side by side, each once.
type Builder struct {
	f     *Frame
	first []int // the place of a single cell, repeated
}

// NewBuilder begins a frame with these columns and a row for each of the lines. marks and
// dates are the file's, r says how it was understood.
func NewBuilder(columns []Column, lines []int32, marks notation.Marks, dates notation.DateOrder, r *Reading) *Builder {
	f := &Frame{at: map[string]int{}, lines: lines, decimal: marks.Decimal, thousands: marks.Thousands,
		absent: r.MissingWords,
		dates:  dates, understood: r, held: make([]held, len(columns)), columns: make([]series.Series, len(columns))}
	for i, c := range columns {
		f.held[i].Column = c
		f.at[c.Name] = i
	}
	return &Builder{f, make([]int, len(lines))}
}

// seriesType is the gota type of a kind of column.
var seriesType = map[Kind]series.Type{Number: series.Float, Category: series.Int, Text: series.String}

// blank is a gota series to be filled in, without a name: of one cell, repeated at places that are all 0. Filling it in
// place spares gota's own making of it, which puts every value on the heap on its own.
func blank(of series.Type, places []int) series.Series {
	one := map[series.Type]any{series.Float: []float64{0}, series.Int: []int{-1}, series.String: []string{""}}[of]
	return series.New(one, of, "").Subset(places)
}

// Numbers fills a number column: NaN where the mask of what is missing, nil for nothing,
// says so. It looks at ctx.
func (b *Builder) Numbers(ctx context.Context, place int, values []float64, missing []bool) Extent {
	extent := b.hold(place, missing)
	var e element
	for row, x := range values {
		parallel.LookAt(ctx, row)
		e.number = x
		extent.take(x)
		b.f.columns[place].Elem(row).Set(&e)
	}
	return extent
}

// Words fills a category column with codes into its words, -1 where missing. Its levels
// are the words in natural order. It looks at ctx.
func (b *Builder) Words(ctx context.Context, place int, codes []int, words []string, missing []bool) Extent {
	extent := b.hold(place, missing)
	h := &b.f.held[place]
	h.words = words
	h.setOrder(b.f.naturally(words))
	var e element
	for row, code := range codes {
		parallel.LookAt(ctx, row)
		e.code = code
		b.f.columns[place].Elem(row).Set(&e)
	}
	return extent
}

// Texts fills a text column, "" where missing. It looks at ctx.
func (b *Builder) Texts(ctx context.Context, place int, texts []string, missing []bool) Extent {
	extent := b.hold(place, missing)
	var e element
	for row, text := range texts {
		parallel.LookAt(ctx, row)
		e.text = text
		b.f.columns[place].Elem(row).Set(&e)
	}
	return extent
}

// hold makes room for a column's values and keeps its mask; it is the extent of no numbers and what
// is missing.
func (b *Builder) hold(place int, missing []bool) Extent {
	b.f.columns[place] = blank(seriesType[b.f.held[place].Kind], b.first)
	b.f.held[place].missing = missing
	extent := nothing
	for part := missing; ; extent.Missing++ {
		next := slices.Index(part, true)
		if next < 0 {
			return extent
		}
		part = part[next+1:]
	}
}

// Frame is the frame, once every column is filled.
func (b *Builder) Frame() *Frame { return b.f }

// element carries one value into a gota cell.
type element struct {
	series.Element
	number float64
	code   int
	text   string
}

func (e *element) Float() float64    { return e.number }
func (e *element) Int() (int, error) { return e.code, nil }
func (e *element) String() string    { return e.text }
