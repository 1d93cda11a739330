package bench

import (
	"errors"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// A plan that no workshop can make says so, while its figures keep the number; a sheet of it
// is refused before any line of it is made.
func TestAPlanBeyondAWorkshop(t *testing.T) {
	withoutShort(t)
	b := newBench(t)
	b.run("open gates.csv")
	e := b.run("plan load by pins detecting 10% using up 250000000 blanks")
	said := words(e.Findings)
	if !strings.Contains(said, "than a workshop can make") || strings.Contains(said, "62500000") ||
		strings.Contains(said, "250000000") {
		t.Errorf("the plan says %q", said)
	}
	if e.Values[0].ID != "n_per_level" || e.Values[0].Cell.Num != 62_500_000 {
		t.Errorf("n_per_level is %+v", e.Values[0])
	}
	_, err := b.try("sheet of plan1 to next.csv")
	var p *page.Problem
	if !errors.As(err, &p) || p.Code != "too-many-specimens" || p.At != 10 {
		t.Errorf("a sheet of it: %+v", p)
	}
	for _, line := range []string{"plan load by pins detecting 0.001%", "plan load by pins detecting 10% spread 90000%",
		"plan characteristic load within 0.01%",
		"plan failure is glue by pins from 20% to 20.01%"} {
		if _, err := b.try(line); err == nil || !strings.Contains(err.Error(), "more than a workshop can make") {
			t.Errorf("%s: %v", line, err)
		}
	}
	if said := words(b.run("plan load by pins detecting 10%").Findings); strings.Contains(said, "workshop") {
		t.Errorf("a plan that can be made says %q", said)
	}
}

// An empty book is not saved: neither at the start nor once all is undone.
func TestAnEmptyBookIsNotSaved(t *testing.T) {
	b := newBench(t)
	for range 2 {
		_, err := b.try("save book b.brk")
		var p *page.Problem
		if !errors.As(err, &p) || p.Code != "empty-book" || p.Hint == "" {
			t.Errorf("saving an empty book: %v", err)
		}
		b.run("open gates.csv", "undo")
	}
	b.run("open gates.csv", "save book b.brk")
}
