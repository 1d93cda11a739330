// Package book keeps a session: it writes files whole or not at all, saves the
// commands of a book so that they can be replayed, says how a replay differs from
// an earlier run, and puts the report together.
package book

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
)

// WriteError says in one line which file could not be written and why.
type WriteError struct {
	Path   string
	Reason string
	Err    error // the cause, for errors.Is
}

func (e *WriteError) Error() string { return "cannot write " + e.Path + ": " + e.Reason }

func (e *WriteError) Unwrap() error { return e.Err }

// WriteFile writes a file of breakbook's own, such as a history, whole or not at all: write
// fills a file beside it, which then takes its place, whatever stood there. (What a command
// writes goes through Write, which asks first whose the old one is.) On failure what stood
// there before is untouched and nothing remains. A new file has the usual mode, one
// that is replaced keeps its own; a link stays a link. Errors are *WriteError.
func WriteFile(path string, write func(io.Writer) error) error {
	target, mode, err := destination(path)
	if err != nil {
		return cannotWrite(path, err)
	}
	part, err := stage(target, mode, write)
	if err == nil {
		if err = replaceFile(part, target); err != nil {
			os.Remove(part) // best effort: the failure itself is what the user must hear
		}
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

func cannotWrite(path string, err error) *WriteError {
	return &WriteError{Path: path, Reason: reason(path, err), Err: err}
}

// stage writes a file of a passing name beside target, down to the disk. On failure nothing
// is left over.
func stage(target string, mode fs.FileMode, write func(io.Writer) error) (part string, err error) {
	f, err := beside(target)
	if err != nil {
		return "", err
	}
	if err = fill(f, mode, write); err != nil {
		os.Remove(f.Name()) // best effort: the failure itself is what the user must hear
		return "", err
	}
	return f.Name(), nil
}

// errNotAFile is the cause when the path names a folder or a device.
var errNotAFile = errors.New("it is not a plain file")

// destination follows a link and checks that what stands at path may be replaced;
// mode is 0 where nothing stands there.
func destination(path string) (target string, mode fs.FileMode, err error) {
	if path == "" {
		return "", 0, errors.New("it has no name")
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return path, 0, nil
	case err != nil:
		return "", 0, err
	case info.IsDir():
		return "", 0, syscall.EISDIR
	case !info.Mode().IsRegular():
		return "", 0, errNotAFile
	}
	if target, err = filepath.EvalSymlinks(path); err != nil {
		return "", 0, err
	}
	f, err := os.OpenFile(target, os.O_WRONLY, 0) // a file the user may not change is not replaced
	if err != nil {
		return "", 0, err
	}
	return target, info.Mode().Perm(), f.Close()
}

// beside opens a new file in the folder of target.
func beside(target string) (*os.File, error) {
	for {
		f, err := os.OpenFile(passing(target), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// passing is a hidden name beside target that nothing is likely to have.
func passing(target string) string {
	dir, name := filepath.Split(target)
	return filepath.Join(dir, fmt.Sprintf(".%.80s.%08x.part", name, rand.Uint32()))
}

func fill(f *os.File, mode fs.FileMode, write func(io.Writer) error) (err error) {
	defer func() { err = errors.Join(err, f.Close()) }()
	b := bufio.NewWriter(f)
	if err = write(b); err != nil {
		return err
	}
	if err = b.Flush(); err != nil {
		return err
	}
	if mode != 0 {
		if err = f.Chmod(mode); err != nil {
			return err
		}
	}
	return f.Sync()
}

// reason puts the cause in words.
func reason(path string, err error) string {
	folder := filepath.Dir(path)
	switch {
	case errors.Is(err, syscall.EISDIR):
		return "it is a folder"
	case errors.Is(err, fs.ErrNotExist):
		if info, err := os.Stat(folder); err == nil && info.IsDir() {
			return "no file can be made in " + folder
		}
		return "there is no folder " + folder
	case errors.Is(err, syscall.ENOTDIR):
		return folder + " is not a folder"
	case errors.Is(err, fs.ErrPermission):
		return "not permitted"
	case errors.Is(err, syscall.EROFS):
		return "the disk is read-only"
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full"
	case errors.Is(err, syscall.ENAMETOOLONG):
		return "its name is too long"
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
