package bench

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// Joints that are strongest in the middle of a number's range hardly differ between its ends, and still the
// number drives the load: it is told by the two halves, and never as nothing worth having.
func TestDroveTellsABendByItsHalves(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	var b strings.Builder
	b.WriteString("specimen,pins,open_time (min),load (N)\n")
	for i := range 40 {
		x := float64(2 + i%20)
		load := 400 - 0.9*(x-11.5)*(x-11.5) + 12*r.NormFloat64()
		pins := [2]string{"none", "pair"}[r.IntN(2)]
		fmt.Fprintf(&b, "S%02d,%s,%g,%.1f\n", i+1, pins, x, load)
	}
	_, e := startedSession(t, b.String(), "what drove load worth 40 N")
	for row, want := range map[string]string{"open_time": "differs", "pins": "no difference worth having"} {
		if got := textOf(e.Tables[0], row, "answer"); got != want {
			t.Errorf("%s: %s, want %s", row, got, want)
		}
	}
	text := words(e.Findings)
	for _, want := range []string{" more (", " less (", "What drove load: open_time"} {
		if strings.Count(text, want) != 1 {
			t.Errorf("%q stands not once in:\n%s", want, text)
		}
	}
	if !strings.Contains(wordsOf(e.Tables[0].Note), "where it bends") {
		t.Errorf("the table's note says nothing of a bend: %s", wordsOf(e.Tables[0].Note))
	}
}

// textOf is the text of a cell of the row that begins with a name.
func textOf(table page.Table, row, column string) string {
	for i, c := range table.Columns {
		for _, cells := range table.Rows {
			if c.ID == column && cells[0].Text == row {
				return cells[i].Text
			}
		}
	}
	return ""
}
