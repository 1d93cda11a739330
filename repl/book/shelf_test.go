package book

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func mustWrite(t *testing.T, prints *Fingerprints, o Order) []Placed {
	t.Helper()
	placed, err := Write(t.Context(), prints, o)
	if err != nil {
		t.Fatal(err)
	}
	return placed
}

// put makes a file as a person does.
func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func one(path, text string) Order {
	return Order{Pieces: []Piece{{Path: path, Content: []byte(text)}}}
}

func TestWriteAgainOnlyWhatNobodyChanged(t *testing.T) {
	dir := t.TempDir()
	path, state := filepath.Join(dir, "a.csv"), t.TempDir()
	mustWrite(t, NewFingerprints(state), one(path, "first"))
	mustWrite(t, NewFingerprints(state), one(path, "second")) // the next run
	if got := content(t, path); got != "second" {
		t.Errorf("holds %q", got)
	}
	put(t, path, "mine")
	_, err := Write(t.Context(), NewFingerprints(state), one(path, "third"))
	var exists *ExistsError
	if !errors.As(err, &exists) || !exists.Changed || err.Error() != path+" has been changed since breakbook wrote it" {
		t.Errorf("error %v", err)
	}
	put(t, path, "first") // as breakbook once wrote it
	mustWrite(t, NewFingerprints(state), one(path, "third"))
	_, err = Write(t.Context(), &Fingerprints{}, one(path, "fourth")) // nothing is remembered
	if !errors.As(err, &exists) || exists.Changed || err.Error() != path+" is there already, and breakbook "+
		"did not write it" {
		t.Errorf("error %v", err)
	}
	if got := content(t, path); got != "third" {
		t.Errorf("holds %q", got)
	}
	if got := names(t, dir); got != "a.csv" {
		t.Errorf("folder holds %q", got)
	}
}

func TestReplacingKeepsEveryOldOne(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.csv")
	for i, want := range []string{"a.csv.before", "a.csv.before2", "a.csv.before3"} {
		put(t, path, fmt.Sprint("mine ", i))
		o := one(path, fmt.Sprint("ours ", i))
		o.Replacing = true
		prints := &Fingerprints{}
		placed := mustWrite(t, prints, o)
		if placed[0].Before != filepath.Join(dir, want) {
			t.Errorf("kept as %s, want %s", placed[0].Before, want)
		}
		o.Pieces[0].Content = []byte(fmt.Sprint("ours again ", i)) // is ours now, and nothing is to be kept
		if placed = mustWrite(t, prints, o); placed[0].Before != "" {
			t.Errorf("our own is kept as %s", placed[0].Before)
		}
	}
	for name, want := range map[string]string{"a.csv": "ours again 2", "a.csv.before": "mine 0",
		"a.csv.before2": "mine 1", "a.csv.before3": "mine 2"} {
		if got := content(t, filepath.Join(dir, name)); got != want {
			t.Errorf("%s holds %q, want %q", name, got, want)
		}
	}
}

func TestReplacingNeverReplacesASource(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gates.csv")
	put(t, path, "mine")
	o := one(path, "ours")
	o.Replacing, o.Sources = true, []SourceFile{{Path: path, Of: "gates"}}
	_, err := Write(t.Context(), &Fingerprints{}, o)
	var source *SourceError
	if !errors.As(err, &source) || err.Error() != path+" is the file that gates was read from; a book that reads it "+
		"could not be replayed" {
		t.Errorf("error %v", err)
	}
	if got := content(t, path); got != "mine" {
		t.Errorf("holds %q", got)
	}
}

// Whatever goes wrong with one of several files, the others are as they were: where one is
// somebody's, where one has no folder, and where one appears while they are being written.
func TestWriteAllOrNone(t *testing.T) {
	for _, c := range []struct {
		name  string
		third func(t *testing.T, dir string) Piece
	}{
		{"somebody's", func(t *testing.T, dir string) Piece {
			put(t, filepath.Join(dir, "mine"), "mine")
			return Piece{Path: filepath.Join(dir, "mine")}
		}},
		{"no folder", func(_ *testing.T, dir string) Piece { return Piece{Path: filepath.Join(dir, "none", "c")} }},
		{"a folder", func(_ *testing.T, dir string) Piece { return Piece{Path: dir} }},
		{"no name", func(*testing.T, string) Piece { return Piece{} }},
		{"appears meanwhile", func(_ *testing.T, dir string) Piece { return Piece{Path: filepath.Join(dir, "late")} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			at := func(name string) string { return filepath.Join(dir, name) }
			prints := &Fingerprints{}
			mustWrite(t, prints, one(at("ours"), "old"))
			put(t, at("kept"), "kept")
			third := c.third(t, dir)
			third.Content = []byte("new")
			before := names(t, dir)
			seen := func([]byte) bool { // called once the third was found not to be there
				if c.name == "appears meanwhile" {
					put(t, at("late"), "mine")
				}
				return false
			}
			o := Order{Pieces: []Piece{{Path: at("ours"), Content: []byte("new")},
				{Path: at("fresh"), Content: []byte("new")},
				{Path: at("figure.png"), Content: []byte("new"), Number: &Number{}}, third,
				{Path: at("ours"), Content: []byte("newer"), Leave: seen}}}
			if _, err := Write(t.Context(), prints, o); err == nil {
				t.Fatal("written all the same")
			}
			if got := content(t, at("ours")); got != "old" {
				t.Errorf("ours holds %q", got)
			}
			os.Remove(at("late"))
			if got := names(t, dir); got != before {
				t.Errorf("folder holds %q, before %q", got, before)
			}
		})
	}
}

