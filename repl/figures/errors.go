package figures

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// What can be wrong with a figure or the place it goes to; ask with errors.Is.
var (
	ErrFormat    = errors.New("a figure's file ends in .png, .svg or .pdf")
	ErrSize      = errors.New("the figure's size is out of reach")
	ErrEmpty     = errors.New("the figure has nothing to draw")
	ErrNotFinite = errors.New("the figure holds a number that is missing or endless")
	ErrShape     = errors.New("the figure's parts do not fit together")
	ErrWrite     = errors.New("cannot be written")
	ErrDrawing   = errors.New("the figure cannot be drawn")
)

// Error is a figure that did not come to be, with the file it was meant for.
type Error struct {
	Path string
	Err  error
}

func (e *Error) Error() string { return e.Path + ": " + e.Err.Error() }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// plainCause puts the reason why path could not be written in a few words: the
// atomic writer's own message names a file the user has never heard of.
func plainCause(err error, path string) error {
	folder, statErr := os.Stat(filepath.Dir(path))
	switch {
	case errors.Is(statErr, fs.ErrNotExist):
		return errors.New("there is no folder " + filepath.Dir(path))
	case statErr == nil && !folder.IsDir():
		return errors.New(filepath.Dir(path) + " is not a folder")
	}
	if there, err := os.Stat(path); err == nil && there.IsDir() {
		return errors.New("it is a folder")
	}
	var byPath *fs.PathError
	var byLink *os.LinkError
	switch {
	case errors.As(err, &byPath):
		return byPath.Err
	case errors.As(err, &byLink):
		return byLink.Err
	}
	return errors.New("the folder does not take new files")
}
