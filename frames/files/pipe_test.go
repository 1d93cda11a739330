//go:build unix

package files

import (
	"errors"
	"path/filepath"
	"syscall"
	"testing"
)

func TestReadDoesNotWaitForAPipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("no pipes here: ", err)
	}
	var e *Error
	if _, err := Read(t.Context(), pipe, 100); !errors.As(err, &e) || e.Cause != Device {
		t.Errorf("a pipe: %v", err)
	}
}
