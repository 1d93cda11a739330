package bench

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
	demo "breakbook/testdata/demo"
)

// bench is a session at work for a test.
type bench struct {
	t *testing.T
	s *session.Session
}

// newBench starts an empty book in a folder of its own that holds the demo's files and,
// for the commands that read them, a gauge's table and a saved book.
func newBench(t *testing.T) *bench {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.CopyFS(".", demo.Files); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"gauge.csv": "Reading (kgf),True (kgf)\n0,0\n500,510\n1000,1020\n",
		"gates.brk": "# breakbook book 1\nopen gates.csv as again\n",
	} {
		if err := os.WriteFile(filepath.Join(".", name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return &bench{t, session.New(session.Options{})}
}

// try runs one command; a failed one is booked as the loop books it.
func (b *bench) try(line string) (page.Entry, error) {
	b.t.Helper()
	pieces, more, err := phrase.Split(line)
	if err != nil || more || len(pieces) != 1 {
		b.t.Fatalf("%s: not one command (%v)", line, err)
	}
	c, err := parser.Parse(pieces[0], b.s)
	if err != nil {
		return page.Entry{}, err
	}
	next, e, err := Run(context.Background(), b.s, c)
	if err != nil {
		return e, err
	}
	b.s = next
	return e, nil
}

// run runs commands that have to work, and gives the last one's entry.
func (b *bench) run(lines ...string) (e page.Entry) {
	b.t.Helper()
	for _, line := range lines {
		var err error
		if e, err = b.try(line); err != nil {
			b.t.Fatalf("%s: %v", line, err)
		}
	}
	return e
}
