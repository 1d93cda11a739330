package reading

import "breakbook/frames/cells"

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
