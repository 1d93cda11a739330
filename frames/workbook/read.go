package workbook

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/cells"
	"breakbook/frames/files"
)

// mostRows is how many rows a sheet has at most.
const mostRows = 1 << 20

// Table is what the cells of a sheet hold, without what is empty.
type Table struct {
	Width  int // up to the last column with anything in it
	Odd    []Oddity
	Hidden Hidden
	Merged []Area

	cells   []string
	columns []uint16 // of each cell, from 0
	kinds   []kind
	ends    []int   // of each row among the cells
	rows    []int32 // its number in the sheet, from 1
	bytes   int
}

// kind is what a cell holds in its sheet.
type kind uint8

const (
	number kind = iota // a percentage and a number with a unit too
	text
	other // a date, a time, a truth, a number filled up with zeros
)

// Oddity is a cell that holds no value, though it does not look empty.
type Oddity struct {
	Row, Column int    // Row from 1, Column from 0
	Word        string // the error that it shows, "#N/A"; "" for a formula whose value is not stored
}

// cellMemory is about how many bytes a cell takes beside its text.
const cellMemory = 24

// mostOdd is how many oddities are kept.
const mostOdd = 1 << 20

// Area is merged cells, rows from 1 and columns from 0, the last included.
type Area struct{ FirstRow, LastRow, FirstColumn, LastColumn int }

// Hidden is what a sheet does not show.
type Hidden struct {
	Rows    []int    // that hold anything, in order
	Columns [][2]int // from, to and with, counted from 0
}

// Read reads the cells of a sheet. Numbers stand with a decimal point. Errors are those of
// Open, and "cell-too-long", "no-cells" (a sheet of another kind); or the context's.
func (b *Book) Read(ctx context.Context, s Sheet) (*Table, error) {
	if s.Kind != Cells {
		what := "a sheet of another kind than cells"
		if s.Kind == Chart {
			what = "a chart"
		}
		return nil, &frames.Error{Code: "no-cells", Word: s.Name,
			Detail: "the sheet “" + s.Name + "” is " + what + " and has no cells"}
	}
	if err := b.readStrings(ctx); err != nil {
		return nil, err
	}
	in, shut, err := b.open(ctx, s.part)
	if err != nil {
		return nil, err
	}
	defer shut()
	r := &sheetReader{Book: b, markup: markupOf(in, s.part), t: &Table{}, name: s.part, sheet: s.Name}
	if err := r.sheetCells(); err != nil {
		return nil, err
	}
	if !rising(r.t.rows) {
		r.t.sort()
	}
	return r.t, nil
}

// readStrings reads the texts that cells share, once.
func (b *Book) readStrings(ctx context.Context) error {
	if b.strings != nil || b.parts[b.shared] == nil {
		return nil
	}
	in, shut, err := b.open(ctx, b.shared)
	if err != nil {
		return err
	}
	defer shut()
	m := markupOf(in, b.shared)
	all := []string{}
	for {
		t, err := m.Token()
		if errors.Is(err, io.EOF) {
			b.strings = all
			return nil
		}
		if e, ok := t.(xml.StartElement); ok && e.Name.Local == "si" {
			var text richText
			err = m.DecodeElement(&text, &e)
			all = append(all, text.whole())
		}
		if err != nil {
			return broken(b.shared, err)
		}
	}
}

// richText is a text in one piece or in several; how they are said is left out.
type richText struct {
	Text []string `xml:"t"`
	Runs []struct {
		Text []string `xml:"t"`
	} `xml:"r"`
}

// whole is the text, its pieces joined.
func (r richText) whole() string {
	text := strings.Join(r.Text, "")
	for _, run := range r.Runs {
		text += strings.Join(run.Text, "")
	}
	return unescaped(text)
}

// sheetReader goes through one sheet.
type sheetReader struct {
	*Book
	markup *xml.Decoder
	t      *Table
	name   string // of the part
	sheet  string
	data   bool // among its rows: beyond them other things are called so
	inRow  bool
	row    int // from 1
	next   int // the column after the last cell
}

// sheetCells reads the part of a sheet.
func (r *sheetReader) sheetCells() error {
	known := false
	hidden := false
	for {
		t, err := r.markup.Token()
		if errors.Is(err, io.EOF) {
			if !known {
				return damaged(r.name, nil)
			}
			return nil
		}
		if err != nil {
			return broken(r.name, err)
		}
		switch t := t.(type) {
		case xml.StartElement:
			switch name := t.Name.Local; {
			case name == "worksheet":
				known = true
			case name == "sheetData":
				r.data = true
			case name == "col":
				r.column(t)
			case name == "row" && r.data:
				hidden = truth(attribute(t, "hidden"))
				if err := r.begin(t); err != nil {
					return err
				}
			case name == "c" && r.data:
				if err := r.cell(t); err != nil {
					return err
				}
			case name == "mergeCell":
				if a, ok := areaOf(attribute(t, "ref")); ok && len(r.t.Merged) < mostRows {
					r.t.Merged = append(r.t.Merged, a)
				}
			}
		case xml.EndElement:
			switch {
			case t.Name.Local == "sheetData":
				r.data = false
			case t.Name.Local == "row" && r.data:
				r.end(hidden)
				if needs := int64(len(r.t.cells))*cellMemory + int64(r.t.bytes); needs > 2*r.most {
					return r.tooLarge("its sheet “" + r.sheet + "” takes more memory than the " + files.Size(2*r.most) +
						" that there may be")
				}
			}
		}
	}
}

