package book

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"breakbook/repl/page"
)

var bench = Surroundings{Folder: "/home/ines/series", Out: "/home/ines/results", Seed: 7}

var gatesFile = Source{File: "gates.csv", SHA256: strings.Repeat("0a", 32), Rows: 57}

// sessionOf is the entries of a session: an opened series, a figure, a command of two lines.
func sessionOf() []page.Entry {
	return []page.Entry{
		{Number: 1, Input: "open gates.csv"},
		{Number: 2, Input: "draw load by pins", Figures: []page.Figure{{Path: "/home/ines/results/figure-3.png"}}},
		{Number: 4, Input: "fit load on density,\n  pins"},
		{Number: 5, Input: "note 4 °C in the shed"},
	}
}

func started(t *testing.T, state string) *Journal {
	t.Helper()
	j, err := StartJournal(state, bench, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { j.file.Close() })
	return j
}

func kept(t *testing.T, j *Journal, entries []page.Entry, sources ...Source) {
	t.Helper()
	if err := j.Keep(entries, sources); err != nil {
		t.Fatal(err)
	}
}

// texts are the commands of the only journal that was left behind; nil where there is none.
func texts(t *testing.T, state string) []string {
	t.Helper()
	left := FindUnsaved(state)
	if len(left) == 0 {
		return nil
	}
	if len(left) > 1 {
		t.Fatalf("%d journals", len(left))
	}
	var out []string
	for _, e := range left[0].Entries {
		out = append(out, e.Text)
	}
	return out
}

