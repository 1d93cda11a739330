package book_test

import (
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
	ran(t, "type", `open gates.csv; levels of pins are none, single, pair, offset; set aside specimen G54 because "a knot"; `+
		`what drove load; draw load by pins to p.svg; draw load by pins to p.png; `+
		`conclude Pin the joints with a pair.; report asked.html titled "Corner joints" by "the shop"`)
	book.LookedAt(t, filepath.Join(dir, "demo", "asked.html"), "asked")
	text, err := os.ReadFile("asked.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<h1>Corner joints</h1>", "By the shop", "What drove break load: pins", "What drove break load: pins (", "111 kgf more than none",
		"1 set aside", "Pin the joints with a pair.", "a knot", "G54"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if n := strings.Count(string(text), "<figure "); n != 2 { // the second was drawn twice, in two formats
		t.Errorf("%d figures, want 2", n)
	}
}
