package files

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

// A folder is listed in natural order; nothing in it is opened, and no link is followed.
func TestInFolder(t *testing.T) {
	dir := t.TempDir()
	for name, content := range map[string]string{"g10.csv": "abc", "g2.csv": "", "G1.csv": "a"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "g3"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("/dev/zero", filepath.Join(dir, "g4.csv")); err != nil {
		t.Skip(err)
	}
	found, err := InFolder(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	type is struct {
		Name    string
		Size    int64
		Regular bool
	}
	var got []is
	for _, f := range found {
		got = append(got, is{f.Name, f.Size, f.Mode.IsRegular()})
		if f.Path != filepath.Join(dir, f.Name) {
			t.Errorf("%s is at %s", f.Name, f.Path)
		}
	}
	want := []is{{"G1.csv", 1, true}, {"g2.csv", 0, true}, {"g3", 0, false}, {"g4.csv", 0, false}, {"g10.csv", 3, true}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	var e *Error
	if _, err := InFolder(t.Context(), filepath.Join(dir, "nowhere")); !errors.As(err, &e) || e.Cause != Missing {
		t.Errorf("%v", err)
	}
	if !IsFolder(dir) || IsFolder(filepath.Join(dir, "g10.csv")) || IsFolder(filepath.Join(dir, "nowhere")) {
		t.Error("what is a folder is not told")
	}
}
