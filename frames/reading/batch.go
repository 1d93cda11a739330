package reading

import (
	"unicode/utf8"

	"breakbook/frames/cells"
	"breakbook/frames/notation"
)

// batch is some records, and which of them are specimens.
type batch struct {
	cells.Batch
	rows []row
}

// row is one specimen's cells: Cells[start:end] of its batch.
type row struct{ start, end, line int }

func (b *batch) reset() {
	b.Reset()
	b.rows = b.rows[:0]
}

// blank reports whether there is nothing in the cells from a place to another.
func (b *batch) blank(from, to int) bool {
	if len(b.Views) > 0 {
		return nothingIn(b.Views[from:to])
	}
	return nothingIn(b.Cells[from:to])
}

func nothingIn[T string | []byte](record []T) bool {
	for _, cell := range record {
		switch {
		case len(cell) == 0:
		case cell[0] > ' ' && cell[0] < utf8.RuneSelf, notation.Trim(string(cell)) != "":
			return false
		}
	}
	return true
}
