package book

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"github.com/natefinch/atomic"
)

// linkNew is moveNew by a second name for the file. Where the file system knows no second
// names, the new one is first claimed by an empty file.
func linkNew(from, to string) error {
	err := os.Link(from, to)
	if err == nil {
		return os.Remove(from)
	}
	if errors.Is(err, fs.ErrExist) {
		return err
	}
	claim, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	if err = errors.Join(claim.Close(), atomic.ReplaceFile(from, to)); err != nil {
		os.Remove(to) // the empty file that claimed the name; the failure is what the user must hear
	}
	return err
}

// second gives the file at path a second name that nothing has yet, or where there are no
// second names a copy. Where something has the name, the error is fs.ErrExist.
func second(path, name string) error {
	err := os.Link(path, name)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	from, err := os.Open(path) // known for a plain file
	if err != nil {
		return err
	}
	defer from.Close()
	info, err := from.Stat()
	if err != nil {
		return err
	}
	part, err := stage(name, info.Mode().Perm(), func(w io.Writer) error {
		_, err := io.Copy(w, from)
		return err
	})
	if err != nil {
		return err
	}
	if err = moveNew(part, name); err != nil {
		os.Remove(part)
	}
	return err
}

// syncFolder makes names in a folder last through a crash of the machine, where the
// system can do that.
func syncFolder(folder string) {
	if runtime.GOOS == "windows" {
		return
	}
	if f, err := os.Open(filepath.Join(folder, ".")); err == nil {
		_ = f.Sync() // the files themselves are safe; some file systems refuse it
		f.Close()
	}
}