// Of two files that are breakbook's own, the first is as it was again where somebody changes the last meanwhile.
func TestWriteTakesBackAllBeforeTheLast(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	prints := &Fingerprints{}
	mustWrite(t, prints, Order{Pieces: []Piece{{Path: a, Content: []byte("old")}, {Path: b, Content: []byte("old")}}})
	_, err := Write(t.Context(), prints, Order{Pieces: []Piece{{Path: a, Content: []byte("new")},
		{Path: b, Content: []byte("new"), Leave: func([]byte) bool { put(t, b, "mine"); return false }}}})
	if err == nil || content(t, a) != "old" || content(t, b) != "mine" {
		t.Errorf("error %v, a holds %q, b %q", err, content(t, a), content(t, b))
	}
	if got := names(t, dir); got != "a b" {
		t.Errorf("folder holds %q", got)
	}
}

// Taking back after replacing leaves no second name either.
func TestTakeBackAfterReplacing(t *testing.T) {
	dir := t.TempDir()
	path, late := filepath.Join(dir, "a"), filepath.Join(dir, "late")
	put(t, path, "mine")
	put(t, filepath.Join(dir, "b"), "as is")
	_, err := Write(t.Context(), &Fingerprints{}, Order{Replacing: true,
		Pieces: []Piece{{Path: path, Content: []byte("new")}, {Path: late, Content: []byte("new")},
			{Path: filepath.Join(dir, "b"), Leave: func([]byte) bool { return os.Mkdir(late, 0o777) == nil }}}})
	if err == nil || content(t, path) != "mine" {
		t.Errorf("error %v, holds %q", err, content(t, path))
	}
	if got := names(t, dir); got != "a b late" {
		t.Errorf("folder holds %q", got)
	}
}

func TestSheetIsLeftWithItsLook(t *testing.T) {
	dir := t.TempDir()
	sheet, look := filepath.Join(dir, "a.csv"), filepath.Join(dir, "a.look.json")
	write := func(belongs bool) error {
		_, err := Write(t.Context(), &Fingerprints{}, Order{Replacing: true, Pieces: []Piece{
			{Path: sheet, Content: []byte("empty"),
				Leave: func(old []byte) bool { return belongs && string(old) == "filled in" }},
			{Path: look, Content: []byte("{}"), Beside: true}}})
		return err
	}
	put(t, sheet, "filled in")
	put(t, look, "my own")
	if err := write(true); err != nil || content(t, sheet) != "filled in" || content(t, look) != "my own" {
		t.Errorf("error %v, %q and %q", err, content(t, sheet), content(t, look))
	}
	os.Remove(look) // a look that was lost comes back
	if err := write(true); err != nil || content(t, sheet) != "filled in" || content(t, look) != "{}" {
		t.Errorf("error %v, %q and %q", err, content(t, sheet), content(t, look))
	}
	if err := write(false); err != nil || content(t, sheet) != "empty" || content(t, sheet+".before") != "filled in" {
		t.Errorf("error %v, %q", err, content(t, sheet))
	}
}

// numberedPiece is a figure without a name.
func numberedPiece(dir, text, by string, again bool) Order {
	return Order{Pieces: []Piece{{Path: filepath.Join(dir, "figure.png"), Content: []byte(text),
		Number: &Number{By: by, Again: again}}}}
}

func TestNumbers(t *testing.T) {
	dir, state := t.TempDir(), t.TempDir()
	put(t, filepath.Join(dir, "figure-2.png"), "mine")
	for _, c := range []struct {
		text, by string
		again    bool
		want     string
	}{
		{"a", "A", true, "figure-1.png"},
		{"a", "A", true, "figure-1.png"},   // the same once more
		{"a2", "A", true, "figure-1.png"},  // drawn by the same commands on other data
		{"b", "B", true, "figure-3.png"},   // by others: the next that is free
		{"a2", "", true, "figure-1.png"},   // the very same picture
		{"mine", "", true, "figure-2.png"}, // a person's own, if it is the same
		{"b2", "B", false, "figure-4.png"}, // at the prompt always the next that is free
		{"b3", "B", true, "figure-3.png"},
		{"x", "", true, "figure-5.png"},
		{"y", "", true, "figure-6.png"},
	} {
		placed := mustWrite(t, NewFingerprints(state), numberedPiece(dir, c.text, c.by, c.again))
		got := placed[0]
		if filepath.Base(got.Path) != c.want || fmt.Sprintf("figure-%d.png", got.Number) != c.want ||
			content(t, got.Path) != c.text {
			t.Errorf("%s by %q: %+v holding %q, want %s", c.text, c.by, got, content(t, got.Path), c.want)
		}
	}
	put(t, filepath.Join(dir, "figure-1.png"), "mine too")
	if got := mustWrite(t, NewFingerprints(state), numberedPiece(dir, "a3", "A", true)); filepath.Base(
		got[0].Path) != "figure-7.png" {
		t.Errorf("%+v", got)
	}
	if got := content(t, filepath.Join(dir, "figure-1.png")); got != "mine too" {
		t.Errorf("holds %q", got)
	}
}

