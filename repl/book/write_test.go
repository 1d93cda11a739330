package book

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func words(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// names lists a folder.
func names(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return strings.Join(out, " ")
}

func content(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a b.txt")
	for _, text := range []string{"first", "second"} {
		if err := WriteFile(path, words(text)); err != nil {
			t.Fatal(err)
		}
		if got := content(t, path); got != text {
			t.Errorf("holds %q, want %q", got, text)
		}
	}
	if got := names(t, dir); got != "a b.txt" {
		t.Errorf("folder holds %q", got)
	}
	beside := filepath.Join(dir, "plain")
	if err := os.WriteFile(beside, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	a, _ := os.Stat(path)
	b, _ := os.Stat(beside)
	if a.Mode() != b.Mode() {
		t.Errorf("a new file has mode %v, others here get %v", a.Mode(), b.Mode())
	}
}

func TestWriteFileKeepsModeAndLink(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "real"), filepath.Join(dir, "link")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here:", err)
	}
	if err := WriteFile(link, words("through")); err != nil {
		t.Fatal(err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v %v", info.Mode(), err)
	}
	if real, _ := os.Stat(path); real.Mode().Perm() != 0o600 || content(t, path) != "through" {
		t.Errorf("mode %v, holds %q", real.Mode(), content(t, path))
	}
}

// A write that fails half way leaves the old file and nothing else.
func TestWriteFileFailsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "kept.txt")
	if err := os.WriteFile(path, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	broke := errors.New("the pen broke")
	err := WriteFile(path, func(w io.Writer) error {
		io.WriteString(w, strings.Repeat("half", 10000))
		return broke
	})
	var we *WriteError
	if !errors.Is(err, broke) || !errors.As(err, &we) || err.Error() != "cannot write "+path+": the pen broke" {
		t.Errorf("error is %v", err)
	}
	if got := content(t, path); got != "old" {
		t.Errorf("old file now holds %.20q", got)
	}
	if got := names(t, dir); got != "kept.txt" {
		t.Errorf("left over: %q", got)
	}
}

func TestWriteFileSaysWhy(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "file"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ path, why string }{
		{"", "it has no name"},
		{dir, "it is a folder"},
		{filepath.Join(dir, "none", "x.html"), "there is no folder " + filepath.Join(dir, "none")},
		{filepath.Join(dir, "file", "x.html"), filepath.Join(dir, "file") + " is not a folder"},
		{os.DevNull, "it is not a plain file"},
		{filepath.Join(dir, strings.Repeat("x", 300)), "its name is too long"},
	} {
		called := false
		err := WriteFile(c.path, func(io.Writer) error { called = true; return nil })
		if err == nil || err.Error() != "cannot write "+c.path+": "+c.why {
			t.Errorf("%q: error %v, want %s", c.path, err, c.why)
		}
		if called {
			t.Errorf("%q: written all the same", c.path)
		}
	}
	if got := names(t, dir); got != "file" {
		t.Errorf("left over: %q", got)
	}
}

// A folder that is there but takes no files, as one that the system itself fills.
func TestWriteFileWhereNoneCanBeMade(t *testing.T) {
	const folder = "/proc/self"
	if _, err := os.Stat(folder); err != nil {
		t.Skip("there is no such folder on this system")
	}
	path := folder + "/x.png"
	if err := WriteFile(path, words("x")); err == nil || err.Error() != "cannot write "+path+
		": no file can be made in "+folder {
		t.Errorf("error %v", err)
	}
}

func TestWriteFileNotPermitted(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("this user may write everywhere")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "fixed")
	if err := os.WriteFile(path, []byte("old"), 0o444); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(path, words("new")); err == nil || !strings.HasSuffix(err.Error(), ": not permitted") ||
		content(t, path) != "old" {
		t.Errorf("a read-only file: %v, holds %q", err, content(t, path))
	}
}
