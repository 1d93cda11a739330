package bench

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// rig is a file in which nearly everything has to be found out.
const rig = "Rig 7;;\nset up by;Kim;\n\nNr;Last;Tag\n;kN;\n1;1.234,5;03.04.2024\n2;-987,25;13.04.2024\n3;;03.04.2024\n"

// taken is the table of how a file was read, as what → taken.
func taken(t *testing.T, e page.Entry) map[string]string {
	t.Helper()
	for _, table := range e.Tables {
		if table.ID == "reading" {
			all := map[string]string{}
			for _, row := range table.Rows {
				all[row[0].Text] = row[1].Text
			}
			return all
		}
	}
	t.Fatal("look has no table of how the file was read")
	return nil
}

func TestLookSaysHowTheFileWasRead(t *testing.T) {
	b := newBench(t)
	if err := os.WriteFile("rig.csv", []byte(rig), 0o600); err != nil {
		t.Fatal(err)
	}
	if said := words(b.run("open rig.csv").Findings[:1]); !strings.HasPrefix(said, "rig.csv: ") ||
		!strings.Contains(said, "thousands parted by point") {
		t.Errorf("the first finding of open says %q", said)
	}
	e := b.run("look")
	for what, want := range map[string]string{"separator": "semicolon", "decimal mark": "comma",
		"thousands mark": "point", "encoding": "UTF-8",
		"header": "line 4", "units": "line 5", "missing": "empty cells", "dates": "day-month-year (tag)"} {
		if got := taken(t, e)[what]; got != want {
			t.Errorf("%s was taken for %q, want %q", what, got, want)
		}
	}
	for _, table := range e.Tables {
		if table.ID != "reading" {
			continue
		}
		_, line, _ := strings.Cut(words([]page.Sentence{table.Note}), "such as: ")
		if b.run(strings.TrimSpace(line)); b.s.Current() != "rig_2" {
			t.Errorf("the line %q opens %s", line, b.s.Current())
		}
	}
	if e := b.run("look nr"); len(e.Tables) != 1 {
		t.Errorf("look at one column shows %d tables", len(e.Tables))
	}
}

func TestEveryGuessOfOpenCanBeOverridden(t *testing.T) {
	b := newBench(t)
	if err := os.WriteFile("rig.csv", []byte(rig), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("plain.csv", []byte("a;b,c\n1,5;2 %\n05/06/2024;7,x\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ typed, what, want string }{
		{"open rig.csv thousands none as a", "thousands mark", "none"},
		{"open rig.csv decimal point as b", "decimal mark", "point"},
		{"open rig.csv header row 2 as c", "header", "line 2"},
		{"open rig.csv header row 4, units in row 5 as d", "units", "line 5"},
		{"open plain.csv header none as j", "header", "none"},
		{"open rig.csv encoding windows-1250 as e", "encoding", "windows-1250"},
		{"open rig.csv dates as month-day-year as f", "dates", "month-day-year (tag)"},
		{`open rig.csv missing is "-987,25" as g`, "missing", "empty cells, -987,25"},
		{"open plain.csv separated by comma as h", "separator", "comma"},
		{"open rig.csv separated by semicolon decimal comma thousands point encoding UTF-8 header row 4 units in row " +
			"5 missing is x dates as day-month-year as i", "separator", "semicolon"},
	} {
		b.run(c.typed)
		if got := taken(t, b.run("look"))[c.what]; got != c.want {
			t.Errorf("%s: %s is %q, want %q", c.typed, c.what, got, c.want)
		}
	}
}

func TestOverridesThatCannotBeAreRefusedAtTheirPlace(t *testing.T) {
	b := newBench(t)
	if err := os.WriteFile("rig.csv", []byte(rig), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		typed, code string
		at          int
	}{
		{"open rig.csv encoding latn1", "bad-override", 23},
		{"open rig.csv header row 40", "bad-override", 25},
		{"open rig.csv header row 3 header none", "bad-override", 25},
		{"open rig.csv header row 0", "expected-number", 25},
		{"open rig.csv units in row 3", "bad-override", 27},
		{"open rig.csv thousands comma decimal comma", "same-mark", 24},
		{"open rig.csv separated by comma decimal comma", "same-mark", 41},
	} {
		_, err := b.try(c.typed)
		var p *page.Problem
		if !errors.As(err, &p) || string(p.Code) != c.code || p.At != c.at {
			t.Errorf("%s: %+v; want %s at %d", c.typed, err, c.code, c.at)
		}
	}
	if len(b.s.SeriesNames()) != 0 {
		t.Errorf("%d series are open after refusals", len(b.s.SeriesNames()))
	}
}

// A date out of order is shown with two rows on either side, as far as there are any.
func TestADateOutOfOrderIsShownAmongItsNeighbours(t *testing.T) {
	days := []string{"2024-03-01", "2024-03-02", "2024-03-04", "2024-03-05", "2024-03-07", "2024-03-08", "2024-03-09",
		"2024-03-11", "2024-03-12", "2024-03-14"}
	for row, want := range map[int]string{4: "rows 2 to 6", 5: "rows 3 to 7", 9: "rows 7 to 10"} {
		var b strings.Builder
		b.WriteString("specimen,tested on,load (N)\n")
		for i, day := range days {
			if i+1 == row {
				day = "2019-07-21"
			}
			fmt.Fprintf(&b, "S%d,%s,%d\n", i+1, day, 400+i*7%13)
		}
		_, e := startedSession(t, b.String())
		cautions := ""
		for _, c := range e.Cautions {
			cautions += render.Sentence(c, render.Options{}) + "\n"
		}
		if !strings.Contains(cautions, "type: "+want+"\n") {
			t.Errorf("row %d: %q is not offered in:\n%s", row, want, cautions)
		}
	}
}

// Once the row of means is set aside, its name is no stray word among the numbers of the specimens any more; another
// word among them is still told, and so is one among the loads.
func TestWordsAmongNumbersThatSumsLeave(t *testing.T) {
	loads := []string{"101", "127", "153", "170", "166", "149", "118", "133"} // their mean is 139.625
	for _, c := range []struct {
		name, first, load string
		want              []string
	}{
		{"means", "1", "101", nil},
		{"named", "x1", "101", []string{"specimen would be numbers but for “x1”"}},
		{"slipped", "1", "slipped", []string{"Mean (line 10) is named like the mean of other rows, and counted as",
			"load would be numbers but for “slipped”"}},
	} {
		b := newBench(t)
		csv := "specimen,pins,load (N)\n" + c.first + ",none," + c.load + "\n"
		for i, l := range loads[1:] {
			csv += fmt.Sprintf("%d,%s,%s\n", i+2, []string{"pair", "none"}[i%2], l)
		}
		if err := os.WriteFile("sums.csv", []byte(csv+"mean,,139.625\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, caution := range b.run("open sums.csv").Cautions {
			if text := render.Sentence(caution, render.Options{}); strings.Contains(text, "would be numbers") ||
				strings.Contains(text, "named like") {
				got = append(got, text)
			}
		}
		same := len(got) == len(c.want)
		for i := range min(len(got), len(c.want)) {
			same = same && strings.HasPrefix(got[i], c.want[i])
		}
		if !same {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
