package frames

import (
	"bytes"
	"encoding/json"
	"strings"

	"breakbook/frames/cells"
	"breakbook/frames/units"
)

// sheetVersion is that of the form below.
const sheetVersion = 1

// Sheet is a table to be filled in by hand: the notes stand above its header as lines of
// comment, which reading passes over; empty cells are to be filled in.
type Sheet struct {
	Notes   []string
	Columns []Column
	Rows    [][]string // a cell a column
}

// sheetLook is what lies beside a sheet: what its columns are for, whatever is filled in.
// Unlike a look it is bound to no contents.
type sheetLook struct {
	Version int          `json:"breakbook_sheet"`
	Columns []lookColumn `json:"columns"`
}

// Write is the sheet as a CSV, and as its look what its columns are for, by which Open marks
// them once it is filled in.
func (s *Sheet) Write() (*Written, error) {
	w := &cells.Writer{Lone: len(s.Columns) == 1}
	for _, note := range s.Notes {
		w.WriteString("# " + strings.Join(strings.Fields(note), " ")) // one line
		w.Line()
	}
	look := sheetLook{Version: sheetVersion}
	for i, c := range s.Columns {
		w.Plain(i, headerOf(c))
		look.Columns = append(look.Columns, lookColumn{Name: c.Name, Label: c.Label, Header: headerOf(c),
			Kind: c.Kind.String(),
			Unit: c.Unit.String(), Role: c.Role, Levels: c.Levels})
	}
	w.Line()
	for _, row := range s.Rows {
		for i, cell := range row {
			w.Text(i, cell)
		}
		w.Line()
	}
	text, err := json.MarshalIndent(look, "", " ")
	if err != nil {
		return nil, err
	}
	return &Written{CSV: w.Bytes(), Look: append(text, '\n'), Escaped: w.Escaped}, nil
}

// ParseSheet reads what lies beside a sheet: its columns, without notes and rows. It is nil
// where that is something else.
func ParseSheet(text []byte) *Sheet {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	l := &sheetLook{}
	if d.Decode(l) != nil || l.Version != sheetVersion || len(l.Columns) > MostColumns {
		return nil
	}
	s := &Sheet{}
	for _, c := range l.Columns {
		if c.check() != nil {
			return nil
		}
		kind, _ := kindCalled(c.Kind)
		u, _ := units.Parse(c.Unit)
		s.Columns = append(s.Columns, Column{Name: c.Name, Label: c.Label, Header: c.Header, Kind: kind, Unit: u,
			Role: c.Role, Levels: c.Levels})
	}
	return s
}
