package render

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// A result without a table shows as many findings as have room, the first always, and counts the rest.
func TestShortWithoutATable(t *testing.T) {
	e := page.Entry{Number: 3, Name: "fit1", Input: "fit load on pins"}
	for i := range 40 {
		e.Find(page.Say(fmt.Sprintf("Finding %d.", i+1)))
	}
	lines := strings.Split(strings.TrimSuffix(screen(t, e, Options{Height: 12}), "\n"), "\n")
	if len(lines) > 12 || lines[0] != "Finding 1." || lines[1] != "" || lines[2] != "Finding 2." {
		t.Errorf("%d lines: %q", len(lines), lines)
	}
	shown := 0
	for _, l := range lines {
		if strings.HasPrefix(l, "Finding ") {
			shown++
		}
	}
	want := fmt.Sprintf("… %d more findings: show fit1", 40-shown)
	if !strings.Contains(strings.Join(lines, "\n"), want) {
		t.Errorf("%q is not in %q", want, lines)
	}
	if got := screen(t, page.Entry{Number: 3, Name: "fit1"}, Options{}); strings.Contains(got, "more") {
		t.Errorf("of an empty result: %q", got)
	}
}

// The table that one reads is the first with answers, or else the first.
func TestMainTable(t *testing.T) {
	plain, answered := page.Table{ID: "terms"}, page.Table{ID: "differences", Columns: []page.Column{{ID: "answer"}}}
	for _, c := range []struct {
		all  []page.Table
		want string
	}{
		{nil, ""}, {[]page.Table{plain}, "terms"}, {[]page.Table{plain, answered}, "differences"},
		{[]page.Table{answered, plain}, "differences"},
	} {
		if got, has := mainTable(c.all); got.ID != c.want || has != (c.want != "") {
			t.Errorf("of %d tables: %q", len(c.all), got.ID)
		}
	}
}

// The worst doubt of an answer stands straight after it, and the table gives it the room that it needs.
func TestShortTellsTheDoubt(t *testing.T) {
	e := page.Entry{Number: 3, Name: "compare1", Input: "compare load by pins", Doubts: []page.Doubt{{Code: "blocks"}},
		Tables: []page.Table{{ID: "differences", Columns: []page.Column{{ID: "first"}}, Rows: [][]page.Cell{
			{page.T("none")}, {page.T("pair")}, {page.T("one")}, {page.T("two")}}}}}
	e.Find(page.Say("It differs."), page.Say("In doubt: "+strings.Repeat("boards are alike ", 12)+"indeed."),
		page.Say("In doubt: the second."))
	got := screen(t, e, Options{Height: 12})
	if !strings.HasPrefix(got, "It differs.\n\nIn doubt: boards") ||
		!strings.Contains(got, "indeed.\n… 1 more finding: ") {
		t.Errorf("the doubt is not straight after the answer:\n%s", got)
	}
	e.Doubts = nil
	if got := screen(t, e, Options{Height: 12}); !strings.Contains(got, "It differs.\n… 2 more findings: ") {
		t.Errorf("of what is no doubt:\n%s", got)
	}
}
