package files

import (
	"errors"
	"io/fs"
	"os"
	"time"
)

// Edit opens a plain file for reading and writing, and makes one that only its owner
// can read where nothing has this name. Errors are *Error.
func Edit(path string) (*os.File, error) {
	real := Home(path)
	info, err := os.Stat(real)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, unwritable(path, err)
	default:
		if err := plain(path, info, info.Size()); err != nil {
			return nil, err
		}
	}
	f, err := os.OpenFile(real, os.O_RDWR|os.O_CREATE|withoutWaiting, 0o600)
	if err != nil {
		return nil, unwritable(path, err)
	}
	if info, err = f.Stat(); err == nil {
		err = plain(path, info, info.Size())
	}
	if err != nil {
		f.Close()
		return nil, unwritable(path, err)
	}
	return f, nil
}

// unwritable is a failure of the system to open a file for writing as an *Error.
func unwritable(path string, err error) error {
	e, known := asError(path, err).(*Error)
	var at *fs.PathError
	switch {
	case !known || e.Cause == Folder || e.Cause == Device:
	case e.Cause == Missing:
		e.Reason = "cannot be made"
	case errors.As(err, &at):
		e.Reason = "cannot be written: " + at.Err.Error()
	}
	return e
}

// TryLock takes the lock of an open file, unless it is held through another opening of
// the file, here or in another process. The lock ends when the file is closed, or with
// the process, however that ends.
func TryLock(f *os.File) (bool, error) { return tryLock(f) }

// ErrLocked says that a lock was not free in time.
var ErrLocked = errors.New("another breakbook is using it")

// Lock takes the lock of an open file as TryLock does and waits for it, at most so long.
// The error is ErrLocked or the system's.
func Lock(f *os.File, wait time.Duration) error {
	const pause = 2 * time.Millisecond
	for end := time.Now().Add(wait); ; time.Sleep(pause) {
		switch got, err := tryLock(f); {
		case got || err != nil:
			return err
		case time.Now().After(end):
			return ErrLocked
		}
	}
}