// Several runs at once in one folder: of figures without a name none is lost, and of files
// with one name one comes to be and the others are refused.
func TestWriteAtOnce(t *testing.T) {
	dir, state := t.TempDir(), t.TempDir()
	const runs, figures = 6, 12
	var wait sync.WaitGroup
	refused := make([]int, runs)
	for run := range runs {
		wait.Go(func() {
			prints := NewFingerprints(state)
			for i := range figures {
				text := fmt.Sprintf("run %d figure %d", run, i)
				if _, err := Write(t.Context(), prints, numberedPiece(dir, text, text, i%2 == 0)); err != nil {
					t.Error(err)
				}
				if _, err := Write(t.Context(), &Fingerprints{},
					one(filepath.Join(dir, fmt.Sprint("named", i)), text)); err != nil {
					refused[run]++
				}
			}
		})
	}
	wait.Wait()
	found := map[string]bool{}
	for n := 1; n <= runs*figures; n++ {
		found[content(t, filepath.Join(dir, fmt.Sprintf("figure-%d.png", n)))] = true
	}
	if len(found) != runs*figures {
		t.Errorf("%d figures of %d", len(found), runs*figures)
	}
	sum := 0
	for _, n := range refused {
		sum += n
	}
	if sum != (runs-1)*figures {
		t.Errorf("%d refused, want %d", sum, (runs-1)*figures)
	}
	if got := strings.Count(names(t, dir), ".part"); got != 0 {
		t.Errorf("%d passing files left", got)
	}
	for n := 1; n <= runs*figures; n++ { // all of them are remembered
		if path := filepath.Join(dir, fmt.Sprintf("figure-%d.png",
			n)); len(NewFingerprints(state).Of(wholePath(path))) == 0 {
			t.Errorf("%s is not remembered", path)
		}
	}
}

// Where names cannot be given twice, as on some file systems, a claim does.
func TestLinkNewStays(t *testing.T) {
	dir := t.TempDir()
	from, to := filepath.Join(dir, "from"), filepath.Join(dir, "to")
	put(t, from, "new")
	for _, move := range []func(from, to string) error{moveNew, linkNew} {
		put(t, to, "mine")
		if err := move(from, to); !errors.Is(err, os.ErrExist) || content(t, to) != "mine" ||
			content(t, from) != "new" {
			t.Errorf("%v: %q", err, content(t, to))
		}
		os.Remove(to)
		if err := move(from, to); err != nil || content(t, to) != "new" || names(t, dir) != "to" {
			t.Errorf("%v: folder holds %q", err, names(t, dir))
		}
		os.Rename(to, from)
	}
}

// Work that was given up leaves everything as it was.
func TestWriteGivenUp(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	put(t, filepath.Join(dir, "b"), "mine")
	_, err := Write(ctx, &Fingerprints{}, Order{Pieces: []Piece{{Path: filepath.Join(dir, "a"), Content: []byte("new")},
		{Path: filepath.Join(dir, "b"), Content: []byte("new"), Leave: func([]byte) bool { cancel(); return true }}}})
	if !errors.Is(err, context.Canceled) || names(t, dir) != "b" {
		t.Errorf("error %v, folder holds %q", err, names(t, dir))
	}
}

// Where the old file has its second name already and the new one then cannot take its place, or somebody changes the
// old one meanwhile, no second name is left over.
func TestReplacingLeavesNoSecondNameOver(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.csv")
	o := one(path, "ours")
	o.Replacing = true
	put(t, path, "mine")
	replace := replaceFile
	replaceFile = func(string, string) error { return errors.New("the disk is full") }
	_, err := Write(t.Context(), &Fingerprints{}, o)
	replaceFile = replace
	if err == nil || content(t, path) != "mine" || names(t, dir) != "a.csv" {
		t.Errorf("error %v, folder holds %q", err, names(t, dir))
	}
	other := filepath.Join(dir, "b")
	put(t, other, "as is")
	o.Pieces = append(o.Pieces, Piece{Path: other, Content: []byte("new"), Leave: func([]byte) bool {
		put(t, path, "mine, and more")
		return true
	}})
	placed := mustWrite(t, &Fingerprints{}, o)
	if got := names(t, dir); got != "a.csv a.csv.before b" || content(t, path+".before") != "mine, and more" ||
		placed[0].Before != path+".before" {
		t.Errorf("folder holds %q", got)
	}
}