func TestAJournalIsReadBack(t *testing.T) {
	state := t.TempDir()
	j := started(t, state)
	entries := sessionOf()
	kept(t, j, entries[:1], gatesFile)
	if left := FindUnsaved(state); len(left) > 0 {
		t.Errorf("the journal of a living session is offered: %+v", left[0])
	}
	if _, err := TakeUp(j.path); !errors.Is(err, ErrTaken) {
		t.Errorf("taken up while its session lives: %v", err)
	}
	for n := 2; n <= len(entries); n++ {
		kept(t, j, entries[:n], gatesFile)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	left := FindUnsaved(state)
	if len(left) != 1 {
		t.Fatalf("%d journals left behind", len(left))
	}
	want := []UnsavedEntry{
		{"open gates.csv", nil, 6},
		{"draw load by pins", []string{"/home/ines/results/figure-3.png"}, 8},
		{"fit load on density,\n  pins", nil, 10},
		{"note 4 °C in the shed", nil, 12},
	}
	l := left[0]
	if !reflect.DeepEqual(l.Entries, want) || l.Surroundings != bench ||
		!reflect.DeepEqual(l.Sources, []Source{gatesFile}) {
		t.Errorf("read back %+v\nwant %+v", *l, want)
	}
	if since := time.Since(l.Last); since < -time.Minute || since > time.Minute {
		t.Errorf("kept %v ago", since)
	}

	// It is a book too: what reads books reads it.
	lines, sources, err := Load(t.Context(), j.path)
	if err != nil || len(lines) != 5 || !reflect.DeepEqual(sources, l.Sources) {
		t.Errorf("as a book: %v, %v, %v", lines, sources, err)
	}
}

func TestWhatIsUndoneIsCutOffTheJournal(t *testing.T) {
	state := t.TempDir()
	j := started(t, state)
	entries := sessionOf()
	spring := Source{File: "spring.csv", SHA256: strings.Repeat("0b", 32), Rows: 20}
	kept(t, j, entries[:1], gatesFile)
	kept(t, j, entries[:3], gatesFile, spring)
	kept(t, j, entries[:2], gatesFile) // one is undone
	kept(t, j, append(entries[:2:2], entries[3]), gatesFile, spring)
	if got := content(t, j.path); strings.Count(got, "spring.csv") != 1 || strings.Contains(got, "density") {
		t.Errorf("the journal holds\n%s", got)
	}
	kept(t, j, nil)
	kept(t, j, entries[:1], gatesFile)
	j.file.Close()
	if got := texts(t, state); !reflect.DeepEqual(got, []string{"open gates.csv"}) {
		t.Errorf("holds %q", got)
	}
}

func TestAnEmptyJournalIsRemoved(t *testing.T) {
	state := t.TempDir()
	j := started(t, state)
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	killed := started(t, state)
	kept(t, killed, sessionOf())
	kept(t, killed, nil)
	killed.file.Close()
	if got := texts(t, state); got != nil {
		t.Errorf("offers %q", got)
	}
	if found, err := os.ReadDir(journalFolder(state)); err != nil || len(found) > 0 {
		t.Errorf("left behind: %v, %v", found, err)
	}
}

func TestAJournalThatMovesIsReadThere(t *testing.T) {
	state := t.TempDir()
	j := started(t, state)
	to := Surroundings{Folder: "/home/ines/gates"}
	if err := j.Move(to); err != nil {
		t.Fatal(err)
	}
	kept(t, j, sessionOf())
	if err := j.Move(bench); err == nil {
		t.Error("moved with entries in it")
	}
	j.file.Close()
	if left := FindUnsaved(state); len(left) != 1 || left[0].Surroundings != to || len(left[0].Entries) != 4 {
		t.Errorf("left behind %+v", left)
	}
}

// TestATornJournal cuts a journal at every byte, and puts there what a failing disk may: the
// entries before the cut are read, and no part of one.
func TestATornJournal(t *testing.T) {
	state := t.TempDir()
	j := started(t, state)
	entries := sessionOf()
	ends := []int{}
	for n := range entries {
		kept(t, j, entries[:n+1], gatesFile)
		ends = append(ends, int(j.end))
	}
	j.file.Close()
	text := content(t, j.path)
	for cut := range len(text) + 1 {
		want := 0
		for _, end := range ends {
			if end <= cut {
				want++
			}
		}
		for _, tail := range []string{"", "\x00\x00\x00", "\xff\xfe\n", "\x00\nnote torn\n"} {
			if err := os.WriteFile(j.path, []byte(text[:cut]+tail), 0o600); err != nil {
				t.Fatal(err)
			}
			l, err := TakeUp(j.path)
			if err != nil {
				t.Fatalf("cut at %d: %v", cut, err)
			}
			l.Release()
			for i, e := range l.Entries {
				if i >= want || e.Text != entries[i].Input {
					t.Errorf("cut at %d: entry %d is %q", cut, i, e.Text)
				}
			}
			if len(l.Entries) != want {
				t.Errorf("cut at %d, then %q: %d entries, want %d", cut, tail, len(l.Entries), want)
			}
		}
	}
}

// TestAJournalOutlivesWhatWasTyped: nothing that is typed makes it unreadable.
func TestAJournalOutlivesWhatWasTyped(t *testing.T) {
	state := t.TempDir()
	j := started(t, state)
	kept(t, j, []page.Entry{
		{Number: 1, Input: "note gr\xf6\xdfe"},
		{Number: 2, Input: "note a\x00b"},
		{Number: 3, Input: "note goes on,"},
		{Number: 4, Input: "note after"},
	})
	j.file.Close()
	want := []string{"note gr\uFFFD\uFFFDe", "note a\uFFFDb", "note goes on", "note after"}
	if got := texts(t, state); !reflect.DeepEqual(got, want) {
		t.Errorf("read back %q, want %q", got, want)
	}
	if lines, _, err := Load(t.Context(), j.path); err != nil || len(lines) != 4 {
		t.Errorf("as a book: %v, %v", lines, err)
	}
}

// TestAJournalGoesOnAfterAFailure: a full disk in the middle of an append, a failing sync and
// a failing cut lose nothing that was kept, and the next entry keeps all.
func TestAJournalGoesOnAfterAFailure(t *testing.T) {
	full := errors.New("no space left")
	restore := func() { appendTo, cutTo, syncFile = (*os.File).WriteAt, (*os.File).Truncate, (*os.File).Sync }
	for name, fail := range map[string]func(){
		"append": func() {
			appendTo = func(f *os.File, text []byte, at int64) (int, error) {
				n, _ := f.WriteAt(text[:len(text)/2], at)
				return n, full
			}
		},
		"append, and the cut after it": func() {
			appendTo = func(f *os.File, text []byte, at int64) (int, error) {
				n, _ := f.WriteAt(text[:len(text)-2], at)
				cutTo = func(*os.File, int64) error { return full }
				return n, full
			}
		},
		"sync": func() { syncFile = func(*os.File) error { return full } },
	} {
		t.Run(name, func(t *testing.T) {
			t.Cleanup(restore)
			state := t.TempDir()
			j := started(t, state)
			entries := sessionOf()
			kept(t, j, entries[:2], gatesFile)
			fail()
			if err := j.Keep(entries[:3], []Source{gatesFile}); !errors.Is(err, full) {
				t.Fatalf("error %v", err)
			}
			restore()
			if got := whole([]byte(content(t, j.path))); !strings.Contains(strings.Join(got, "\n"),
				"draw load by pins") {
				t.Errorf("lost what was kept: %q", got)
			}
			short := append(entries[:2:2], page.Entry{Number: 9, Input: "look"})
			kept(t, j, short, gatesFile)
			if text := content(t, j.path); int64(len(text)) != j.end || !strings.HasSuffix(text, "look\n") {
				t.Errorf("what was half written is there still: %q", text)
			}
			j.file.Close()
			if got := texts(t, state); !reflect.DeepEqual(got,
				[]string{"open gates.csv", "draw load by pins", "look"}) {
				t.Errorf("holds %q", got)
			}
		})
	}
}

func TestTheLatestJournalComesFirst(t *testing.T) {
	state := t.TempDir()
	for i := range 3 {
		j := started(t, state)
		kept(t, j, []page.Entry{{Number: 1, Input: fmt.Sprint("note ", i)}})
		j.file.Close()
		when := time.Now().Add(time.Duration(i%2*100-i) * time.Hour)
		if err := os.Chtimes(j.path, when, when); err != nil {
			t.Fatal(err)
		}
	}
	var order []string
	for _, l := range FindUnsaved(state) {
		order = append(order, l.Entries[0].Text)
	}
	if want := []string{"note 1", "note 0", "note 2"}; !reflect.DeepEqual(order, want) {
		t.Errorf("in the order %q, want %q", order, want)
	}
	taken, err := TakeUp(FindUnsaved(state)[0].Path)
	if err != nil {
		t.Fatal(err)
	}
	if left := FindUnsaved(state); len(left) != 2 {
		t.Errorf("%d offered while one is being taken up", len(left))
	}
	if err := taken.Remove(); err != nil {
		t.Fatal(err)
	}
	if left := FindUnsaved(state); len(left) != 2 {
		t.Errorf("%d offered after one was removed", len(left))
	}
	if _, err := TakeUp(taken.Path); !errors.Is(err, ErrTaken) {
		t.Errorf("one that is gone: %v", err)
	}
}

// TestWhatIsNoJournalIsLeft: other things in the folder are neither offered nor removed.
func TestWhatIsNoJournalIsLeft(t *testing.T) {
	state := t.TempDir()
	folder := journalFolder(state)
	if err := os.MkdirAll(filepath.Join(folder, "folder.brk"), 0o700); err != nil {
		t.Fatal(err)
	}
	later := filepath.Join(folder, "later.brk")
	if err := os.WriteFile(later, []byte("# breakbook book 99\nopen gates.csv\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if left := FindUnsaved(state); len(left) > 0 {
		t.Errorf("offered %+v", left[0])
	}
	for _, path := range []string{later, filepath.Join(folder, "folder.brk")} {
		if _, err := os.Stat(path); err != nil {
			t.Error(err)
		}
	}
}
