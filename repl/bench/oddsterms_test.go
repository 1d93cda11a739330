package bench

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// A term that only repeats another adds nothing, wherever it stands: its row is blank and
// those of the others are what they are without it.
func TestOddsOfARepeatedTerm(t *testing.T) {
	const joints = "load (N),pins,twin,density (kg/m3),failure\n400,none,a,600,glue\n" +
		"410,none,a,640,wood\n420,none,a,655,glue\n" +
		"430,none,a,610,glue\n435,none,a,660,wood\n500,pair,b,615,wood\n" +
		"510,pair,b,605,glue\n505,pair,b,650,wood\n515,pair,b,625,wood\n"
	terms := func(line string) map[string][]page.Cell {
		_, e := startedSession(t, joints, "mark failure as failure", line)
		rows := map[string][]page.Cell{}
		for _, table := range e.Tables {
			if table.ID == "terms" {
				for _, r := range table.Rows {
					rows[r[0].Text] = r[1:]
				}
			}
		}
		return rows
	}
	want := terms("odds failure is glue on pins, density")
	got := terms("odds failure is glue on pins, twin, density")
	if len(want) != 3 || len(got) != 4 {
		t.Fatalf("%d and %d rows: %v, %v", len(want), len(got), want, got)
	}
	blank := 0
	for name, row := range got {
		other, both := want[name]
		for i, c := range row {
			switch {
			case !both && c.Kind == page.Number:
				t.Errorf("%s: column %d holds %v", name, i+2, c.Num)
			case both && (c.Kind != other[i].Kind || !(math.Abs(c.Num-other[i].Num) <= 1e-6*math.Abs(other[i].Num))):
				t.Errorf("%s: column %d is %.10g, %.10g without the twin", name, i+2, c.Num, other[i].Num)
			}
		}
		if !both {
			blank++
		}
	}
	if blank != 1 {
		t.Errorf("%d rows are new: %v", blank, got)
	}
}

func TestOddsNeedBothEndings(t *testing.T) {
	const joints = "load (N),pins,failure\n400,none,glue\n410,none,glue\n420,pair,glue\n" +
		"430,pair,wood\n440,none,wood\n450,pair,wood\n"
	for condition, want := range map[string]string{
		"load < 425 N": "all of these specimens broke so",
		"load > 425 N": "none of these specimens broke so",
	} {
		b := newBench(t)
		if err := os.WriteFile("ways.csv", []byte(joints), 0o600); err != nil {
			t.Fatal(err)
		}
		b.run("open ways.csv", "mark failure as failure")
		_, err := b.try("odds failure is glue on pins for " + condition)
		var p *page.Problem
		if !errors.As(err, &p) || p.Code != "one-mode" || !strings.HasPrefix(p.Message, want) {
			t.Errorf("for %s: %v, want %q", condition, err, want)
		}
	}
}
