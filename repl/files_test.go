package repl

import (
	"os"
	"path/filepath"
	"testing"
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
	for _, name := range []string{"figure-2.png", "figure-11.svg", "figure-x.png", "figure-99.txt", "my-figure-40.png"} {
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
