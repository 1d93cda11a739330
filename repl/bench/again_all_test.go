package bench

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// grown is a series of so many joints of each kind, whose pairs carry 30 N more; of what the next
// differs, a few specimens cannot tell it, and many can.
func grown(each int) string {
	var b strings.Builder
	b.WriteString("specimen,load (N),pins\n")
	off := []int{-20, 14, 3, -9, 21, -15, 8, -2, 17, -11, 10, -16}
	for i := range each {
		fmt.Fprintf(&b, "N%02d,%d,none\nP%02d,%d,pair\n", i, 400+2*off[i], i, 430+2*off[(i+5)%len(off)])
	}
	return b.String()
}

// said is the findings of an entry as a screen has them.
func said(e page.Entry) string {
	var out []string
	for _, f := range e.Findings {
		out = append(out, render.Sentence(f, render.Options{}))
	}
	return strings.Join(out, " ")
}

// The spreadsheet has grown, one specimen was renamed, and a column is gone.
func TestAgainAllTellsWhatChanged(t *testing.T) {
	b := newBench(t)
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile("daily.csv", []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(grown(4))
	b.run("open daily.csv", "compare load by pins", "draw load by pins to pins.png", "note four of each")
	if e := b.run("again all"); said(e) != "No answer changed: 1 answer of 4 entries." {
		t.Errorf("of the same file: %s", said(e))
	}
	write(strings.Replace(grown(12), "N00", "N99", 1))
	e := b.run("again all")
	got := said(e)
	for _, want := range []string{"1 answer changed, of 1 in 4 entries; 17 specimens are new; 1 specimen is gone.",
		"Entry 2 (compare load by pins): pair against none: cannot tell → differs."} {
		if !strings.Contains(got, want) {
			t.Errorf("nothing says %q:\n%s", want, got)
		}
	}
	if len(e.Figures) != 1 || e.Figures[0].Alt == nil {
		t.Errorf("the picture is not drawn again: %v", e.Figures)
	}
	if len(e.Tables) != 2 {
		t.Fatalf("%d tables, want the answers that changed and the specimens", len(e.Tables))
	}
	tellsColumns(t, "again all", reflect.TypeFor[changedRow](), e.Tables[0].Columns)
	tellsColumns(t, "again all", reflect.TypeFor[movedRow](), e.Tables[1].Columns)
	entries := b.s.Entries()
	if len(entries) != 5 || !strings.Contains(said(entries[1]), "differs") || entries[3].Prose != "four of each" {
		t.Errorf("the book is not the one run again: %d entries, %s", len(entries), said(entries[1]))
	}
	if f, _ := b.s.Frame("daily"); f.Len() != 24 {
		t.Errorf("the series has %d specimens, want 24", f.Len())
	}
	b.run("undo")
	if f, _ := b.s.Frame("daily"); f.Len() != 8 {
		t.Errorf("after undo the series has %d specimens, want 8", f.Len())
	}

	write("specimen,load (N)\na,300\nb,310\n")
	e = b.run("again all")
	if got := said(e); !strings.HasPrefix(got, "1 answer is lost, of 1 in 4 entries; ") ||
		!strings.Contains(got, "Entry 2 no longer works (compare load by pins)") ||
		!strings.Contains(got, "Columns gone from daily: pins.") ||
		!strings.Contains(got, "Entry 2 (compare load by pins): pair against none: cannot tell → no longer answered.") {
		t.Errorf("nothing says that entry 2 fails:\n%s", got)
	}
	if got := b.s.Entries(); len(got) != 5 || got[1].Input != "compare load by pins" {
		t.Errorf("the entry that fails is lost: %d entries", len(got))
	}
}

// Another unit in the header, and a factor that is called otherwise, are told.
func TestAgainAllTellsOfHeaders(t *testing.T) {
	b := newBench(t)
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile("daily.csv", []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(grown(12))
	b.run("open daily.csv", "compare load by pins", "fit load on pins")
	write(strings.Replace(grown(12), "load (N)", "load (kgf)", 1))
	if got, want := said(b.run("again all")), "No answer changed: 2 answers of 3 entries. The unit of load in daily "+
		"was N and is kgf: see that amounts typed without a unit mean what they did. "; !strings.HasPrefix(got, want) {
		t.Errorf("of another unit: %s", got)
	}
	write(strings.Replace(grown(12), "pins", "dowels", 1))
	got := said(b.run("again all"))
	for _, want := range []string{"2 answers are lost, of 2 in 3 entries.", "Columns gone from daily: pins.",
		"Columns new in daily: dowels.", "The unit of load in daily was kgf and is N"} {
		if !strings.Contains(got, want) {
			t.Errorf("of another name nothing says %q:\n%s", want, got)
		}
	}
}

// The levels of `each of` have answers of the same names, and each is set beside its own.
func TestAgainAllSetsEachLevelBesideItself(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, place each of species")
	if e := b.run("again all"); said(e) != "No answer changed: 4 answers of 2 entries." {
		t.Errorf("of the same file: %s", said(e))
	}
}

// A book with nothing in it cannot be run again.
func TestAgainAllOfAnEmptyBook(t *testing.T) {
	b := newBench(t)
	if _, err := b.try("again all"); err == nil || !strings.Contains(err.Error(), "no entries yet") {
		t.Errorf("again all of an empty book: %v", err)
	}
}
