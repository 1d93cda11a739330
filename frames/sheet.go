package frames

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
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
	w := &csvWriter{lone: len(s.Columns) == 1}
	for _, note := range s.Notes {
		w.WriteString("# " + strings.Join(strings.Fields(note), " ")) // one line
		w.line()
	}
	look := sheetLook{Version: sheetVersion}
	for i, c := range s.Columns {
		w.plain(i, headerOf(c))
		look.Columns = append(look.Columns, lookColumn{Name: c.Name, Label: c.Label, Header: headerOf(c), Kind: c.Kind.String(),
			Unit: c.Unit.String(), Role: c.Role, Levels: c.Levels})
	}
	w.line()
	for _, row := range s.Rows {
		for i, cell := range row {
			w.text(i, cell)
		}
		w.line()
	}
	text, err := json.MarshalIndent(look, "", " ")
	if err != nil {
		return nil, err
	}
	return &Written{CSV: w.Bytes(), Look: append(text, '\n'), Escaped: w.escaped}, nil
}

// parseSheet reads what lies beside a sheet; nil where it is something else.
func parseSheet(text []byte) *sheetLook {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	l := &sheetLook{}
	if d.Decode(l) != nil || l.Version != sheetVersion || len(l.Columns) > mostColumns {
		return nil
	}
	for _, c := range l.Columns {
		if c.check() != nil {
			return nil
		}
	}
	return l
}

// filledIn is the frame of a sheet that was filled in, its columns marked as the sheet had
// them. A column that is no longer there is passed over, and so is a level that nothing has.
func (l *sheetLook) filledIn(ctx context.Context, f *Frame) (*Frame, error) {
	for _, c := range l.Columns {
		now, ok := f.Column(c.Name)
		if !ok {
			continue
		}
		var err error
		if kind, _ := kindCalled(c.Kind); kind != now.Kind && kind != Number {
			if f, _, err = f.SetKind(ctx, c.Name, kind); err != nil {
				return nil, err
			}
		}
		if f, err = f.SetRole(c.Name, c.Role); err != nil {
			return nil, err
		}
		if now, _ = f.Column(c.Name); now.Kind != Category {
			continue
		}
		order := slices.DeleteFunc(slices.Clone(c.Levels), func(level string) bool { return !slices.Contains(now.Levels, level) })
		if f, err = f.SetLevels(c.Name, order); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// headerUnderNotes is the line under the notes at the top of a sheet, which may have been put
// in quotation marks since; 0 where it has none. A sheet not yet filled in holds too little
// for its header to be told from a note with as many commas.
func headerUnderNotes(data []byte) int {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	notes := 0
	for line := range bytes.Lines(data) {
		if !bytes.HasPrefix(line, []byte("#")) && !bytes.HasPrefix(line, []byte(`"#`)) {
			break
		}
		notes++
	}
	if notes == 0 {
		return 0
	}
	return notes + 1
}

// read reads a sheet's CSV as Read does, and marks its columns.
func (l *sheetLook) read(ctx context.Context, path string, text, data []byte, o Overrides) (*Frame, *Reading, error) {
	if o.HeaderRow == 0 {
		o.HeaderRow = headerUnderNotes(data)
	}
	f, r, err := Read(ctx, path, data, o)
	if err != nil {
		return nil, nil, err
	}
	if f, err = l.filledIn(ctx, f); err != nil {
		return nil, nil, err
	}
	r.Look = filepath.Base(LookPath(path))
	r.Remarks = slices.DeleteFunc(r.Remarks, func(m Remark) bool { return m.Code == "preamble" }) // its own notes
	used, err := sourceOf(ctx, LookPath(path), text)
	if err != nil {
		return nil, nil, err
	}
	f = f.Using(UsedFile{used, f.Len()})
	f.understood = r
	return f, r, nil
}
