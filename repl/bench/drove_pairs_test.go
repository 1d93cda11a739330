package bench

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Two levels of many specimens differ clearly, and by less than is worth having; the third, of few, by as much
// or more. The factor differs, and the larger difference is the one told.
func TestDroveAnswersForEveryPair(t *testing.T) {
	var b strings.Builder
	b.WriteString("specimen,pins,load (N)\n")
	i := 0
	for _, level := range []struct {
		name string
		n    int
		mean float64
	}{{"none", 60, 400}, {"single", 60, 420}, {"pair", 4, 448}} {
		for j := range level.n {
			i++
			fmt.Fprintf(&b, "S%03d,%s,%g\n", i, level.name, level.mean+[4]float64{-25, -10, 10, 25}[j%4])
		}
	}
	_, e := startedSession(t, b.String(), "compare load by pins worth 40 N")
	if got := answerOf(e, "single"); got != verdict.DiffersLessThanWorth.Key() {
		t.Fatalf("none and single: %s", got)
	}
	_, e = startedSession(t, b.String(), "what drove load worth 40 N")
	if got := textOf(e.Tables[0], "pins", "answer"); got != verdict.Differs.Key() {
		t.Errorf("pins: %s", got)
	}
	if size := shareOf(e, "pins", "size"); !near(size, 48) {
		t.Errorf("a difference of %g is told, want 48", size)
	}
	for _, part := range e.Findings[1] {
		if v, ok := part.(page.Verdict); ok && v.Words != verdict.Differs.Key() {
			t.Errorf("the finding says %s", v.Words)
		}
	}
}
