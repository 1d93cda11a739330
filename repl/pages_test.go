//go:build linux

package repl

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/hinshun/vt10x"
)

var update = flag.Bool("update", false, "write what the sessions show now into their files")

// manyGates is a series of so many joints.
func manyGates(t testing.TB, joints int) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("specimen,load (N),pins\n")
	for i := range joints {
		fmt.Fprintf(&b, "J%02d,%d,%s\n", i+1, 400+i*7%50, []string{"none", "pair"}[i%2])
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "gates.csv"), []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

// What is taller than the terminal comes by pages: Enter brings the next, q none, and any other line is
// the next command. A replay, which shows many results, does not stop at each.
func TestPages(t *testing.T) {
	x := atTerminal(t, manyGates(t, 40), 24, 80)
	x.shows("breakbook 1 | ")
	x.press("open gates.csv\r")
	x.shows("gates 2 | ")
	x.press("rows 1 to 40\r")
	if page := x.shows("22 more (Enter), or q | "); strings.Count(page, "\n") < 23 || strings.Contains(page, "J20") {
		t.Errorf("the first page is\n%s", page)
	}
	x.press("\r")
	x.shows("J40")
	x.shows("gates 3 | ")

	x.press("rows 1 to 40\r")
	x.shows("more (Enter), or q | ")
	x.press("q\r")
	if rest := x.shows("gates 4 | "); strings.Contains(rest, "J40") {
		t.Errorf("q shows the rest:\n%s", rest)
	}
	x.press("rows 1 to 40\r")
	x.shows("more (Enter), or q | ")
	x.press("average load by pins\r")
	if rest := x.shows("gates 6 | "); strings.Contains(rest, "J40") || !strings.Contains(rest, "pair") {
		t.Errorf("the line typed at the end of a page gives\n%s", rest)
	}
	x.press("rows 1 to 40\r")
	x.shows("more (Enter), or q | ")
	x.press("\x03")
	x.shows("gates 7 | ")
	x.press("save book b.brk\r")
	x.shows("gates 8 | ")
	x.press("close gates\rreplay b.brk\r")
	x.shows("replay b.brk")
	if all := x.shows("With pins"); strings.Contains(all, "or q |") {
		t.Errorf("a replay stops at a page:\n%s", all)
	}
	x.press("quit\r")
	x.leaves(0)
}

// On a narrow terminal the question between two pages has room, and what is said at the start is broken between words.
func TestNarrowTerminal(t *testing.T) {
	folder := manyGates(t, 40)
	x := atTerminal(t, folder, 20, 40)
	x.shows("breakbook 1 | ")
	x.press("open gates.csv\r")
	x.shows(" more, q | ")
	x.press("q\r")
	x.shows("gates 2 | ")
	x.press("quit\r")
	x.leaves(0)
	x = atTerminal(t, folder, 20, 40)
	if start := x.shows("breakbook 1 | "); !regexp.MustCompile(`The book of [0-9:]+ \(1 entry, gates\.csv\)\n` +
		`was not saved: type resume, or forget\njournal to drop it\.\n`).MatchString(start) {
		t.Errorf("the start is\n%s", start)
	}
	x.press("quit\r")
	x.leaves(0)
}

// PAGER is the program that a long text goes through; one that is not there gives way to pages.
func TestPager(t *testing.T) {
	folder := manyGates(t, 40)
	x := atTerminal(t, folder, 24, 80, "PAGER=sed s/J39/through/")
	x.shows("breakbook 1 | ")
	x.press("open gates.csv\rrows 1 to 40\r")
	x.shows("through")
	x.shows("gates 3 | ")
	x.press("average load by pins\r") // short enough
	x.shows("pair")
	x.shows("gates 4 | ")
	x.press("quit\r")
	x.leaves(0)

	x = atTerminal(t, folder, 24, 80, "PAGER=no-such-program-here")
	x.shows("breakbook 1 | ")
	x.press("open gates.csv\rrows 1 to 40\r")
	x.shows("more (Enter), or q | ")
	x.press("q\rquit\r")
	x.leaves(0)
}

// TestScreens holds what a person sees in a session at three sizes of the terminal to the files in
// testdata/screens, written anew with -update. Every answer is there whole but for what pages bring.
func TestScreens(t *testing.T) {
	for _, size := range [][2]int{{100, 32}, {80, 24}, {50, 20}} {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) {
			columns, rows := size[0], size[1]
			folder := t.TempDir()
			demo, err := os.ReadFile("../testdata/demo/gates.csv")
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(folder, "gates.csv"), demo, 0o600); err != nil {
				t.Fatal(err)
			}
			x := atTerminal(t, folder, uint16(rows), uint16(columns))
			var got strings.Builder
			keep := func(typed string) {
				fmt.Fprintf(&got, "== %s\n%s\n", typed, x.screen(columns, rows))
			}
			x.settles(0)
			keep("(the first run)")
			for _, typed := range []string{"open gates.csv", "what drove break_load", "averge brake_load on pins", "\t",
				"help compare", "rows 1 to 30", "q", "comp\tbreak\tby pi\t"} {
				shown := len(x.all())
				x.press(typed + "\r")
				x.settles(shown + 1)
				keep(strings.ReplaceAll(typed, "\t", "<Tab>"))
			}
			x.press("quit\r")
			x.leaves(0)
			path := filepath.Join("..", "testdata", "screens", fmt.Sprintf("%dx%d.txt", columns, rows))
			if *update {
				if err := os.WriteFile(path, []byte(got.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got.String() != string(want) {
				t.Errorf("the screens are\n%s\nand not those of %s; -update writes them", got.String(), path)
			}
		})
	}
}

// settles waits until the program has shown more than so much, and waits for a line.
func (x *terminal) settles(more int) {
	x.t.Helper()
	for end := time.Now().Add(hangs); time.Now().Before(end); {
		was := len(x.all())
		time.Sleep(100 * time.Millisecond)
		now := x.all()
		if len(now) == was && was > more && strings.HasSuffix(strings.TrimRight(now, " "), "|") {
			return
		}
	}
	x.t.Fatalf("never waits for a line; showed:\n%s", x.all())
}

// screen is what stands on the terminal's screen.
func (x *terminal) screen(columns, rows int) string {
	x.mu.Lock()
	defer x.mu.Unlock()
	v := vt10x.New(vt10x.WithSize(columns, rows))
	if _, err := v.Write(x.seen.Bytes()); err != nil {
		x.t.Fatal(err)
	}
	lines := strings.Split(v.String(), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
}
