package reading

import (
	"context"
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/reading/decoding"
	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// finish settles kinds, units, roles and dates, and collects the remarks. It leaves
// out the columns with neither a header nor a value (a spreadsheet's trailing separators).
func (t *table) finish(ctx context.Context, reading *frames.Reading) []frames.Remark {
	remarks := t.remarks
	r := t.rows
	sure := t.overrides.Thousands != 0 || t.seen.parted[t.notation.Thousands] > 0 || slices.ContainsFunc(r.columns,
		func(c *columnReader) bool { return c.parted })
	for _, c := range r.columns {
		if sure {
			c.guesses = 0
		}
		remarks = append(remarks, c.done()...)
	}
	guessRoles(ctx, r.columns)
	remarks = append(remarks, guessOrder(ctx, r.columns, r.header)...)
	settleKinds(r.columns)
	numbered := slices.ContainsFunc(remarks, func(m frames.Remark) bool { return m.Code == "numbers-in-header" })
	if word := r.dataInHeader(ctx); word != "" && t.overrides.HeaderRow == 0 && t.heading.line == 0 && !numbered {
		remarks = append(remarks, frames.Remark{Code: "data-in-header", Line: r.header, Word: Shortened(word)})
	}
	for i, c := range r.columns {
		if i < len(t.gotUnit) && t.gotUnit[i] && c.Kind != frames.Number && !c.strayed {
			c.Unit = units.Unit{} // of the group's numbers
		}
		headed := notation.Trim(c.Header) != ""
		if c.present == 0 && headed {
			remarks = append(remarks, frames.Remark{Code: "empty-column", Column: c.Name, Line: r.header})
		}
		if c.present > 0 && !headed && r.headless == 0 {
			remarks = append(remarks, frames.Remark{Code: "no-header", Column: c.Name, Line: r.header})
		}
		if c.massAsLoad() {
			remarks = append(remarks, frames.Remark{Code: "mass-as-load", Column: c.Name, Line: r.header,
				Word: c.Unit.String()})
		}
	}
	if at := t.seen.first[t.notation.Decimal]; t.overrides.Decimal == 0 && t.seen.doubtful(t.notation, r.separator) {
		remarks = append(remarks, frames.Remark{Code: "doubtful-decimal", Line: at.line, Word: Shortened(at.word)})
	}
	remarks = append(remarks, t.settleDates(ctx, reading)...)
	blank := "blank-lines"
	if len(r.columns) == 1 {
		blank = "blank-lines-missing"
	}
	for _, odd := range []struct {
		code string
		decoding.Odd
	}{{"short-row", r.short}, {"extra-blank-cells", r.beyond}, {blank, r.blank}, {"empty-rows", r.emptyRows}} {
		if odd.Count > 0 {
			remarks = append(remarks, frames.Remark{Code: odd.code, Line: odd.Line, Count: odd.Count})
		}
	}
	r.columns = slices.DeleteFunc(r.columns, func(c *columnReader) bool {
		return c.present == 0 && notation.Trim(c.Header) == ""
	})
	reading.Blocks, remarks = t.blocks(remarks)
	if t.odd.Count > 0 && !slices.ContainsFunc(remarks, func(m frames.Remark) bool { return m.Code == "odd-bytes" }) {
		remarks = append(remarks, frames.Remark{Code: "odd-bytes", Line: t.odd.Line, Count: t.odd.Count})
	}
	return remarks
}

// settleDates finds the columns that hold nothing but dates and the order of their parts.
func (t *table) settleDates(ctx context.Context, reading *frames.Reading) []frames.Remark {
	var d dated
	for _, c := range t.rows.columns {
		parallel.Look(ctx)
		switch c.mode {
		case words:
			d.take(ctx, c.Name, c.list, func(code int) int { return t.line(slices.Index(c.codes, code)) })
		case texts:
			d.take(ctx, c.Name, c.texts, t.line)
		}
	}
	var remarks []frames.Remark
	t.dates, remarks = d.order(t.overrides)
	reading.Dates, reading.DateColumns = notation.DateOrders[t.dates], d.columns
	for i := range remarks {
		remarks[i].Word = Shortened(remarks[i].Word)
	}
	return remarks
}

func (t *table) line(row int) int { return int(t.rows.lines[row]) }
