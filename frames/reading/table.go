package reading

import (
	"context"
	"slices"
	"strings"
	"unicode/utf8"

	"breakbook/frames"
	"breakbook/frames/cells"
	"breakbook/frames/notation"
	"breakbook/frames/reading/decoding"
)

// table is a file on its way into a frame.
type table struct {
	overrides Overrides
	rows      *rowReader
	absent    *absence
	sampled   *evidence // of the first records
	seen      *evidence // of the whole file, as far as it was odd
	notation  notation.Marks
	dates     notation.DateOrder
	heading   heading         // of a header in two lines
	unitCells []string        // of the row of units, nil for none
	gotUnit   []bool          // columns whose unit there is that of the first of their group
	remarks   []frames.Remark // on the header and what is above it
	odd       decoding.Odd    // bytes that could not be decoded
}

// place finds the separator, the header and the row of units, and cuts off what
// stands above the header.
func (t *table) place(whole source) error {
	o, from := t.overrides, whole
	if o.HeaderRow > 0 {
		var err error
		if from, err = whole.from(o.HeaderRow, "header row"); err != nil {
			return err
		}
	}
	s := detect(from, o)
	t.rows = &rowReader{separator: s.separator}
	if o.NoHeader {
		for _, record := range s.records {
			t.rows.headless = max(t.rows.headless, width(record))
		}
		s.header = -1
	} else if o.HeaderRow > 0 {
		t.heading = t.lineAbove(whole, s.separator)
	} else if upper, lower, ok := s.twoLines(); ok {
		t.heading = s.heading(upper, lower)
		s.header = lower
	}
	if len(s.records) > 0 && o.UnitsRow == 0 && !o.NoHeader {
		t.rows.units = s.unitsAnywhere()
	}
	if s.header > 0 {
		t.remarks = append(t.remarks, s.preamble(t.heading.line, t.rows.units)...)
		var err error
		if from, err = whole.from(s.lines[s.header], "header row"); err != nil {
			return err
		}
	}
	t.rows.from = from
	if o.UnitsRow > 0 {
		t.rows.units = o.UnitsRow
	}
	if t.rows.units > 0 {
		if err := t.readUnits(whole); err != nil {
			return err
		}
	}
	t.sampled = newEvidence()
	for i, record := range s.records {
		if i <= s.header || s.lines[i] == t.rows.units {
			continue
		}
		for _, cell := range record {
			t.sampled.look(notation.Trim(cell), s.lines[i])
		}
	}
	return nil
}

// readUnits cuts the row of units into cells.
func (t *table) readUnits(whole source) error {
	line, err := whole.only(t.rows.units, "units in row")
	if err != nil {
		return err
	}
	var b cells.Batch
	if _, err := line.cutter(t.rows.separator, false).Cut(&b); err != nil {
		return uncut(err, unnamed)
	}
	t.unitCells, t.gotUnit = t.heading.fillUnits(b.Cells)
	return nil
}

// settle reads the rows, and once more when what it met late shows that numbers are
// written otherwise than the first records let on.
func (t *table) settle(ctx context.Context) error {
	t.notation = t.sampled.notation(t.rows.separator, t.overrides)
	if err := t.fill(ctx); err != nil {
		return err
	}
	t.gather(ctx)
	if late := t.seen.notation(t.rows.separator, t.overrides); late != t.notation {
		t.notation = late
		if err := t.fill(ctx); err != nil {
			return err
		}
		t.gather(ctx)
	}
	if len(t.rows.lines) == 0 {
		return &frames.Error{Code: "header-only", Line: t.rows.header,
			Detail: "there is a header but no specimens under it"}
	}
	return nil
}

// gather joins what the columns met with what the first records said.
func (t *table) gather(ctx context.Context) {
	t.seen = newEvidence()
	t.seen.join(t.sampled)
	for _, c := range t.rows.columns {
		t.seen.join(c.seen)
		if c.mode == numbers {
			t.seen.allValues(ctx, c.values, t.notation.Decimal)
		}
	}
	if t.seen.decimal['.'] > 0 && t.seen.decimal[','] > 0 {
		t.seen.recount(ctx, t.rows.columns)
	}
}

// fill reads the header and all rows in one notation.
func (t *table) fill(ctx context.Context) error {
	names, err := t.rows.names()
	if err != nil {
		return err
	}
	t.absent = newAbsence(t.overrides.Missing)
	t.head(t.joinHeader(names))
	t.groupColumns(names)
	if err := t.rows.pass(ctx, t.rows.columns); err != nil {
		return err
	}
	var again []*columnReader
	for i, c := range t.rows.columns {
		if c.mode == lost || c.mode == numbers && c.clashes() {
			t.rows.columns[i] = t.column(c.Column, words)
			again = append(again, t.rows.columns[i])
		}
	}
	if len(again) == 0 {
		return nil
	}
	return t.rows.pass(ctx, again)
}

func (t *table) column(c frames.Column, m mode) *columnReader {
	return &columnReader{Column: c, odd: t.odd.Count > 0, mode: m, notation: t.notation, absent: t.absent,
		labels: namesThings(c.Name), seen: newEvidence()}
}

// head makes the columns from the header's cells and the row of units.
func (t *table) head(header []string) {
	kept := slices.DeleteFunc(t.remarks, func(r frames.Remark) bool { return r.Code != "preamble" })
	t.remarks, t.rows.columns = kept, make([]*columnReader, len(header))
	n := notation.NewNamer()
	allNumbers := true
	for i, cell := range header {
		label, unit := notation.SplitHeader(cell)
		name, repeated, blank := n.Name(label, i)
		if repeated {
			t.remarks = append(t.remarks, frames.Remark{Code: "duplicate-header", Column: name, Line: t.rows.header,
				Word: Shortened(notation.Trim(cell))})
		}
		if blank {
			label = name
		}
		if t.odd.Count > 0 && strings.ContainsRune(cell, utf8.RuneError) {
			t.remarks = append(t.remarks, frames.Remark{Code: "odd-bytes", Column: name, Line: t.rows.header,
				Word: Shortened(notation.Trim(cell))})
		}
		x := notation.Trim(cell)
		_, length, _ := notation.Number(x, t.notation.Decimal)
		allNumbers = allNumbers && length > 0 && length == len(x)
		c := frames.Column{Name: name, Label: label, Header: cell, Unit: unit}
		if i < len(t.unitCells) {
			t.unitFrom(&c, t.unitCells[i])
		}
		t.rows.columns[i] = t.column(c, numbers)
	}
	if allNumbers {
		t.remarks = append(t.remarks, frames.Remark{Code: "numbers-in-header", Line: t.rows.header, Count: len(header)})
	}
}

// unitFrom gives a column the unit in the row of units; the header's own goes before it.
func (t *table) unitFrom(c *frames.Column, cell string) {
	u, kind := unitCell(cell)
	word := Shortened(notation.Trim(cell))
	switch {
	case kind == noUnitCell, kind == unitOdd:
		t.remarks = append(t.remarks, frames.Remark{Code: "unknown-unit", Column: c.Name, Line: t.rows.units,
			Word: word})
	case kind == unitBlank:
	case !c.Unit.None() && c.Unit != u:
		t.remarks = append(t.remarks, frames.Remark{Code: "two-units", Column: c.Name, Line: t.rows.units, Word: word})
	default:
		c.Unit = u
	}
}
