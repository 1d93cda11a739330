package reading

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/meant"
	"breakbook/frames/notation"
	"breakbook/frames/workbook"
	"breakbook/models/lists"
)

// sheetRead is the sheet of a workbook that was read.
type sheetRead struct {
	*workbook.Table
	name    string
	sheets  []frames.SheetOf // all that have cells, in the workbook's order
	remarks []frames.Remark
}

// readSheets reads the sheet that is asked for, or the one that looks most like a series. It
// settles how the numbers in it are written, o.Decimal.
func readSheets(ctx context.Context, data []byte, o *Overrides) (*sheetRead, error) {
	switch {
	case o.Encoding != "":
		return nil, &frames.Error{Code: "bad-override", Word: o.Encoding, Hint: "leave out encoding",
			Detail: "this is a workbook, which says itself how its letters are written"}
	case o.Separator != 0:
		return nil, &frames.Error{Code: "bad-override", Hint: "leave out separated by",
			Detail: "this is a workbook, whose cells no mark parts"}
	}
	book, err := workbook.Open(ctx, data, files.MostTable())
	if err != nil {
		return nil, err
	}
	s := &sheetRead{}
	if o.Sheet != "" {
		err = s.named(ctx, book, o.Sheet)
	} else {
		err = s.likeliest(ctx, book)
	}
	if err != nil {
		return nil, err
	}
	if book.Macros {
		s.remarks = append(s.remarks, frames.Remark{Code: "workbook-macros", Line: 1})
	}
	if o.Decimal == 0 {
		o.Decimal = s.decimal(ctx, *o)
	}
	if o.Decimal == ',' {
		s.WithComma()
	}
	return s, nil
}

// Sheets are the names of the sheets of a workbook that hold cells. Errors are those of Open.
func Sheets(ctx context.Context, path string) ([]string, error) {
	data, err := files.Read(ctx, path, files.MostTable())
	if err != nil {
		return nil, Unopened(path, err)
	}
	book, err := workbook.Open(ctx, data, files.MostTable())
	if err != nil {
		return nil, err
	}
	var names []string
	for _, sheet := range book.Sheets {
		if sheet.Kind == workbook.Cells {
			names = append(names, sheet.Name)
		}
	}
	return names, nil
}

func (s *sheetRead) named(ctx context.Context, book *workbook.Book, name string) error {
	var names []string
	for i, sheet := range book.Sheets {
		names = append(names, sheet.Name)
		if !strings.EqualFold(notation.Trim(sheet.Name), notation.Trim(name)) {
			continue
		}
		t, err := book.Read(ctx, sheet)
		if err != nil {
			return inSheet(sheet.Name, err)
		}
		if t.Rows() == 0 {
			return &frames.Error{Code: "empty-file", Word: sheet.Name,
				Detail: "there is nothing in the sheet “" + sheet.Name + "”"}
		}
		s.Table, s.name = t, sheet.Name
		for j, other := range book.Sheets {
			switch {
			case j == i:
				s.sheets = append(s.sheets, frames.SheetOf{Name: other.Name, Rows: t.Rows()})
			case other.Kind == workbook.Cells:
				s.sheets = append(s.sheets, frames.SheetOf{Name: other.Name, Rows: -1})
			}
		}
		return nil
	}
	e := &frames.Error{Code: "no-such-sheet", Word: name, Near: meant.By(name, names),
		Detail: "there is no sheet “" + name + "” in it; it has " + listed(names)}
	if len(names) == 1 {
		e.Near = names[0]
	}
	return e
}

