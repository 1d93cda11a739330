package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/cmd/measure/held"
)

// measured is a page of figures that a subcommand wrote, line by line.
func measured(t *testing.T, name string) []string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "measured", name))
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(text), "\n")
}

// lineOf is the line of a page that begins with the cells, in columns two blanks apart.
func lineOf(t *testing.T, lines []string, cells ...string) string {
	t.Helper()
	for _, line := range lines {
		rest, all := strings.TrimSpace(line), true
		for _, c := range cells {
			after, found := strings.CutPrefix(rest, c)
			all = all && found && (after == "" || strings.HasPrefix(after, "  "))
			rest = strings.TrimSpace(after)
		}
		if all {
			return rest
		}
	}
	t.Errorf("no line of %q", cells)
	return ""
}

// The kept table of coverage is what the command prints today: a line of each kind of cell that
// is quick is counted again.
func TestKeptCoverage(t *testing.T) {
	counts(t)
	lines := measured(t, "coverage.txt")
	for i, c := range held.Cells() {
		kept := lineOf(t, lines, c.Method, c.Series)
		if i != 0 && i != 3 && c.Method != "Welch, two levels" && c.Method != "odds, profile" {
			continue
		}
		const runs = 20_000
		hits, err := c.Hits(t.Context(), 1+uint64(i)<<32, runs)
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("%.2f %%", 100*(float64(hits)/runs)); !strings.Contains(kept, want) {
			t.Errorf("%s, %s: kept %q, counted %s", c.Method, c.Series, kept, want)
		}
	}
}

// counts begins a test that counts over many series. Under -short, where the race detector looks on, nothing is
// counted: a race shows in a few commands as well as in many, and those run in repl/bench.
func counts(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a count over many series, made without -short")
	}
}

// The kept digits are those that come out today, for the sets whose answers are published.
func TestKeptDigits(t *testing.T) {
	lines := measured(t, "digits.txt")
	problems, err := allProblems(filepath.Join("..", "..", "testdata", "published", "nist"))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		if p.Exact {
			continue // its answers come from the script
		}
		got, err := p.solve(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if kept, now := lineOf(t, lines, p.Name), p.worst(got); kept != now && !strings.HasPrefix(kept, now+" ") {
			t.Errorf("%s: kept %q, now %q", p.Name, kept, now)
		}
	}
}
