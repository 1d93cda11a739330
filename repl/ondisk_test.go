package repl

import (
	"slices"
	"testing"

	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// The sheets of a workbook are offered by their names; a chart has no rows, and a file that is none, or that
// is not there, offers nothing.
func TestSheetsAreOffered(t *testing.T) {
	for line, want := range map[string][]string{
		`open ../testdata/messy/book_notes_first.xlsx sheet `:   {`"Notes"`, `"Tests 2026"`, `"Sums"`},
		`open ../testdata/messy/book_notes_first.xlsx sheet "t`: {`"Tests 2026"`},
		`open ../testdata/messy/book_renamed.csv sheet `:        {`"Gates"`},
		`open ../testdata/messy/kgf_and_newtons.csv sheet `:     nil,
		`open ../testdata/messy sheet `:                         nil,
		`open nothing.xlsx sheet `:                              nil,
	} {
		_, got := parser.Complete(line, len([]rune(line)), session.New(session.Options{}), onDisk)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
	}
}
