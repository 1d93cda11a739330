package frames

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"breakbook/frames/cells"
	"breakbook/frames/notation"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Written is a frame as the two files that keep it: a CSV that any program reads, and
// a look that holds what a CSV cannot.
type Written struct {
	CSV, Look []byte
	SHA256    string // of CSV, in hexadecimal
	Escaped   int    // cells with an apostrophe before them, so that no spreadsheet runs them
}

// Write puts every row, those set aside included, into a CSV: comma-separated UTF-8
// with a header that names the units, numbers in the shortest form that reads back as
// the same float64. A missing cell is empty. A text cell that a spreadsheet would run
// (it starts with = + - @, a tab or a carriage return) has an apostrophe before it.
// Text a CSV cannot carry at all is an *Error with code "not-text"; the error is also ctx's own.
func (f *Frame) Write(ctx context.Context) (_ *Written, err error) {
	defer parallel.Catch(&err)
	w := cells.Writer{Lone: len(f.held) == 1}
	l := look{Version: lookVersion, Rows: f.Len(), Decimal: string(f.decimalMark()),
		Dates: notation.DateOrders[f.dates], Missing: slices.Clone(f.absent), Aside: f.asideGroups()}
	for _, c := range f.corrected {
		l.Corrected = append(l.Corrected, lookCorrected{c.Row + 1, c.Column, c.Was, c.Now, c.Because})
	}
	if f.thousands != 0 {
		l.Parted = notation.PartingName(f.thousands)
	}
	for i := range f.held {
		header, err := f.lookColumn(i)
		if err != nil {
			return nil, err
		}
		l.Columns = append(l.Columns, header)
		w.Text(i, headerOf(f.held[i].Column))
	}
	w.Line()
	for row := range f.Len() {
		parallel.LookAt(ctx, row)
		for i := range f.held {
			if err := f.writeCell(&w, &l.Columns[i], i, row); err != nil {
				return nil, err
			}
		}
		w.Line()
	}
	l.SHA256 = SourceOf(ctx, f.source.Path, w.Bytes()).SHA256
	text, err := l.encode()
	if err != nil {
		return nil, err
	}
	return &Written{CSV: w.Bytes(), Look: text, SHA256: l.SHA256, Escaped: w.Escaped}, nil
}

// writeCell writes one cell, and into the look what the CSV does not say of it.
func (f *Frame) writeCell(w *cells.Writer, c *lookColumn, column, row int) error {
	switch h := &f.held[column]; {
	case h.gone(row):
		w.Plain(column, "")
	case h.Kind == Number:
		w.Plain(column, shortest(f.columns[column].Elem(row).Float()))
	default:
		text := f.cell(column, row)
		if !utf8.ValidString(text) {
			return &Error{Code: "not-text", File: f.source.Path, Column: h.Name, Line: f.Line(row),
				Detail: h.Name + " holds bytes that are no text"}
		}
		if w.Text(column, text) {
			c.Escaped = append(c.Escaped, row+1)
		}
		if text == "" || strings.Contains(text, "\r\n") {
			c.Exact = append(c.Exact, exactCell{Row: row + 1, Text: text})
		}
	}
	return nil
}

// headerOf is a column's header for a file: the one it was read with, else its label,
// else its name with the unit in brackets, the first that reads back as name and unit.
func headerOf(c Column) string {
	unit := ""
	if !c.Unit.None() {
		unit = " (" + c.Unit.String() + ")"
	}
	for _, header := range []string{c.Header, c.Label + unit} {
		if label, u := notation.SplitHeader(header); u == c.Unit && notation.PlainName(label) == c.Name {
			return header
		}
	}
	return c.Name + unit
}

// encode writes the look as JSON, a line a column.
func (l *look) encode() ([]byte, error) {
	var out bytes.Buffer
	head := *l
	head.Columns, head.Aside, head.Corrected = nil, nil, nil
	first, err := plainJSON(head)
	if err != nil {
		return nil, err
	}
	out.Write(bytes.TrimSuffix(first, []byte("}")))
	parts := []struct {
		name  string
		items []any
	}{{"columns", anys(l.Columns)}, {"aside", anys(l.Aside)}, {"corrected", anys(l.Corrected)}}
	for _, list := range parts {
		if list.name == "corrected" && len(list.items) == 0 {
			continue
		}
		fmt.Fprintf(&out, ",\n%q:[", list.name)
		for i, item := range list.items {
			line, err := plainJSON(item)
			if err != nil {
				return nil, err
			}
			if i > 0 {
				out.WriteByte(',')
			}
			out.WriteByte('\n')
			out.Write(line)
		}
		out.WriteByte(']')
	}
	out.WriteString("}\n")
	return out.Bytes(), nil
}

func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

func anys[T any](list []T) []any {
	return lists.Mapped(list, func(x T) any { return x })
}
