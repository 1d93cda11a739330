package files

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// tryLock locks one byte far behind the end of any file, since on this system nobody
// else could read what is locked.
func tryLock(f *os.File) (bool, error) {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY,
		0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	switch {
	case err == nil:
		return true, nil
	case errors.Is(err, windows.ERROR_LOCK_VIOLATION), errors.Is(err, windows.ERROR_IO_PENDING):
		return false, nil
	}
	return false, os.NewSyscallError("LockFileEx", err)
}
