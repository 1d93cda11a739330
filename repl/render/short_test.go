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
