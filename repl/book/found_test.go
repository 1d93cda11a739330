package book

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
)

// The decision, for all that can be known of a place. A file that a person made or changed
// is never among those written again.
func TestDecide(t *testing.T) {
	for _, c := range []struct {
		name string
		f    found
		want [2]verdict // without and with replacing
	}{
		{"nothing there", found{}, [2]verdict{create, create}},
		{"somebody's", found{there: true}, [2]verdict{refuse, keepOld}},
		{"changed since", found{there: true, known: true}, [2]verdict{refuse, keepOld}},
		{"ours", found{there: true, known: true, ours: true}, [2]verdict{again, again}},
		{"ours by its seal", found{there: true, ours: true}, [2]verdict{again, again}},
		{"somebody's, the same", found{there: true, same: true}, [2]verdict{leave, leave}},
		{"ours, the same", found{there: true, same: true, ours: true, known: true}, [2]verdict{leave, leave}},
		{"a sheet of the plan, filled in", found{there: true, known: true, belongs: true}, [2]verdict{leave, leave}},
		{"a source", found{there: true, source: true}, [2]verdict{isASource, isASource}},
		{"a source that breakbook wrote", found{there: true, source: true, ours: true, known: true},
			[2]verdict{isASource, isASource}},
		{"a source, the same", found{there: true, source: true, same: true}, [2]verdict{isASource, isASource}},
		{"a sheet of the plan that was opened", found{there: true, source: true, belongs: true},
			[2]verdict{leave, leave}},
	} {
		if got := [2]verdict{decide(c.f, false), decide(c.f, true)}; got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// What is found of a place, on the disk.
func TestLook(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	prints := &Fingerprints{}
	wrote := func(name, text string) string {
		mustWrite(t, prints, Order{Pieces: []Piece{{Path: filepath.Join(dir, name), Content: []byte(text)}}})
		return filepath.Join(dir, name)
	}
	changed, sealedThere, sealedCut := wrote("changed.csv", "a"), wrote("s.brk", "note a\n"),
		wrote("cut.brk", "note a\n")
	put("changed.csv", "b")
	other := put("moved.brk", content(t, sealedThere))
	put("cut.brk", content(t, sealedCut)+"note b\n")
	link := filepath.Join(dir, "link.csv")
	if err := os.Symlink(wrote("real.csv", "a"), link); err != nil {
		t.Skip("no links here:", err)
	}
	nowhere := filepath.Join(dir, "dangling.csv")
	if err := os.Symlink(filepath.Join(dir, "none"), nowhere); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path string
		want found
	}{
		{filepath.Join(dir, "none.csv"), found{}},
		{put("own.csv", "b"), found{there: true}},
		{put("same.csv", "new"), found{there: true, same: true}},
		{wrote("ours.csv", "b"), found{there: true, known: true, ours: true}},
		{changed, found{there: true, known: true}},
		{sealedThere, found{there: true, known: true, ours: true}},
		{other, found{there: true, ours: true}}, // carried elsewhere: known by its seal alone
		{sealedCut, found{there: true, known: true}},
		{link, found{there: true, known: true, ours: true}},
		{nowhere, found{there: true}},
		{put("source.csv", "b"), found{there: true, source: true}},
	} {
		p := Piece{Path: c.path, Content: []byte("new")}
		got, _, err := p.look(prints, []SourceFile{{Path: filepath.Join(dir, "source.csv")},
			{Path: filepath.Join(dir, "gone.csv")}})
		got.by = nil
		if err != nil || fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%s: %+v, %v; want %+v", filepath.Base(c.path), got, err, c.want)
		}
	}
}

func TestSeal(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	for _, name := range []string{"a.brk", "a.svg", "A.HTML", "a.htm", "a.md", "a.markdown"} {
		for _, text := range []string{"x", "x\n", "one\ntwo\n", "# comment\r\n"} {
			whole := sealed(name, []byte(text))
			if !sealFits(name, whole) {
				t.Errorf("%s: the seal of %q does not fit", name, text)
			}
			for range 50 { // any one byte changed, added or lost breaks it
				at := draw.IntN(len(whole))
				flipped := append([]byte(nil), whole...)
				flipped[at] ^= 1
				added := append(append([]byte(nil), whole[:at]...), append([]byte{'x'}, whole[at:]...)...)
				lost := append(append([]byte(nil), whole[:at]...), whole[at+1:]...)
				for _, other := range [][]byte{flipped, added, lost} {
					if sealFits(name, other) {
						t.Errorf("%s: the seal fits %q too", name, other)
					}
				}
			}
		}
	}
	for _, name := range []string{"a.csv", "a.png", "a.look.json", "a"} {
		if got := sealed(name, []byte("x")); string(got) != "x" || sealFits(name, got) {
			t.Errorf("%s: sealed as %q", name, got)
		}
	}
	for _, text := range []string{"", "# written by breakbook, sha256 \n"} {
		if sealFits("a.brk", []byte(text)) {
			t.Errorf("%q has a seal", text)
		}
	}
}
