package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Of the mistyped lines at least nine in ten are answered with the line wanted, none with a line of
// another command, and what is offered works. The kept table is what comes out today.
func TestMistypedLinesLeadToTheLineWanted(t *testing.T) {
	counts(t)
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "mistyped.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	groups, err := tryMistyped(t.Context(), readSlips(string(text)), &said)
	if err != nil {
		t.Fatal(err)
	}
	lines, wanted, far := 0, 0, 0
	for _, o := range groups {
		lines, wanted, far = lines+o.lines, wanted+o.wanted, far+o.far
	}
	if lines < 300 || 10*wanted < 9*lines || far > 0 {
		t.Errorf("of %d lines %d are answered with the line wanted, %d with another command's\n%s", lines, wanted,
			far, &said)
	}
	if kept := strings.Join(measured(t, "mistyped.txt"), "\n"); kept != mistypedTable(groups) {
		t.Errorf("kept is\n%s\nand it is\n%s", kept, mistypedTable(groups))
	}
}
