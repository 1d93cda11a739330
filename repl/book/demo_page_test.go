package book_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/repl"
	"breakbook/repl/book"
)

// ran carries out a call of the program in silence.
func ran(t *testing.T, args ...string) {
	t.Helper()
	nowhere, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer nowhere.Close()
	out := os.Stdout
	os.Stdout = nowhere
	status := repl.Main(args)
	os.Stdout = out
	if status != 0 {
		t.Fatalf("%q ends with status %d", args, status)
	}
}

// The demo's own report, and that of the everyday question on its series, with what the user concludes from it, have
// their answer on the first screen.
func TestDemoReportsInABrowser(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	dir := t.TempDir()
	t.Chdir(dir)
	ran(t, "demo", "--out", "demo")
	book.LookedAt(t, filepath.Join(dir, "demo", "gates.html"), "demo")

	t.Chdir(filepath.Join(dir, "demo"))
	ran(t, "type", `open gates.csv; levels of pins are none, single, pair, offset; `+
		`set aside specimen G54 because "a knot"; `+
		`what drove load; draw load by pins to p.svg; draw load by pins to p.png; `+
		`conclude Pin the joints with a pair.; report asked.html titled "Corner joints" by "the shop"`)
	book.LookedAt(t, filepath.Join(dir, "demo", "asked.html"), "asked")
	text, err := os.ReadFile("asked.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<h1>Corner joints</h1>", "By the shop", "What drove break load: pins",
		"<figcaption>Figure 1. What drove break load: pins (", "111 kgf more than none",
		"1 set aside", "Pin the joints with a pair.", "a knot", "G54"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if n := strings.Count(string(text), "<figure "); n != 2 { // the second was drawn twice, in two formats
		t.Errorf("%d figures, want 2", n)
	}
}

// A book of a hundred entries, ten of them pictures, is a page of less than 600 kB.
func TestAHundredEntriesMakeASmallPage(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	t.Chdir(t.TempDir())
	ran(t, "demo", "--out", ".")
	lines := []string{"open gates.csv", "treat thickness as category", "levels of pins are none, single, pair, offset"}
	terms := []string{"density", "pins", "thickness", "place", "species"}
	for fit := 1; len(lines) < 99; fit++ {
		var on []string
		for i, term := range terms {
			if fit>>i&1 == 1 {
				on = append(on, term)
			}
		}
		if fit%32 == 0 {
			on = []string{"density", "pins"}
		}
		lines = append(lines, "fit load on "+strings.Join(on, ", "), fmt.Sprintf("anova of fit%d", fit))
		switch {
		case fit%3 == 0:
			lines = append(lines, fmt.Sprintf("draw effects of fit%d to f%d.svg", fit, fit))
		case fit%5 == 0:
			lines = append(lines, "note The joints of oak are the heavier ones, so that species and density go along.")
		default:
			lines = append(lines, fmt.Sprintf("check of fit%d", fit))
		}
	}
	lines = append(lines[:99], "report hundred.html")
	ran(t, "type", strings.Join(lines, "; "))
	page, err := os.ReadFile("hundred.html")
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(page), "<figure "); n < 10 {
		t.Errorf("%d figures, want ten at least", n)
	}
	if len(page) > 600_000 {
		t.Errorf("the page has %d bytes", len(page))
	}
}
