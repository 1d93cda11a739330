package bench

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// TestEachOfIsTheCommandOnceALevel types the example of every command that takes the
// clause, whole and a level at a time: what stands in the one entry is what the single
// ones have.
func TestEachOfIsTheCommandOnceALevel(t *testing.T) {
	for _, e := range entriesFrom(1) {
		if !slices.Contains(e.Clauses, phrase.Each) {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			start := b.s
			whole := b.run(e.Example + " each of place")
			after := b.s
			var single []page.Entry
			for _, level := range []string{"shed", "store"} {
				b.s = start
				single = append(single, b.run(e.Example+" for place is "+level))
			}
			if whole.Kind != e.Kind || whole.Tables[0].ID != "each" || len(whole.Tables[0].Rows) != 2 ||
				len(whole.Values) != 0 {
				t.Fatalf("%s: kind %q, first table %q with %d rows", e.Example, whole.Kind, whole.Tables[0].ID,
					len(whole.Tables[0].Rows))
			}
			if got, want := whole.Specimens.Used, single[0].Specimens.Used+single[1].Specimens.Used; got != want {
				t.Errorf("%d specimens used, want %d", got, want)
			}
			findings := whole.Findings
			for i, level := range []string{"shed", "store"} {
				for _, f := range single[i].Findings {
					want := append(page.Say("place "+level+": "), ofLevel("place "+level, f)...)
					if len(findings) == 0 || !reflect.DeepEqual(findings[0], want) {
						t.Errorf("%s: the findings of %s are not those of the level alone", e.Example, level)
					}
					findings = findings[min(1, len(findings)):]
				}
				for _, table := range single[i].Tables {
					checkRows(t, whole.Tables, table, level)
				}
			}
			if e.Result != "" && len(after.Results()) != len(start.Results())+2 {
				t.Errorf("%d results, want two more than %d", len(after.Results()), len(start.Results()))
			}
			b.s = after
			if b.run("undo"); !reflect.DeepEqual(state(start), state(b.s)) {
				t.Errorf("undo of %s each of place leaves another session than there was", e.Example)
			}
		})
	}
}

// ofLevel is a finding with the level in the name of each of its answers.
func ofLevel(level string, f page.Sentence) page.Sentence {
	var out page.Sentence
	for _, part := range f {
		if v, ok := part.(page.Verdict); ok && v.Of != "" {
			v.Of = level + ", " + v.Of
			part = v
		}
		out = append(out, part)
	}
	return out
}

// checkRows looks for the rows of a level's own table among those that name the level.
func checkRows(t *testing.T, gathered []page.Table, own page.Table, level string) {
	t.Helper()
	var rows [][]page.Cell
	for _, g := range gathered {
		if g.ID != own.ID {
			continue
		}
		for _, row := range g.Rows {
			if row[0].Text == level {
				rows = append(rows, row[1:])
			}
		}
	}
	if !reflect.DeepEqual(rows, own.Rows) {
		t.Errorf("table %s of %s has the rows %v, want %v", own.ID, level, rows, own.Rows)
	}
}

func TestEachOfNamesWhatFails(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	e := b.run("fit load on density for place is shed or density > 725 each of place")
	if !slices.ContainsFunc(e.Cautions, func(s page.Sentence) bool {
		return strings.HasPrefix(wordsOf(s), "place store is left out: ")
	}) {
		t.Errorf("no caution names the level: %v", e.Cautions)
	}
	_, err := b.try("fit load on density for density > 740 each of place")
	if p, ok := err.(*page.Problem); !ok || p.Code != "too-few-specimens" && p.Code != "no-freedom-left" &&
		p.Code != "nothing-varies" {
		t.Errorf("a command that fails for every level gives %v", err)
	}
	if _, err = b.try("average load by pins for density > 9000 each of place"); err == nil ||
		err.(*page.Problem).Code != "no-specimens" {
		t.Errorf("nobody left gives %v", err)
	}
}

// A level whose plain name is that of another, or that has none, still gets a result of
// its own name.
func TestResultsOfEachLevelAreNamedApart(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", `work out sort = "A b" if place is shed, otherwise "a-b"`)
	e := b.run("fit load on density as mine each of sort")
	var names []string
	for _, row := range e.Tables[0].Rows {
		names = append(names, row[1].Text)
	}
	if want := []string{"mine_a_b", "mine_2"}; !slices.Equal(names, want) {
		t.Errorf("names %v, want %v", names, want)
	}
}

// Titles that differ between the levels stand in the note: after what it says, and alone where it says nothing.
func TestTitlesOfLevelsStandInTheNote(t *testing.T) {
	for _, c := range []struct {
		note page.Sentence
		want page.Sentence
	}{
		{page.Say("in kgf"), page.Say("in kgf", "; ", "oak: ", "with none", "; ", "larch: ", "with pair")},
		{nil, page.Say("oak: ", "with none", "; ", "larch: ", "with pair")},
	} {
		var turns []turn
		for _, one := range [][2]string{{"oak", "with none"}, {"larch", "with pair"}} {
			turns = append(turns, turn{one[0], page.Entry{Tables: []page.Table{{ID: "terms", Title: page.Say(one[1]),
				Columns: []page.Column{{ID: "term"}}, Rows: [][]page.Cell{{page.T("pins")}}, Note: c.note}}}})
		}
		got := gatherTables("species", turns)
		if len(got) != 1 || len(got[0].Rows) != 2 || !reflect.DeepEqual(got[0].Note, c.want) ||
			!reflect.DeepEqual(got[0].Title, page.Say("Each of species")) {
			t.Errorf("note %v: %+v, want the note %v", c.note, got, c.want)
		}
	}
}
