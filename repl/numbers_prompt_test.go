//go:build linux

package repl

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Two prompts in one folder never draw over each other, nor over the last book's figures; a
// book that is replayed at the prompt takes its own figures again.
func TestTwoPromptsInOneFolder(t *testing.T) {
	folder := t.TempDir()
	put := func(name, text string) {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	put("gates.csv", "Joint,Load "+
		"(N),Pins\nj1,370,none\nj2,390,none\nj3,410,none\nj4,520,pair\nj5,550,pair\nj6,490,pair\n")
	put("figure-1.png", "mine")
	put("b.brk", "open gates.csv as other\ndraw load by pins titled \"of the book\"\n")
	first, second := atTerminal(t, folder, 40, 100), atTerminal(t, folder, 40, 100)
	for _, x := range []*terminal{first, second} {
		x.shows("breakbook 1 | ")
		x.press("open gates.csv\r")
		x.shows("gates 2 | ")
	}
	for i, x := range []*terminal{first, second, second, first} {
		x.press("draw load by pins\r")
		x.shows([]string{"figure-2.png", "figure-3.png", "figure-4.png", "figure-5.png"}[i])
	}
	first.shows("gates 4 | ")
	first.press("replay b.brk\r")
	first.shows("figure-6.png")
	first.shows("other 7 | ")
	first.press("close other\r")
	first.shows("gates 8 | ")
	first.press("replay b.brk\r")
	first.shows("figure-6.png")
	first.shows("other 11 | ")
	first.press("draw load by pins\r")
	first.shows("figure-7.png")
	found, err := filepath.Glob(filepath.Join(folder, "figure-*"))
	if err != nil || len(found) != 7 {
		t.Errorf("%d figures: %s, %v", len(found), strings.Join(found, " "), err)
	}
	if mine, err := os.ReadFile(filepath.Join(folder, "figure-1.png")); string(mine) != "mine" {
		t.Errorf("figure-1.png holds %.20q, %v", mine, err)
	}
}