// listed are the names of sheets in a sentence, not more than ten of them.
func listed(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	const most = 10
	out := lists.Mapped(names[:min(len(names), most)], func(n string) string { return "“" + Shortened(n) + "”" })
	if len(names) > most {
		return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(out, ", ")
}

// inSheet puts the sheet before an error about it.
func inSheet(name string, err error) error {
	var e *frames.Error
	if errors.As(err, &e) && e.Word == "" {
		e.Word = name
	}
	return err
}

// likeness is how much a sheet looks like a series: what counts more stands first.
type likeness struct {
	shown, table, load bool
	rows               int
}

func (l likeness) less(o likeness) bool {
	switch {
	case l.shown != o.shown:
		return o.shown
	case l.table != o.table:
		return o.table
	case l.load != o.load:
		return o.load
	}
	return l.rows < o.rows
}

// likeliest reads every sheet and keeps the one that looks most like a series: it has a
// header with columns of numbers under it, a load among them, and the most rows. A hidden
// sheet comes after those that are shown.
func (s *sheetRead) likeliest(ctx context.Context, book *workbook.Book) error {
	var best likeness
	var names, kinds []string
	var unread []frames.Remark
	var first error
	for _, sheet := range book.Sheets {
		names = append(names, sheet.Name)
		if sheet.Kind != workbook.Cells {
			kinds = append(kinds, sheet.Name)
			continue
		}
		t, err := book.Read(ctx, sheet)
		if err != nil {
			if ctx.Err() != nil {
				return err
			}
			var e *frames.Error
			if !errors.As(err, &e) || e.Code == "too-large" {
				return err
			}
			unread = append(unread, frames.Remark{Code: "workbook-damaged", Line: 1, Word: sheet.Name})
			if first == nil {
				first = inSheet(sheet.Name, err)
			}
			s.sheets = append(s.sheets, frames.SheetOf{Name: sheet.Name, Rows: -1})
			continue
		}
		s.sheets = append(s.sheets, frames.SheetOf{Name: sheet.Name, Rows: t.Rows()})
		if t.Rows() == 0 {
			continue
		}
		if like := likenessOf(t, !sheet.Hidden); s.Table == nil || best.less(like) {
			best, s.Table, s.name = like, t, sheet.Name
		}
	}
	switch {
	case s.Table != nil:
		s.remarks = append(s.remarks, unread...)
		return nil
	case first != nil:
		return first
	case len(names) == 0:
		return &frames.Error{Code: "empty-file", Detail: "there is no sheet in this workbook"}
	case len(kinds) == len(names):
		return &frames.Error{Code: "no-cells", Detail: "no sheet of this workbook has cells, only charts: " +
			listed(names)}
	}
	return &frames.Error{Code: "empty-file", Detail: "there is nothing in its sheets " + listed(names)}
}

// likenessOf looks at the first rows of a sheet.
func likenessOf(t *workbook.Table, shownSheet bool) likeness {
	l := likeness{shown: shownSheet, rows: t.Rows()}
	first := sample(wholeSheet(t), sheetSeparator)
	if len(first.records) < 2 {
		return l
	}
	first.header = first.headerAt()
	l.rows -= first.header + 1
	l.table = width(first.records[first.header]) >= 2 && first.numberColumns(first.header) > 0
	for _, cell := range first.records[first.header] {
		label, unit := notation.SplitHeader(cell)
		if unit.Dimension() == "force" || notation.Says(notation.PlainName(label), notation.ForceWords) {
			l.load = l.table
		}
	}
	return l
}

func wholeSheet(t *workbook.Table) sheetRows { return sheetRows{t, 1, t.LastRow()} }

// decimal is the mark of the decimals in the cells that are text in the sheet: a comma where
// some have one that can be nothing else, and none a point. Numbers need none of their own.
func (s *sheetRead) decimal(ctx context.Context, o Overrides) rune {
	switch o.Thousands {
	case '.':
		return ','
	case ',':
		return '.'
	}
	e := newEvidence()
	s.Texts(ctx, func(cell string, row int) { e.look(notation.Trim(cell), row) })
	if e.decimal['.'] == 0 && (e.decimal[','] > 0 || e.parted['.'] > 0 && e.parted[','] == 0) {
		return ','
	}
	return '.'
}

// oddRemarks tells what a sheet holds that its cells do not show, once its columns have names.
func (s *sheetRead) oddRemarks(columns []*columnReader, header int) []frames.Remark {
	name := func(column int) string {
		if column < len(columns) {
			return columns[column].Name
		}
		return workbook.Letters(column)
	}
	var shows, lacks frames.Remark
	for _, odd := range s.Odd {
		r, code := &shows, "error-cells"
		if odd.Word == "" {
			r, code = &lacks, "no-stored-value"
		}
		if odd.Row <= header {
			continue
		}
		if r.Count++; r.Count == 1 {
			r.Code, r.Column, r.Line, r.Word = code, name(odd.Column), odd.Row, Shortened(odd.Word)
		}
	}
	var merged, rows, beside frames.Remark
	for _, a := range s.Merged {
		if a.LastRow <= header || a.FirstRow > s.LastRow() || a.FirstColumn >= s.Width {
			continue
		}
		if merged.Count++; merged.Count == 1 || a.FirstRow < merged.Line {
			merged.Code, merged.Line, merged.Column = "merged-cells", a.FirstRow, name(a.FirstColumn)
		}
	}
	for _, row := range s.Hidden.Rows {
		if row > header {
			if rows.Count++; rows.Count == 1 {
				rows.Code, rows.Line = "hidden-rows", row
			}
		}
	}
	var names []string
	for _, c := range s.Hidden.Columns {
		for column := c[0]; column <= min(c[1], len(columns)-1); column++ {
			if columns[column].present > 0 && !slices.Contains(names, columns[column].Name) {
				names = append(names, columns[column].Name)
			}
		}
	}
	if len(names) > 0 {
		beside = frames.Remark{Code: "hidden-columns", Line: header, Count: len(names), Word: strings.Join(names, ", ")}
	}
	found := []frames.Remark{shows, lacks, merged, rows, beside}
	return slices.DeleteFunc(found, func(r frames.Remark) bool { return r.Count == 0 })
}
