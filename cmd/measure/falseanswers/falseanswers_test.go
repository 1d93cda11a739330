package falseanswers

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// An answer is false by the truth of its series, and counted unless it stands in doubt.
func TestCountFalse(t *testing.T) {
	finding := func(words, of, doubt string) page.Entry {
		return page.Entry{Findings: []page.Sentence{page.Say("so ", page.Verdict{Words: words, Of: of, Doubt: doubt})}}
	}
	cell := func(second, words, doubt string) page.Entry {
		return page.Entry{Tables: []page.Table{{Columns: []page.Column{{ID: "first"}, {ID: "second"}, {ID: "answer"}},
			Rows: [][]page.Cell{{page.T("none"), page.T(second), {Text: words, Doubt: doubt}}}}}}
	}
	differs, none, less := verdict.Differs.Key(), verdict.NoDifferenceWorth.Key(), verdict.DiffersLessThanWorth.Key()
	for _, c := range []struct {
		about string
		entry page.Entry
		truth float64
		want  Count
	}{
		{"differs where nothing does", finding(differs, "pins: none, pair", ""), 0, Count{Differs: 1}},
		{"the same in doubt", finding(differs, "pins: none, pair", "density"), 0, Count{}},
		{"about another column", finding(differs, "density", ""), 0, Count{}},
		{"about the figure's other level", finding(differs, "pins: 400 N, none", ""), 0, Count{}},
		{"differs where it does", finding(differs, "pins: none, pair", ""), worth, Count{}},
		{"none where there is one", finding(none, "", ""), worth, Count{None: 1}},
		{"less than worth, nothing", finding(less, "pins", ""), 0, Count{Differs: 1}},
		{"less than worth, worth having", finding(less, "pins", ""), worth, Count{None: 1}},
		{"cannot tell", finding(verdict.CannotTell.Key(), "pins", ""), worth, Count{}},
		{"a table", cell("pair", "same", ""), 2 * worth, Count{None: 1}},
		{"a table in doubt", cell("pair", "different", "board"), 0, Count{}},
		{"a table, different", cell("pair", "different", ""), 0, Count{Differs: 1}},
		{"a remedy", page.Entry{Findings: []page.Sentence{
			page.Say("so ", page.Verdict{Words: none, Of: "pins", Doubt: "x"}),
			append(page.Say("In doubt: "), page.Verdict{Words: differs})}}, 0, Count{}},
	} {
		if got, err := countFalse(c.entry, c.truth, command{silent: true}); err != nil || got != c.want {
			t.Errorf("%s: %+v (%v), want %+v", c.about, got, err, c.want)
		}
	}
	if _, err := countFalse(cell("single", differs, ""), 0, command{}); err == nil {
		t.Error("no answer about the pair is not missed")
	}
}

// What is invented has the truth and the layout that the table speaks of.
func TestSeries(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, l := range layouts {
		lines := strings.Split(strings.TrimSpace(clean(l, 20, worth, ofLoad, r)), "\n")
		pairs := strings.Count(strings.Join(lines, "\n"), ",pair,")
		if want := map[bool]int{false: 10, true: 5}[l.uneven]; len(lines) != 21 || pairs != want {
			t.Errorf("%s: %d lines, %d pairs", l.name, len(lines), pairs)
		}
		if strings.Contains(lines[0], "board") != l.boards {
			t.Errorf("%s: %s", l.name, lines[0])
		}
	}
	header, rows := dressed([]string{"specimen", "pins", "load (N)"},
		[][]string{{"A01", "none", "300"}, {"A02", "pair", "4000"}, {"A01", "none", "300"}}, ofStrength, r)
	if strings.Join(header, ",") != "specimen,pins,failure,load (N)" || rows[0][3] != rows[2][3] ||
		rows[1][3] != "4000" {
		t.Errorf("%v %v", header, rows)
	}
}

// One command tells a false answer each time, and the others none: the table says so of every cell.
func TestMeasurePrintsShares(t *testing.T) {
	ask := func(_ context.Context, csv, lines string) (page.Entry, error) {
		words := verdict.CannotTell.Key()
		if strings.HasPrefix(lines, "same") {
			words = "different"
		}
		return page.Entry{Findings: []page.Sentence{page.Say("so ", page.Verdict{Words: words})}}, nil
	}
	var out strings.Builder
	planted := []Fault{{"planted", func(n int, r *rand.Rand) Series {
		return Series{Header: []string{"specimen", "pins", "load (N)"}, Rows: [][]string{{"A01", "none", "400"}}}
	}}}
	if err := Measure(t.Context(), &out, ask, planted, 4, 1, "", ""); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(out.String(), "\n")
	for _, line := range lines {
		cells := strings.Fields(line)
		switch {
		case strings.HasPrefix(line, "same") && len(cells) == 8:
			if strings.Join(cells[2:], " ") != "100.0% 0.0% 100.0% 0.0% 100.0% 0.0%" {
				t.Error(line)
			}
		case strings.HasPrefix(line, "same"):
			if strings.Join(cells[1:], " ") != "100.0 100.0" {
				t.Error(line)
			}
		case strings.HasPrefix(line, "average") && strings.Contains(line, "100"):
			t.Error(line)
		}
	}
	if !strings.Contains(out.String(), "\n  1 planted\n") {
		t.Error(out.String())
	}
}
