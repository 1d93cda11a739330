package files

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestReadGivesTheBytes(t *testing.T) {
	want := bytes.Repeat([]byte("410,none\n"), 1<<20) // several blocks
	path := filepath.Join(t.TempDir(), "gates.csv")
	if err := os.WriteFile(path, want, 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := Read(t.Context(), path, int64(len(want)))
	if err != nil || !bytes.Equal(got, want) {
		t.Fatalf("read %d bytes of %d: %v", len(got), len(want), err)
	}
	var copied bytes.Buffer
	if err := Copy(t.Context(), &copied, path, int64(len(want))); err != nil || !bytes.Equal(copied.Bytes(), want) {
		t.Fatalf("copied %d bytes of %d: %v", copied.Len(), len(want), err)
	}
}

func TestReadRefuses(t *testing.T) {
	folder := t.TempDir()
	long := filepath.Join(folder, "long.csv")
	if err := os.WriteFile(long, make([]byte, 2000), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path  string
		cause Cause
		says  string
	}{
		{filepath.Join(folder, "none.csv"), Missing, "is not there"},
		{folder, Folder, "is a folder"},
		{os.DevNull, Device, "is a device or a pipe"},
		{long, TooLong, "is longer than the 1 KiB that are read"},
	} {
		_, err := Read(t.Context(), c.path, 1024)
		var e *Error
		if !errors.As(err, &e) || e.Cause != c.cause || !strings.Contains(e.Error(), c.says) {
			t.Errorf("%s: %v, want cause %d and %q", c.path, err, c.cause, c.says)
		}
		err = Copy(t.Context(), &bytes.Buffer{}, c.path, 1024)
		if !errors.As(err, &e) || e.Cause != c.cause {
			t.Errorf("copying %s: %v, want cause %d", c.path, err, c.cause)
		}
	}
}

func TestReadStopsWithTheContext(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gates.csv")
	if err := os.WriteFile(path, make([]byte, 100), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Read(ctx, path, 100); !errors.Is(err, context.Canceled) {
		t.Errorf("read in spite of the end of its context: %v", err)
	}
	if err := Copy(ctx, &bytes.Buffer{}, path, 100); !errors.Is(err, context.Canceled) {
		t.Errorf("copied in spite of the end of its context: %v", err)
	}
}

// Only a ~ that stands for a folder by itself is the home folder.
func TestHome(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("USERPROFILE", home)
	for typed, want := range map[string]string{"~": home, "~/a/b.csv": filepath.Join(home, "a", "b.csv"),
		"~joe/b.csv": "~joe/b.csv", "a/~": "a/~", "": "", "b~.csv": "b~.csv"} {
		if got := Home(typed); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}
