package reading

import (
	"context"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// remarkWords are what a column of remarks is called, in which rows without any are nothing odd.
var remarkWords = []string{"remark", "remarks", "note", "notes", "comment", "comments", "observation", "observations",
	"bemerkung", "bemerkungen", "anmerkung", "anmerkungen", "notiz", "notizen", "opmerking", "opmerkingen"}

// fewestInBlocks is how many rows a table has at least in which blocks are looked for.
const fewestInBlocks = 6

// blockStarts says which columns of words are filled in the first row of each block of rows alone, as merged cells
// of a sheet come out of it. How a specimen failed is its own, and what has no header or says that there is no
// value is none of that.
func (t *table) blockStarts(ctx context.Context) (remarks []frames.Remark) {
	if len(t.rows.lines) < fewestInBlocks {
		return nil
	}
	for _, c := range t.rows.columns {
		if c.mode == numbers || c.Role == frames.Failure || notation.Trim(c.Header) == "" && t.rows.headless == 0 ||
			len(c.absences) > 0 || c.undecoded.count > 0 || notation.Says(c.Name, remarkWords) {
			continue
		}
		starts := c.startsOfBlocks(ctx, len(t.rows.lines))
		if len(starts) == 0 {
			continue
		}
		r := frames.Remark{Code: "block-starts", Column: c.Name, Line: t.line(0), Count: len(starts)}
		for _, row := range starts[:min(len(starts), mostStrays)] {
			r.Cells = append(r.Cells, frames.CellAt{Line: t.line(row), Word: Shortened(c.textAt(row))})
		}
		r.Word = r.Cells[0].Word
		remarks = append(remarks, r)
	}
	return remarks
}

// startsOfBlocks are the rows of a column that hold anything, where the first row is one, none stands below another,
// and each holds another word or all blocks are as long, the last at most; nil otherwise.
func (c *columnReader) startsOfBlocks(ctx context.Context, rows int) []int {
	var starts []int
	met := map[string]bool{}
	for row := range rows {
		parallel.LookAt(ctx, row)
		if c.textMissing(row) {
			if row == 0 {
				return nil
			}
			continue
		}
		if n := len(starts); n > 0 && row == starts[n-1]+1 {
			return nil
		}
		starts = append(starts, row)
		met[c.textAt(row)] = true
	}
	n := len(starts)
	if n < 2 || starts[n-1] == rows-1 {
		return nil
	}
	alike := rows-starts[n-1] <= starts[1]
	for i := 1; i < n && alike; i++ {
		alike = starts[i] == i*starts[1]
	}
	if !alike && len(met) < n {
		return nil
	}
	return starts
}

// textAt is a cell of a column of words that is not missing.
func (c *columnReader) textAt(row int) string {
	if c.mode == words {
		return c.list[c.codes[row]]
	}
	return c.texts[row]
}
