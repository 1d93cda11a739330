package book

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

const savedBook = `# breakbook book 1
# file "series/gates 2.csv" 41 rows sha256 9f86d081884c7d659f86d081884c7d659f86d081884c7d659f86d081884c7d65
# file "old.csv" 0 rows sha256 0a1b2c3d4e5f60710a1b2c3d4e5f60710a1b2c3d4e5f60710a1b2c3d4e5f6071
open series/gates.csv as gates
heading Pins
note The shed stood at 4 °C in the first week; the <second> gauge was used from day 3.
compare load by pins against none
draw load by pins to pins.png
heading Density
fit load on density, pins
report gates.html
conclude Pin them.
`

// What failed, and what saves the book, is not saved.
func TestSaveAndLoad(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gates.brk")
	d := sampleDocument()
	piece, err := Save(path, d.Entries, d.Sources)
	if err != nil {
		t.Fatal(err)
	}
	if got := string(piece.Content); got != savedBook {
		t.Errorf("saved:\n%s\nwant:\n%s", got, savedBook)
	}
	if _, err := Write(t.Context(), &Fingerprints{}, Order{Pieces: []Piece{piece}}); err != nil {
		t.Fatal(err)
	}
	if got := content(t, path); !strings.HasPrefix(got, savedBook+"# written by breakbook, sha256 ") {
		t.Errorf("written:\n%s", got)
	}
	lines, sources, err := Load(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(sources, d.Sources) {
		t.Errorf("sources %v, want %v", sources, d.Sources)
	}
	want := strings.Split(strings.TrimSpace(savedBook), "\n")[3:]
	if len(lines) != len(want) {
		t.Fatalf("%d lines, want %d", len(lines), len(want))
	}
	for i, l := range lines {
		if l.Text != want[i] || l.No != i+4 {
			t.Errorf("line %d is %+v, want %q", i, l, want[i])
		}
	}
}

func TestLoadByHand(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hand.brk")
	text := "\ufeff\r\n# my notes\r\nopen a.csv\r\n\r\nfit load on x,\r\n\r\n  # aside\r\nfit load on x,\r\n  y\r\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	lines, sources, err := Load(t.Context(), path)
	want := []Line{{"open a.csv", 3}, {"fit load on x,", 5}, {"", 6}, {"fit load on x,", 8}, {"  y", 9}}
	if err != nil || len(sources) != 0 || !reflect.DeepEqual(lines, want) {
		t.Errorf("lines %v, sources %v, error %v; want %v", lines, sources, err, want)
	}
}

func TestLoadErrors(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct{ name, text, want string }{
		{"later", "# breakbook book 2\nopen a\n", " line 1: the book was saved by a later version (form 2; " +
			"this one reads form 1)"},
		{"odd", "# breakbook book one\n", " line 1: the first line should be # breakbook book 1"},
		{"print", "# breakbook book 1\n# file \"a.csv\" 3 rows sha256 12\n",
			` line 2: a file is written as # file "NAME" N rows sha256 and 64 digits`},
		{"binary", "open a\n\x00\x01\n", " line 2: this is not text, so the file is no book"},
		{"latin", "open gr\xf6\xdfe\n", " line 1: this is not text, so the file is no book"},
	} {
		path := filepath.Join(dir, c.name)
		if err := os.WriteFile(path, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		_, _, err := Load(t.Context(), path)
		var le *LoadError
		if !errors.As(err, &le) || err.Error() != path+c.want {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
	}
	for path, want := range map[string]string{filepath.Join(dir, "none"): "is not there",
		dir: "is a folder, not a file"} {
		if _, _, err := Load(t.Context(), path); err == nil || err.Error() != path+" "+want {
			t.Errorf("%s: %v, want %s", path, err, want)
		}
	}
}

func TestChanged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.csv")
	if err := os.WriteFile(path, []byte("abc"), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := Fingerprint(t.Context(), path)
	// The SHA-256 of "abc": FIPS 180-2, appendix B.1.
	if want := "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"; err != nil || s.SHA256 != want {
		t.Errorf("fingerprint %s, %v; want %s", s.SHA256, err, want)
	}
	if got, err := Changed(t.Context(), []Source{s}, "."); err != nil || len(got) != 0 {
		t.Errorf("unchanged, but %v, %v", got, err)
	}
	if err := os.WriteFile(path, []byte("abd"), 0o644); err != nil {
		t.Fatal(err)
	}
	want := []page.Sentence{page.Say(path, " has changed since this book was saved: results may differ.")}
	saved := []Source{s, {File: path + " gone", SHA256: s.SHA256}}
	if got, err := Changed(t.Context(), saved, "."); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, %v, want %v", got, err, want)
	}
	// What lies beside the book counts before what the name leads to from elsewhere.
	s.File = "a.csv"
	if got, err := Changed(t.Context(), []Source{s}, filepath.Dir(path)); err != nil || len(got) != 1 {
		t.Errorf("beside the book: got %v, %v, want that it has changed", got, err)
	}
	// What is no file is said to be none, at once.
	s.File = os.DevNull
	if got, err := Changed(t.Context(), []Source{s}, "."); err != nil || len(got) != 1 ||
		!strings.Contains(render.Sentence(got[0], render.Options{}), "is a device or a pipe, not a file") {
		t.Errorf("a device: got %v, %v", got, err)
	}
}
