package book

import (
	"errors"
	"io/fs"
	"os"

	"golang.org/x/sys/unix"
)

// moveNew gives a file a name that nothing has yet: where something has, the error is
// fs.ErrExist, and that stays.
func moveNew(from, to string) error {
	err := unix.Renameat2(unix.AT_FDCWD, from, unix.AT_FDCWD, to, unix.RENAME_NOREPLACE)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
	}
	return linkNew(from, to) // this file system has no such renaming, or fails both ways
}
