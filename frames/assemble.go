package frames

import (
	"context"
	"math"
	"slices"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"breakbook/models/parallel"
)

// assemble hands the columns to gota, side by side, and builds the frame around them.
func (t *table) assemble(ctx context.Context, reading *Reading) (*Frame, error) {
	columns := t.rows.columns
	f := &Frame{at: map[string]int{}, lines: t.rows.lines, decimal: t.notation.Decimal, thousands: t.notation.Thousands, absent: reading.MissingWords,
		dates: t.dates, understood: reading, held: make([]held, len(columns))}
	row := make([]series.Series, len(columns))
	reading.Extents = make([]Extent, len(columns))
	for i, c := range columns {
		f.at[c.Name] = i
		row[i] = c.oneCell()
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	// Rows of the right kind first, the values after, in place: gota then neither
	// copies the columns nor puts every value on the heap on its own.
	f.df = dataframe.New(row...).Subset(make([]int, len(f.lines)))
	err := parallel.Each(ctx, len(columns), func(ctx context.Context, i int) (err error) {
		f.held[i], reading.Extents[i], err = columns[i].build(ctx, f, i)
		return err
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

// oneCell is a gota series of the column's kind with one cell.
func (c *columnReader) oneCell() series.Series {
	switch c.Kind {
	case Number:
		return series.New([]float64{0}, series.Float, c.Name)
	case Category:
		return series.New([]int{-1}, series.Int, c.Name)
	}
	return series.New([]string{""}, series.String, c.Name)
}

// build puts a column's values into its place in gota's frame, which nobody else has
// seen yet, and makes what stands beside it.
func (c *columnReader) build(ctx context.Context, f *Frame, place int) (held, Extent, error) {
	h, extent := held{Column: c.Column}, nothing
	extent.Missing = f.Len() - c.present
	var e element
	switch h.Kind {
	case Number:
		h.missing = c.missing(f.Len(), func(row int) bool { return math.IsNaN(c.values[row]) })
		for row, x := range c.values {
			if row%heedRows == 0 && ctx.Err() != nil {
				return h, extent, ctx.Err()
			}
			e.number = x
			extent.take(x)
			f.df.Elem(row, place).Set(&e)
		}
	case Category:
		h.missing = c.missing(f.Len(), func(row int) bool { return c.codes[row] < 0 })
		h.words = c.list
		h.setOrder(f.naturally(c.list))
		for row, code := range c.codes {
			if row%heedRows == 0 && ctx.Err() != nil {
				return h, extent, ctx.Err()
			}
			e.code = code
			f.df.Elem(row, place).Set(&e)
		}
	default:
		h.missing = c.missing(f.Len(), c.textMissing)
		for row, text := range c.allTexts(f.Len()) {
			if row%heedRows == 0 && ctx.Err() != nil {
				return h, extent, ctx.Err()
			}
			e.text = text
			f.df.Elem(row, place).Set(&e)
		}
	}
	c.values, c.codes, c.texts = nil, nil, nil
	return h, extent, nil
}

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

// missing is the mask of the rows without a value, nil where there is none.
func (c *columnReader) missing(rows int, gone func(row int) bool) []bool {
	if c.present == rows {
		return nil
	}
	mask := make([]bool, rows)
	for row := range mask {
		mask[row] = gone(row)
	}
	return mask
}

func (c *columnReader) textMissing(row int) bool {
	switch c.mode {
	case numbers:
		return math.IsNaN(c.values[row])
	case words:
		return c.codes[row] < 0
	}
	return c.gone != nil && c.gone[row]
}

// allTexts are the cells of a text column, "" where missing.
func (c *columnReader) allTexts(rows int) []string {
	if c.mode == texts {
		return c.texts
	}
	cells := make([]string, rows)
	for row := range cells {
		if c.mode == words && c.codes[row] >= 0 {
			cells[row] = c.list[c.codes[row]]
		}
	}
	return cells
}

// settleKinds lets a role decide where the cells do not: a failure mode is a
// category even when none repeats, a specimen's name is text even when one does.
func settleKinds(columns []*columnReader) {
	for _, c := range columns {
		switch {
		case c.Role == Failure && (c.mode == words || c.present == 0):
			c.Kind = Category
			if c.mode == numbers { // nothing in it
				c.mode, c.codes = words, slices.Repeat([]int{-1}, len(c.values))
			}
		case c.Role == Specimen && c.mode == words:
			c.Kind = Text
		}
	}
}
