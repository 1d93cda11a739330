package reading

import (
	"context"
	"strconv"
	"strings"

	"breakbook/frames"
)

// Filled says how far a sheet is filled in.
type Filled struct{ Results, Of int }

// FilledIn reports whether old, a CSV, is the sheet that s is, whatever was filled in: every
// specimen of s is in it, in any line, with what s says of it in the columns that s gives.
// Cells that s leaves empty may hold anything, and there may be more columns and more
// specimens. The numbers of blocks may have become other names, one each. It counts in how
// many of the specimens the column called result is filled in.
func FilledIn(ctx context.Context, s *frames.Written, old []byte, result string) (Filled, bool) {
	sheet := frames.ParseSheet(s.Look)
	if sheet == nil {
		return Filled{}, false
	}
	want, _, err := Read(ctx, "", s.CSV, Overrides{HeaderRow: headerUnderNotes(s.CSV)})
	if err != nil {
		return Filled{}, false
	}
	have, _, err := Read(ctx, "", old, Overrides{HeaderRow: headerUnderNotes(old)})
	if err != nil {
		return Filled{}, false
	}
	rows, ok := partners(sheet, want, have)
	if !ok {
		return Filled{}, false
	}
	for _, c := range sheet.Columns {
		if !sameGiven(want, have, rows, c) {
			return Filled{}, false
		}
	}
	f := Filled{Of: len(rows)}
	for _, row := range rows {
		if cell, ok := have.Cell(result, row); ok && strings.TrimSpace(cell) != "" {
			f.Results++
		}
	}
	return f, true
}

// partners are the rows of have, one for each row of want: that of the same specimen.
func partners(s *frames.Sheet, want, have *frames.Frame) ([]int, bool) {
	name := ""
	for _, c := range s.Columns {
		if c.Role == frames.Specimen {
			name = c.Name
		}
	}
	if _, ok := have.Column(name); !ok {
		return nil, false
	}
	where := map[string]int{}
	for row := range have.Len() {
		cell, _ := have.Cell(name, row)
		where[strings.TrimSpace(cell)] = row
	}
	rows := make([]int, want.Len())
	for row := range rows {
		cell, _ := want.Cell(name, row)
		at, ok := where[cell]
		if !ok || cell == "" {
			return nil, false
		}
		rows[row] = at
	}
	return rows, true
}

// sameGiven reports whether have says the same as want in one column, where want says
// anything.
func sameGiven(want, have *frames.Frame, rows []int, c frames.Column) bool {
	names := map[string]string{} // a block's name in have, by its name in want
	of := map[string]string{}
	for row, at := range rows {
		given, _ := want.Cell(c.Name, row)
		if given == "" {
			continue
		}
		now, ok := have.Cell(c.Name, at)
		if !ok {
			return false
		}
		now = strings.TrimSpace(now)
		if c.Role != frames.Block {
			if !sameCell(given, now) {
				return false
			}
			continue
		}
		if _, met := names[given]; !met {
			names[given] = now
		}
		if _, met := of[now]; !met {
			of[now] = given
		}
		if names[given] != now || of[now] != given {
			return false
		}
	}
	return true
}

// sameCell compares two cells as a spreadsheet may have rewritten one of them: 44 is 44.0
// and 44,0.
func sameCell(a, b string) bool {
	if strings.EqualFold(a, b) {
		return true
	}
	x, err := strconv.ParseFloat(strings.Replace(a, ",", ".", 1), 64)
	if err != nil {
		return false
	}
	y, err := strconv.ParseFloat(strings.Replace(b, ",", ".", 1), 64)
	return err == nil && x == y
}
