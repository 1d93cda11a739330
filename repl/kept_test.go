package repl

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// personsFiles are what people have in a folder, under names that the commands below write to.
var personsFiles = []string{"a.csv", "a.look.json", "b.csv", "b.brk", "c.html", "c.md", "c-figure-1.svg", "d.png",
	"d.svg", "figure-1.png",
	"figure-3.png", "all/fit1-effects.png", "gates.brk"}

// lines that write files, with and without a word that insists.
var writing = []string{"write a.csv", "write b.csv", "write gates.csv", "sheet of plan1 to a.csv",
	"sheet of plan1 to b.csv", "sheet of plan1 to gates.csv",
	"allot gates.csv over oil a, b balancing width to b.csv", "save book b.brk", "save book gates.brk",
	"save book gates.csv", "report c.html",
	"report c.md", "report gates.csv", "draw load by pins", "draw load by pins to d.png", "draw load by pins to d.svg",
	"draw load by pins to gates.csv",
	"draw all of fit1 to all", "note between", "undo", "seed 3", "plan load by pins detecting 20%"}

// No sequence of commands over a folder of people's files changes one of them; with
// replacing, what stood there is still there under another name, byte for byte.
func TestNoCommandsLosePeoplesFiles(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		folder, err := os.MkdirTemp(t.TempDir(), "")
		if err != nil {
			rt.Fatal(err)
		}
		t.Chdir(folder)
		mine := map[string][]byte{"gates.csv": []byte("Joint,Load (N),Pins,Width (mm)\nj1,370,none,30\n" +
			"j2,390,none,31\nj3,410,none,30\nj4,520,pair,31\nj5,550,pair,30\nj6,490,pair,31\n")}
		for _, name := range rapid.SliceOfDistinct(rapid.SampledFrom(personsFiles), rapid.ID).Draw(rt, "there") {
			mine[name] = fmt.Appendf(nil, "half a day's work on %s\n", name)
		}
		for name, text := range mine {
			if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
				rt.Fatal(err)
			}
			if err := os.WriteFile(name, text, 0o666); err != nil {
				rt.Fatal(err)
			}
		}
		insist := rapid.Bool().Draw(rt, "insist")
		b := newHarness(t)
		b.files.folder = ""
		b.typed(t, "open gates.csv\nfit load on pins\nplan load by pins detecting 20%", true)
		for _, line := range rapid.SliceOfN(rapid.SampledFrom(writing), 1, 5).Draw(rt, "lines") {
			if insist && rapid.Bool().Draw(rt, "replacing") && !strings.HasPrefix(line, "note") {
				line += " replacing"
			}
			b.typed(t, line, true)
		}
		for name, text := range mine {
			if !keptSomewhere(rt, name, text, insist && name != "gates.csv") {
				rt.Errorf("%s is lost\n%s", name, b.err.String())
			}
		}
		left, err := filepath.Glob(".*.part")
		if err != nil || len(left) > 0 {
			rt.Errorf("passing files left: %v %v", left, err)
		}
	})
}

// keptSomewhere reports whether a file holds its text, or, where it may be kept beside, one
// of those beside it does.
func keptSomewhere(rt *rapid.T, name string, text []byte, beside bool) bool {
	names := []string{name}
	if beside {
		more, err := filepath.Glob(name + ".before*")
		if err != nil {
			rt.Fatal(err)
		}
		names = append(names, more...)
	}
	for _, name := range names {
		if now, err := os.ReadFile(name); err == nil && bytes.Equal(now, text) {
			return true
		}
	}
	return false
}
