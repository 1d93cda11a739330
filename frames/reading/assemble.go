package reading

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// assemble builds the frame of the columns, side by side.
func (t *table) assemble(ctx context.Context, reading *frames.Reading) *frames.Frame {
	columns := t.rows.columns
	described := lists.Mapped(columns, func(c *columnReader) frames.Column { return c.Column })
	b := frames.NewBuilder(described, t.rows.lines, t.notation, t.dates, reading)
	reading.Extents = make([]frames.Extent, len(columns))
	parallel.Heed(parallel.Each(ctx, len(columns), func(ctx context.Context, i int) error {
		reading.Extents[i] = columns[i].build(ctx, b, i, len(t.rows.lines))
		return nil
	}))
	return b.Frame()
}

// build puts a column's values into its place in the frame, and keeps them no longer.
func (c *columnReader) build(ctx context.Context, b *frames.Builder, place, rows int) (extent frames.Extent) {
	switch c.Kind {
	case frames.Number:
		extent = b.Numbers(ctx, place, c.values,
			c.missing(rows, func(row int) bool { return math.IsNaN(c.values[row]) }))
	case frames.Category:
		extent = b.Words(ctx, place, c.codes, c.list, c.missing(rows,
			func(row int) bool { return c.codes[row] < 0 }))
	default:
		extent = b.Texts(ctx, place, c.allTexts(rows), c.missing(rows, c.textMissing))
	}
	c.values, c.codes, c.texts = nil, nil, nil
	return extent
}

// missing is the mask of the rows without a value, nil where there is none.
func (c *columnReader) missing(rows int, gone func(row int) bool) []bool {
	if c.present == rows {
		return nil
	}
	return lists.Made(rows, gone)
}

func (c *columnReader) textMissing(row int) bool {
	switch c.mode {
	case numbers:
		return math.IsNaN(c.values[row])
	case words:
		return c.codes[row] < 0
	}
	return c.absentRow != nil && c.absentRow[row]
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
		case c.Role == frames.Failure && (c.mode == words || c.present == 0):
			c.Kind = frames.Category
			if c.mode == numbers { // nothing in it
				c.mode, c.codes = words, slices.Repeat([]int{-1}, len(c.values))
			}
		case c.Role == frames.Specimen && c.mode == words:
			c.Kind = frames.Text
		}
	}
}
