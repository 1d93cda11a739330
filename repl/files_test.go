package repl

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/repl/page"
)

func TestNamesWithoutAFolderGoToTheBooksFolder(t *testing.T) {
	for _, c := range []struct{ folder, typed, want string }{
		{"", "load.png", "load.png"},
		{"out", "load.png", filepath.Join("out", "load.png")},
		{"out", "./load.png", "./load.png"},
		{"out", "figures/load.png", "figures/load.png"},
		{"out", "/figures/load.png", "/figures/load.png"},
	} {
		if got := (files{folder: c.folder}).place(c.typed); got != c.want {
			t.Errorf("%q in %q goes to %q, want %q", c.typed, c.folder, got, c.want)
		}
	}
}

func TestNumbersGoOnAfterTheFiguresThatAreThere(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"figure-2.png", "figure-11.svg", "figure-x.png", "figure-99.txt",
		"my-figure-40.png"} {
		if err := os.WriteFile(filepath.Join(folder, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if got := (files{folder: folder}).afterEarlier().drawn; got != 11 {
		t.Errorf("goes on after %d, want 11", got)
	}
	if got := (files{folder: filepath.Join(folder, "none")}).afterEarlier().drawn; got != 0 {
		t.Errorf("a folder that is not there: after %d", got)
	}
}

// A book that is kept up to date after it was saved is written again, unless somebody
// changed it meanwhile.
func TestSaveBookAgain(t *testing.T) {
	b := newHarness(t)
	b.typed(t, "note one; save book b.brk; note two", true)
	path := filepath.Join(b.files.folder, "b.brk")
	if err := b.files.saveBook(t.Context(), path, b.session); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(text), "note one\nnote two\n#") {
		t.Errorf("holds %q, %v", text, err)
	}
	mine := append(text, "note mine\n"...)
	if err := os.WriteFile(path, mine, 0o666); err != nil {
		t.Fatal(err)
	}
	var p *page.Problem
	if err := b.files.saveBook(t.Context(), path, b.session); !errors.As(err, &p) || p.Code != "file-exists" {
		t.Errorf("error %v", err)
	}
	if text, err := os.ReadFile(path); string(text) != string(mine) {
		t.Errorf("holds %q, %v", text, err)
	}
}
