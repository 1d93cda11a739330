package reading

import (
	"fmt"
	"strings"
	"testing"
)

// TestColumnsFilledAtTheStartOfBlocks: every expectation is typed by hand from looking at the cells.
func TestColumnsFilledAtTheStartOfBlocks(t *testing.T) {
	for _, c := range []struct{ name, header, cells, want string }{
		{"three blocks of four", "glue", "PU... PVA... EP...", "2 PU 3 [{2 PU} {6 PVA} {10 EP}]"},
		{"the same words again", "glue", "PU.. PVA.. PU.. PVA..", "2 PU 4 [{2 PU} {5 PVA} {8 PU} {11 PVA}]"},
		{"uneven blocks", "glue", "PU... PVA.... EP..", "2 PU 3 [{2 PU} {6 PVA} {11 EP}]"},
		{"the last unfinished", "glue", "PU... PVA... PU..", "2 PU 3 [{2 PU} {6 PVA} {10 PU}]"},
		{"many", "glue", "A. B. C. D. E. F. G.", "2 A 7 [{2 A} {4 B} {6 C} {8 D} {10 E}]"},
		{"a word of uneven blocks again", "glue", "PU... PVA.... PU..", ""},
		{"nothing in the first row", "glue", ".PU.. PVA... EP...", ""},
		{"two below one another", "glue", "PU... PVA EP... PU...", ""},
		{"all filled", "glue", "A B C D E F", ""},
		{"the last row filled", "glue", "A.. B.. C", ""},
		{"one block", "glue", "PU.......", ""},
		{"too few rows", "glue", "A. B.", ""},
		{"remarks", "remark", "knot... gap... split...", ""},
		{"how they failed", "failure", "glue... wood... pins...", ""},
		{"numbers", "moisture", "12... 13... 11...", ""},
		{"without a header", "", "knot... gap... split...", ""},
		{"said to be without a value", "glue", "PU. - . PVA... EP...", ""},
	} {
		rows := strings.Fields(strings.ReplaceAll(c.cells, ".", " . "))
		for i, cell := range rows {
			rows[i] = strings.TrimPrefix(cell, ".")
		}
		data := numbered("specimen,"+c.header+",load", len(rows), func(i int) string {
			return fmt.Sprintf("s%d,%s,%d", i, rows[i], 900+i)
		})
		_, r, err := Read(t.Context(), "x.csv", data, Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, m := range r.Remarks {
			if m.Code == "block-starts" {
				got += fmt.Sprintf("%d %s %d %v", m.Line, m.Word, m.Count, m.Cells)
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q\n%s", c.name, got, c.want, data)
		}
	}
}
