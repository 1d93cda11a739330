package repl

import (
	"bufio"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	shipped "breakbook/testdata/demo"
)

// mistyped is a line as somebody slips, and the one wanted; "-": none of ours is near.
type mistyped struct{ typed, wanted string }

func readMistyped(t testing.TB, path string) (before []string, list []mistyped) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		text := lines.Text()
		if line, ok := strings.CutPrefix(text, "#   "); ok {
			before = append(before, line)
		}
		if at := strings.LastIndex(text, " => "); at >= 0 && !strings.HasPrefix(text, "#") {
			list = append(list, mistyped{text[:at], text[at+len(" => "):]})
		}
	}
	return before, list
}

// atGates is a session on the demo's gates in a folder with its files, after some lines.
func atGates(t testing.TB, before []string) *harness {
	t.Helper()
	folder := t.TempDir()
	t.Chdir(folder)
	if err := fs.WalkDir(shipped.Files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := shipped.Files.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(folder, path), data, 0o600)
	}); err != nil {
		t.Fatal(err)
	}
	b := benchOf(t)
	b.files.folder = ""
	for _, line := range append([]string{"open gates.csv"}, before...) {
		if !b.feed(t.Context(), linesOf(strings.NewReader(line)), true, false) {
			t.Fatalf("%s: %s", line, b.err.String())
		}
	}
	return b
}

// meaning is a line in the one way that its command is written, and its first word.
func meaning(t testing.TB, b *harness, line string) (whole, command string) {
	t.Helper()
	c, err := parser.Parse(phrase.Piece{Text: line, At: 1}, b.session)
	if err != nil {
		t.Fatalf("%s is no command: %v", line, err)
	}
	return c.String(), c.Entry.Kind
}

// offers types a line and gives what is offered in its place.
func (b *harness) offers(t testing.TB, line string) string {
	t.Helper()
	entries := b.screen.entries
	b.screen.checking = true
	defer func() { b.screen.checking, b.screen.entries = false, entries }()
	if b.feed(t.Context(), linesOf(strings.NewReader(line)), true, false) {
		t.Errorf("%s works", line)
		return ""
	}
	var last page.Entry = b.screen.entries[len(b.screen.entries)-1]
	return phrase.Tried(last.Problem.Hint)
}

func TestMistypedLinesLeadToTheLineWanted(t *testing.T) {
	path, err := filepath.Abs("../testdata/mistyped.txt")
	if err != nil {
		t.Fatal(err)
	}
	before, list := readMistyped(t, path)
	b := atGates(t, before)
	right, wrong := 0, 0
	for _, m := range list {
		start := b.session
		got := b.offers(t, m.typed)
		want, kind := "", ""
		if m.wanted != "-" {
			want, kind = meaning(t, b, m.wanted)
		}
		b.loop.session = start
		switch {
		case got == "" && want == "":
			right++
		case got == "":
			fmt.Printf("none    %-45s want %s\n", m.typed, m.wanted)
		default:
			is, of := meaning(t, b, got)
			switch {
			case is == want:
				right++
			case of != kind:
				wrong++
				fmt.Printf("WRONG   %-45s want %-40s got %s\n", m.typed, m.wanted, got)
			default:
				fmt.Printf("other   %-45s want %-40s got %s\n", m.typed, m.wanted, got)
			}
		}
	}
	t.Logf("%d of %d right, %d another command", right, len(list), wrong)
}
