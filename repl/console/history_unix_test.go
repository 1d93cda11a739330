//go:build unix

package console

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestHistoryThatIsNoPlainFile: nothing is read from a pipe or a device, nothing is written
// to it, and nobody waits for it.
func TestHistoryThatIsNoPlainFile(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "history")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("no pipes here: ", err)
	}
	device := filepath.Join(t.TempDir(), "history")
	if err := os.Symlink("/dev/zero", device); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{pipe, device} {
		before, err := os.Lstat(path)
		if err != nil {
			t.Fatal(err)
		}
		h := OpenHistory(path)
		h.Add("look")
		if err := h.Close(); err == nil || !strings.Contains(err.Error(), "is a device or a pipe, not a file") {
			t.Errorf("%s: error %v", path, err)
		}
		if after, err := os.Lstat(path); err != nil || after.Mode() != before.Mode() {
			t.Errorf("%s became %v, %v", path, after.Mode(), err)
		}
		if lines := h.Lines(); len(lines) != 1 || lines[0] != "look" {
			t.Errorf("%s: this session remembers %q", path, lines)
		}
	}
}
