package frames

import "slices"

// table is a file on its way into a frame.
type table struct {
	rows    *rowReader
	missing []string // the user's words for it
	absent  *absence
	seen    *marks
	remarks []Remark // on the header
}

// fill reads the header and all rows with one decimal mark.
func (t *table) fill(decimal byte) error {
	names, err := t.rows.names()
	if err != nil {
		return err
	}
	t.absent, t.seen = newAbsence(t.missing), &marks{}
	t.head(names, decimal)
	if err := t.rows.pass(t.rows.columns); err != nil {
		return err
	}
	var again []*columnReader
	for i, c := range t.rows.columns {
		if c.mode == lost || c.mode == numbers && c.clashes() {
			t.rows.columns[i] = t.column(c.Column, decimal, words)
			again = append(again, t.rows.columns[i])
		}
	}
	if len(again) == 0 {
		return nil
	}
	return t.rows.pass(again)
}

func (t *table) column(c Column, decimal byte, m mode) *columnReader {
	return &columnReader{Column: c, mode: m, mark: decimal, absent: t.absent, labels: namesThings(c.Name), seen: t.seen, comma: t.rows.separator}
}

// head makes the columns from the header's cells.
func (t *table) head(header []string, decimal byte) {
	t.remarks, t.rows.columns = nil, make([]*columnReader, len(header))
	n := namer{taken: map[string]bool{}, times: map[string]int{}}
	allNumbers := true
	for i, cell := range header {
		label, unit := splitHeader(cell)
		name, repeated, blank := n.name(label, i)
		if repeated {
			t.remarks = append(t.remarks, Remark{Code: "duplicate-header", Column: name, Line: t.rows.header, Word: shortened(trim(cell))})
		}
		if blank {
			label = name
		}
		x := trim(cell)
		_, length, _ := scanNumber(x, decimal)
		allNumbers = allNumbers && length > 0 && length == len(x)
		t.rows.columns[i] = t.column(Column{Name: name, Label: label, Header: cell, Unit: unit}, decimal, numbers)
	}
	if allNumbers {
		t.remarks = append(t.remarks, Remark{Code: "numbers-in-header", Line: t.rows.header, Count: len(header)})
	}
}

// commasOnly tells whether numbers with a decimal comma were met and none with a point.
func (t *table) commasOnly() bool {
	return t.seen.decimal() == ',' && !slices.ContainsFunc(t.rows.columns, func(c *columnReader) bool {
		return c.mode == numbers && slices.ContainsFunc(c.values, broken)
	})
}

// finish settles kinds, units and roles, and collects the remarks. It leaves out
// the columns with neither a header nor a value (a spreadsheet's trailing separators).
func (t *table) finish() []Remark {
	remarks := t.remarks
	r := t.rows
	for _, c := range r.columns {
		remarks = append(remarks, c.done()...)
	}
	guessRoles(r.columns)
	settleKinds(r.columns)
	for _, c := range r.columns {
		headed := trim(c.Header) != ""
		if c.present == 0 && headed {
			remarks = append(remarks, Remark{Code: "empty-column", Column: c.Name, Line: r.header})
		}
		if c.present > 0 && !headed {
			remarks = append(remarks, Remark{Code: "no-header", Column: c.Name, Line: r.header})
		}
		if c.massAsLoad() {
			remarks = append(remarks, Remark{Code: "mass-as-load", Column: c.Name, Line: r.header, Word: c.Unit.String()})
		}
	}
	blank := "blank-lines"
	if len(r.columns) == 1 {
		blank = "blank-lines-missing"
	}
	for _, odd := range []struct {
		code string
		happening
	}{{"short-row", r.short}, {"extra-blank-cells", r.beyond}, {blank, r.blank}, {"empty-rows", r.emptyRows}} {
		if odd.count > 0 {
			remarks = append(remarks, Remark{Code: odd.code, Line: odd.line, Count: odd.count})
		}
	}
	r.columns = slices.DeleteFunc(r.columns, func(c *columnReader) bool { return c.present == 0 && trim(c.Header) == "" })
	return remarks
}
