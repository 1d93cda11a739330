package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Of the mistyped lines at least nine in ten are answered with the line wanted, none with a line of
// another command, and what is offered works. The kept table is what comes out today.
func TestMistypedLinesLeadToTheLineWanted(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "mistyped.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	slips := readSlips(string(text))
	if testing.Short() { // one in twelve of each kind, and no table of them
		var some []slipped
		for one := range slices.Chunk(slips.lines, 12) {
			some = append(some, one[0])
		}
		slips.lines = some
	}
	groups, err := tryMistyped(t.Context(), slips, &said)
	if err != nil {
		t.Fatal(err)
	}
	lines, wanted, far := 0, 0, 0
	for _, o := range groups {
		lines, wanted, far = lines+o.lines, wanted+o.wanted, far+o.far
	}
	if lines < inShort(50, 300) || 10*wanted < 9*lines || far > 0 {
		t.Errorf("of %d lines %d are answered with the line wanted, %d with another command's\n%s", lines, wanted, far, &said)
	}
	if kept := strings.Join(measured(t, "mistyped.txt"), "\n"); !testing.Short() && kept != mistypedTable(groups) {
		t.Errorf("kept is\n%s\nand it is\n%s", kept, mistypedTable(groups))
	}
}