// column notes columns that are hidden.
func (r *sheetReader) column(e xml.StartElement) {
	first, err := strconv.Atoi(attribute(e, "min"))
	last, err2 := strconv.Atoi(attribute(e, "max"))
	known := err == nil && err2 == nil && 1 <= first && first <= last
	if known && truth(attribute(e, "hidden")) && len(r.t.Hidden.Columns) < frames.MostColumns {
		r.t.Hidden.Columns = append(r.t.Hidden.Columns, [2]int{first - 1, last - 1})
	}
}

// begin starts a row, where it says or behind the last.
func (r *sheetReader) begin(e xml.StartElement) error {
	if r.inRow {
		return damaged(r.name, nil)
	}
	r.inRow, r.next = true, 0
	r.row++
	if at := attribute(e, "r"); at != "" {
		n, err := strconv.Atoi(at)
		if err != nil {
			return damaged(r.name, err)
		}
		r.row = n
	}
	if r.row < 1 || r.row > mostRows {
		return damaged(r.name, nil)
	}
	return nil
}

// end closes a row; one in which nothing stands is none.
func (r *sheetReader) end(hidden bool) {
	r.inRow = false
	last := 0
	if n := len(r.t.ends); n > 0 {
		last = r.t.ends[n-1]
	}
	if len(r.t.cells) == last {
		return
	}
	r.t.order(last)
	r.t.ends = append(r.t.ends, len(r.t.cells))
	r.t.rows = append(r.t.rows, int32(r.row))
	if hidden {
		r.t.Hidden.Rows = append(r.t.Hidden.Rows, r.row)
	}
}

// cellElement is a cell as it stands in a sheet.
type cellElement struct {
	Place   string    `xml:"r,attr"`
	Type    string    `xml:"t,attr"`
	Style   int       `xml:"s,attr"`
	Value   string    `xml:"v"`
	Inline  richText  `xml:"is"`
	Formula *struct{} `xml:"f"`
}

// cell reads one cell and keeps it unless it is empty.
func (r *sheetReader) cell(e xml.StartElement) error {
	var c cellElement
	if err := r.markup.DecodeElement(&c, &e); err != nil {
		return broken(r.name, err)
	}
	column := r.next
	if c.Place != "" {
		at, ok := columnOf(c.Place)
		if !ok {
			return damaged(r.name, nil)
		}
		column = at
	}
	if r.next = column + 1; column >= frames.MostColumns || !r.inRow {
		return damaged(r.name, nil)
	}
	value := c.Value
	if c.Type == "inlineStr" {
		value = c.Inline.whole()
	}
	shows, holds, err := r.shownAs(value, c.Type, c.Style)
	if err != nil {
		return err
	}
	odd := c.Type == "e"
	if odd {
		shows, value = "", shows
	}
	if (odd || c.Formula != nil && value == "" && c.Type != "str") && len(r.t.Odd) < mostOdd {
		r.t.Odd = append(r.t.Odd, Oddity{r.row, column, value})
	}
	if len(shows) > cells.MostBytes {
		return &frames.Error{Code: "cell-too-long", Line: r.row, Word: Letters(column), Hint: "shorten it",
			Detail: fmt.Sprintf("the cell in column %s is longer than the %s that are read", Letters(column),
				files.Size(cells.MostBytes))}
	}
	if strings.TrimSpace(shows) == "" {
		return nil
	}
	r.t.cells = append(r.t.cells, shows)
	r.t.columns = append(r.t.columns, uint16(column))
	r.t.kinds = append(r.t.kinds, holds)
	r.t.bytes += len(shows) + 1
	r.t.Width = max(r.t.Width, column+1)
	return nil
}

// shownAs is the text of a cell by its type, and what it holds in the sheet.
func (r *sheetReader) shownAs(value, is string, style int) (string, kind, error) {
	switch is {
	case "s":
		if value == "" {
			return "", text, nil
		}
		n, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || n < 0 || n >= len(r.strings) {
			return "", text, damaged(r.name, err)
		}
		return r.strings[n], text, nil
	case "inlineStr":
		return value, text, nil
	case "str":
		return unescaped(value), text, nil
	case "b":
		if truth(value) {
			return "TRUE", other, nil
		}
		if value == "" {
			return "", other, nil
		}
		return "FALSE", other, nil
	case "e":
		return value, other, nil
	case "d":
		return strings.TrimSuffix(strings.Replace(value, "T00:00:00", "", 1), "Z"), other, nil
	}
	if value == "" {
		return "", number, nil
	}
	shows, holds := r.number(value, style)
	return shows, holds, nil
}
