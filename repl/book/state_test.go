package book

import (
	"path/filepath"
	"runtime"
	"testing"
)

func TestStateFolder(t *testing.T) {
	home, base := t.TempDir(), t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("LocalAppData", base)
	t.Setenv("XDG_STATE_HOME", base)
	want := filepath.Join(base, "breakbook")
	if runtime.GOOS == "darwin" {
		want = filepath.Join(home, "Library", "Application Support", "breakbook")
	}
	if got, err := StateFolder(); got != want || err != nil {
		t.Errorf("%s, %v; want %s", got, err, want)
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		return
	}
	for _, unusable := range []string{"", "state"} {
		t.Setenv("XDG_STATE_HOME", unusable)
		want = filepath.Join(home, ".local", "state", "breakbook")
		if got, err := StateFolder(); got != want || err != nil {
			t.Errorf("XDG_STATE_HOME %q: %s, %v; want %s", unusable, got, err, want)
		}
	}
	for _, unusable := range []string{"", "home"} {
		t.Setenv("HOME", unusable)
		if got, err := StateFolder(); err == nil {
			t.Errorf("HOME %q: the folder is %q", unusable, got)
		}
	}
}
