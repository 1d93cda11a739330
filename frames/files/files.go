// Package files is the one way in which breakbook opens a file to read it: plain files
// only, never longer than what is read may be, and given up when the context ends. In
// comes a path, as a person typed it; out come the bytes, or an *Error that says in
// words what stands in the way.
package files

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// The longest files that are read, in bytes. A series may be as long as memory allows (MostTable).
const (
	MostBook    = 16 << 20  // a saved book, a journal, a history, settings
	MostEarlier = 256 << 20 // the entries of an earlier run, to compare with
)

// Cause is why a file cannot be read.
type Cause uint8

const (
	Missing Cause = iota // nothing has this name
	Folder
	Device // a device, a pipe or a socket
	TooLong
	Unreadable // the system refuses, or reading broke off
)

// Error says why a file was not read. Reason reads on after the file's name.
type Error struct {
	Path   string // as given
	Cause  Cause
	Reason string // "is a folder, not a file"
	Err    error  // the system's own, where there is one
}

func (e *Error) Error() string { return e.Path + " " + e.Reason }

func (e *Error) Unwrap() error { return e.Err }

// Home is the path with a ~ at its start replaced by the home folder.
func Home(path string) string {
	if rest, ok := strings.CutPrefix(path, "~"); ok && (rest == "" || rest[0] == '/' || rest[0] == filepath.Separator) {
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, rest)
		}
	}
	return path
}

// Open opens a plain file of at most so many bytes for reading. What stands at the path
// is looked at before it is opened, and again once it is open, so that a pipe put there
// in between is not waited for. Errors are *Error.
func Open(path string, most int64) (*os.File, fs.FileInfo, error) {
	real := Home(path)
	info, err := os.Stat(real)
	if err == nil {
		err = plain(path, info, most)
	}
	if err != nil {
		return nil, nil, asError(path, err)
	}
	f, err := os.OpenFile(real, os.O_RDONLY|withoutWaiting, 0)
	if err != nil {
		return nil, nil, asError(path, err)
	}
	if info, err = f.Stat(); err == nil {
		err = plain(path, info, most)
	}
	if err != nil {
		f.Close()
		return nil, nil, asError(path, err)
	}
	return f, info, nil
}

// Read reads a plain file whole. A file that grows past most while it is read is
// refused like one that was longer from the start. Errors are *Error, or the context's.
func Read(ctx context.Context, path string, most int64) ([]byte, error) {
	f, info, err := Open(path, most)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data := make([]byte, 0, info.Size()+1)
	inLargePages(data[:cap(data)])
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if len(data) == cap(data) {
			data = append(data, 0)[:len(data)]
		}
		n, err := f.Read(data[len(data):min(cap(data), len(data)+block)])
		data = data[:len(data)+n]
		switch {
		case int64(len(data)) > most:
			return nil, tooLong(path, most)
		case errors.Is(err, io.EOF):
			return data, nil
		case err != nil:
			return nil, asError(path, err)
		}
	}
}

// block is how much is read between two looks at the context.
const block = 4 << 20

// Copy streams a plain file of at most so many bytes into w. Errors are *Error, the
// context's, or w's own.
func Copy(ctx context.Context, w io.Writer, path string, most int64) error {
	f, _, err := Open(path, most)
	if err != nil {
		return err
	}
	defer f.Close()
	for left := most; ; {
		if err := ctx.Err(); err != nil {
			return err
		}
		n, err := io.CopyN(w, f, min(block, left+1))
		left -= n
		switch {
		case left < 0:
			return tooLong(path, most)
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return asError(path, err)
		}
	}
}

// plain is nil for a plain file that is no longer than it may be.
func plain(path string, info fs.FileInfo, most int64) error {
	switch {
	case info.IsDir():
		return &Error{Path: path, Cause: Folder, Reason: "is a folder, not a file"}
	case !info.Mode().IsRegular():
		return &Error{Path: path, Cause: Device, Reason: "is a device or a pipe, not a file"}
	case info.Size() > most:
		return tooLong(path, most)
	}
	return nil
}

func tooLong(path string, most int64) error {
	return &Error{Path: path, Cause: TooLong, Reason: "is longer than the " + Size(most) + " that are read"}
}

// asError is a failure of the system as an *Error.
func asError(path string, err error) error {
	var known *Error
	var at *fs.PathError
	switch {
	case errors.As(err, &known):
		return known
	case errors.Is(err, fs.ErrNotExist):
		return &Error{Path: path, Cause: Missing, Reason: "is not there", Err: err}
	case errors.Is(err, syscall.EISDIR):
		return &Error{Path: path, Cause: Folder, Reason: "is a folder, not a file", Err: err}
	case errors.As(err, &at):
		return &Error{Path: path, Cause: Unreadable, Reason: "cannot be read: " + at.Err.Error(), Err: err}
	}
	return &Error{Path: path, Cause: Unreadable, Reason: "cannot be read: " + err.Error(), Err: err}
}

// Size is a number of bytes in words: "16 MiB".
func Size(bytes int64) string {
	units := []string{"bytes", "KiB", "MiB", "GiB", "TiB"}
	x, i := float64(bytes), 0
	for x >= 1024 && i < len(units)-1 {
		x, i = x/1024, i+1
	}
	return fmt.Sprintf("%.3g %s", x, units[i])
}
