package files

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestEditMakesAndOpensPlainFilesOnly(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "history")
	for _, part := range []string{"look\n", "rows\n"} {
		f, err := Edit(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Seek(0, 2); err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteString(part); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "look\nrows\n" {
		t.Errorf("holds %q, %v", got, err)
	}
	for place, cause := range map[string]Cause{os.DevNull: Device, folder: Folder, filepath.Join(folder, "none",
		"x"): Missing} {
		f, err := Edit(place)
		var e *Error
		if !errors.As(err, &e) || e.Cause != cause {
			t.Errorf("%s: %v, %v, want cause %d", place, f, err, cause)
		}
	}
}

func TestALockIsHeldUntilTheFileIsClosed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	first, err := Edit(path)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Edit(path)
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close()
	if got, err := TryLock(first); !got || err != nil {
		t.Fatalf("a free lock: %v, %v", got, err)
	}
	if got, err := TryLock(second); got || err != nil {
		t.Errorf("a lock that is held: %v, %v", got, err)
	}
	if err := Lock(second, 10*time.Millisecond); !errors.Is(err, ErrLocked) {
		t.Errorf("waited for a lock that is held: %v", err)
	}
	time.AfterFunc(20*time.Millisecond, func() { first.Close() })
	if err := Lock(second, time.Minute); err != nil {
		t.Errorf("once it is free: %v", err)
	}
}
