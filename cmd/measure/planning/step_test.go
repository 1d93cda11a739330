package planning

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// The kept table is what the command prints today: the first series of some of its rows are counted again.
func TestKeptSteps(t *testing.T) {
	counts(t)
	text, err := os.ReadFile("../../../testdata/measured/planning_step.txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range changeCases() {
		if c.n != 20 || c.size < 1 || c.truth == "line" {
			continue
		}
		first, err := c.counted(t.Context(), 0, firstSeries, 1)
		if err != nil {
			t.Fatal(err)
		}
		row := c.row(first, first)
		begins := row[:len(fmt.Sprintf("%-6s %3s %-6s %5s", "", "", "", ""))]
		ends := row[strings.LastIndex(row, "  "):]
		found := false
		for _, line := range strings.Split(string(text), "\n") {
			found = found || strings.HasPrefix(line, begins) && strings.HasSuffix(line, ends)
		}
		if !found {
			t.Errorf("the kept table has no row %q that ends in %q", begins, ends)
		}
	}
}

// What is counted is the same for any order of the work.
func TestStepsAreCountedAlike(t *testing.T) {
	c := changeCases()[1]
	a, err := c.counted(t.Context(), 0, 6, 1)
	if err != nil {
		t.Fatal(err)
	}
	b, err := c.counted(t.Context(), 0, 3, 1)
	if err != nil {
		t.Fatal(err)
	}
	rest, err := c.counted(t.Context(), 3, 6, 1)
	if err != nil {
		t.Fatal(err)
	}
	if b.add(rest); a != b || a.series != 6 {
		t.Errorf("%+v and %+v", a, b)
	}
}
