package bench

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// filled writes a sheet with results in those of its lines that are named, counted from 0.
func filled(t *testing.T, path string, sheet []byte, lines func(i int) bool) {
	t.Helper()
	rows := strings.Split(strings.TrimRight(string(sheet), "\n"), "\n")
	header := 0
	for strings.HasPrefix(rows[header], "#") {
		header++
	}
	for i := range rows[header+1:] {
		if lines(i) {
			at := header + 1 + i
			rows[at] = strings.TrimSuffix(rows[at], ",,") + "," + strconv.Itoa(300+7*i%50) + ",glue"
		}
	}
	if err := os.WriteFile(path, []byte(strings.Join(rows, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
}

func numberOf(e page.Entry, id string) float64 {
	for _, v := range e.Values {
		if v.ID == id {
			return v.Cell.Num
		}
	}
	return -1
}

// Lines of a sheet that are empty after the last one filled in are still to come; a few before it are specimens
// that spoiled, many of them a sheet that is filled in by another order. Neither those to come nor those in between
// are counted as missing, and what spoiled is.
func TestWhatOfASheetIsToCome(t *testing.T) {
	b := newBench(t)
	n := int(numberOf(b.run("open gates.csv", "plan load by place detecting 60 kgf spread 40 kgf"), "n"))
	e := b.run("sheet of plan1 to s.csv")
	sheet, look := e.Asks[0].Content, e.Asks[1].Content
	for name, c := range map[string]struct {
		lines                   func(i int) bool
		broken, spoiled, toCome int
		said                    string
	}{
		"none":     {func(int) bool { return false }, 0, 0, n, "still to come"},
		"ahead":    {func(i int) bool { return i < 7 }, 7, 0, n - 7, "still to come"},
		"one":      {func(i int) bool { return i < 9 && i != 3 }, 8, 1, n - 9, " spoiled (its line is empty);"},
		"all":      {func(int) bool { return true }, n, 0, 0, ""},
		"finished": {func(i int) bool { return i != 2 }, n - 1, 1, 0, " spoiled (its line is empty)."},
		"apart":    {func(i int) bool { return i%2 == 1 }, n / 2, 0, n - n/2, "still to come"},
	} {
		filled(t, name+".csv", sheet, c.lines)
		if err := os.WriteFile(name+".look.json", look, 0o600); err != nil {
			t.Fatal(err)
		}
		e := b.run("open " + name + ".csv as " + name + "_sheet")
		for id, want := range map[string]int{"broken": c.broken, "spoiled": c.spoiled, "to_come": c.toCome,
			"planned": n} {
			if got := numberOf(e, id); got != float64(want) {
				t.Errorf("%s: %s is %g, not %d", name, id, got, want)
			}
		}
		if said := words(e.Findings); !strings.Contains(said, c.said) {
			t.Errorf("%s says %q", name, said)
		}
		if name == "none" {
			if _, err := b.try("average load by place"); err == nil {
				t.Error("an empty sheet has an average")
			}
			continue
		}
		if e := b.run("average load by place"); e.Specimens.Used != c.broken || e.Specimens.Missing != c.spoiled {
			t.Errorf("%s: %+v took part", name, e.Specimens)
		}
	}
}
