package workbook

import (
	"context"
	"slices"
	"sort"
	"strings"

	"breakbook/frames/cells"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Rows is how many rows hold anything.
func (t *Table) Rows() int { return len(t.rows) }

// Bytes is how long the texts of the cells are.
func (t *Table) Bytes() int { return t.bytes }

// LastRow is the number of the last row that holds anything; 0 in an empty sheet.
func (t *Table) LastRow() int {
	if len(t.rows) == 0 {
		return 0
	}
	return int(t.rows[len(t.rows)-1])
}

// Texts hands on each cell that is text in the sheet, with its row. It looks at ctx.
func (t *Table) Texts(ctx context.Context, each func(cell string, row int)) {
	start := 0
	for i, end := range t.ends {
		parallel.LookAt(ctx, i)
		for ; start < end; start++ {
			if t.kinds[start] == text {
				each(t.cells[start], int(t.rows[i]))
			}
		}
	}
}

// WithComma writes the numbers with a decimal comma, as texts beside them do.
func (t *Table) WithComma() {
	for i, k := range t.kinds {
		if k == number {
			t.cells[i] = strings.Replace(t.cells[i], ".", ",", 1)
		}
	}
}

// rising tells numbers each of which is larger than the one before.
func rising[N uint16 | int32](numbers []N) bool {
	for i := 1; i < len(numbers); i++ {
		if numbers[i] <= numbers[i-1] {
			return false
		}
	}
	return true
}

// order puts the cells of the row from a place on into the order of their columns; of two in
// one place the last counts.
func (t *Table) order(from int) {
	columns := t.columns[from:]
	if rising(columns) {
		return
	}
	row := lists.Made(len(columns), func(i int) int { return from + i })
	sort.SliceStable(row, func(i, j int) bool { return t.columns[row[i]] < t.columns[row[j]] })
	var cells []string
	var places []uint16
	var kinds []kind
	for i, at := range row {
		if i+1 < len(row) && t.columns[row[i+1]] == t.columns[at] {
			continue
		}
		cells, places, kinds = append(cells, t.cells[at]), append(places, t.columns[at]), append(kinds, t.kinds[at])
	}
	t.cells, t.columns = append(t.cells[:from], cells...), append(t.columns[:from], places...)
	t.kinds = append(t.kinds[:from], kinds...)
}

// sort puts rows that a damaged sheet holds out of order into order; of two with one number
// the last counts.
func (t *Table) sort() {
	rows := lists.Indices(len(t.rows))
	sort.SliceStable(rows, func(i, j int) bool { return t.rows[rows[i]] < t.rows[rows[j]] })
	next := &Table{}
	for i, at := range rows {
		if i+1 < len(rows) && t.rows[rows[i+1]] == t.rows[at] {
			continue
		}
		start, end := t.extent(at)
		next.cells = append(next.cells, t.cells[start:end]...)
		next.columns = append(next.columns, t.columns[start:end]...)
		next.kinds = append(next.kinds, t.kinds[start:end]...)
		next.ends, next.rows = append(next.ends, len(next.cells)), append(next.rows, t.rows[at])
	}
	t.cells, t.columns, t.kinds, t.ends, t.rows = next.cells, next.columns, next.kinds, next.ends, next.rows
	slices.Sort(t.Hidden.Rows)
}

// extent is where the cells of a row stand.
func (t *Table) extent(row int) (start, end int) {
	if row > 0 {
		start = t.ends[row-1]
	}
	return start, t.ends[row]
}

// Cutter hands on the rows of a table as records, from a row of the sheet on. A record ends
// with the last cell that holds anything.
type Cutter struct {
	t         *Table
	next, end int
}

// Between is a cutter for the rows of the sheet from one to another, that included.
func (t *Table) Between(first, last int) *Cutter {
	at, _ := slices.BinarySearch(t.rows, int32(min(first, mostRows+1)))
	end, _ := slices.BinarySearch(t.rows, int32(min(last+1, mostRows+1)))
	return &Cutter{t, at, end}
}

// Holds tells whether anything stands in a row of the sheet.
func (t *Table) Holds(row int) bool {
	_, found := slices.BinarySearch(t.rows, int32(min(row, mostRows+1)))
	return found
}

// A batch has about so many cells.
const batchCells = 4096

// Cut adds the next rows to a batch, at least one where there is one, and tells whether there
// are more. The line of a record is its row in the sheet.
func (c *Cutter) Cut(b *cells.Batch) (more bool, err error) {
	for most := len(b.Cells) + batchCells; c.next < c.end && len(b.Cells) < most; c.next++ {
		begin := len(b.Cells)
		start, end := c.t.extent(c.next)
		for ; start < end; start++ {
			for len(b.Cells)-begin < int(c.t.columns[start]) {
				b.Cells = append(b.Cells, "")
			}
			b.Cells = append(b.Cells, c.t.cells[start])
		}
		row := int(c.t.rows[c.next])
		b.Ends, b.Lines, b.Nexts = append(b.Ends, len(b.Cells)), append(b.Lines, row), append(b.Nexts, row+1)
	}
	return c.next < c.end, nil
}

// columnOf is the column of a cell's place, from 0: B7 is 1.
func columnOf(place string) (int, bool) {
	n := 0
	for i := range len(place) {
		c := place[i] &^ 0x20
		if c < 'A' || c > 'Z' {
			return n - 1, n > 0
		}
		if n = n*26 + int(c-'A') + 1; n > 1<<20 {
			return 0, false
		}
	}
	return n - 1, n > 0
}

// Letters are what a sheet calls a column, counted from 0: 27 is AB.
func Letters(column int) string {
	var out []byte
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		out = append(out, byte('A'+(n-1)%26))
	}
	slices.Reverse(out)
	return string(out)
}

// areaOf reads B2:C4.
func areaOf(ref string) (Area, bool) {
	from, to, ok := strings.Cut(ref, ":")
	if !ok {
		return Area{}, false
	}
	var a Area
	var ok1, ok2, ok3, ok4 bool
	a.FirstColumn, ok1 = columnOf(from)
	a.LastColumn, ok2 = columnOf(to)
	a.FirstRow, ok3 = rowOf(from)
	a.LastRow, ok4 = rowOf(to)
	return a, ok1 && ok2 && ok3 && ok4
}

// rowOf is the row of a cell's place: B7 is 7.
func rowOf(place string) (int, bool) {
	n := 0
	for _, c := range strings.TrimLeft(place, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
		if c < '0' || c > '9' || n > mostRows {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, n > 0
}
