package reading

import (
	"bytes"
	"context"
	"path/filepath"
	"slices"

	"breakbook/frames"
)

// filledIn is the frame of a sheet that was filled in, its columns marked as the sheet had
// them. A column that is no longer there is passed over, and so is a level that nothing has.
func filledIn(ctx context.Context, s *frames.Sheet, f *frames.Frame) (*frames.Frame, error) {
	for _, c := range s.Columns {
		now, ok := f.Column(c.Name)
		if !ok {
			continue
		}
		var err error
		empty := c.Kind == frames.Number && f.Extent(ctx, c.Name).Missing == f.Len() // not filled in, so no kind shows
		if c.Kind != now.Kind && (empty || c.Kind != frames.Number) {
			if f, _, err = f.SetKind(ctx, c.Name, c.Kind); err != nil {
				return nil, err
			}
		}
		if f, err = f.SetRole(c.Name, c.Role); err != nil {
			return nil, err
		}
		if now, _ = f.Column(c.Name); now.Kind != frames.Category {
			continue
		}
		order := slices.DeleteFunc(slices.Clone(c.Levels), func(level string) bool {
			return !slices.Contains(now.Levels, level)
		})
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

// readSheet reads a sheet's CSV as Read does, and marks its columns.
func readSheet(ctx context.Context, s *frames.Sheet, path string, text, data []byte,
	o Overrides) (*frames.Frame, *frames.Reading, error) {
	if o.HeaderRow == 0 && !o.NoHeader {
		o.HeaderRow = headerUnderNotes(data)
	}
	f, r, err := Read(ctx, path, data, o)
	if err != nil {
		return nil, nil, err
	}
	if f, err = filledIn(ctx, s, f); err != nil {
		return nil, nil, err
	}
	r.Look, r.ToFill = filepath.Base(frames.LookPath(path)), true
	// what stands above the header are its own notes
	r.Remarks = slices.DeleteFunc(r.Remarks, func(m frames.Remark) bool { return m.Code == "preamble" })
	used := frames.SourceOf(ctx, frames.LookPath(path), text)
	return f.Using(used), r, nil
}
