package repl

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"breakbook/repl/book"
	"breakbook/repl/kernel"
	"breakbook/repl/page"
)

// writeFiles writes what an entry asks to be written, all of it or none, and drops the
// contents from the asks. A file that a series of the book was read from is not
// replaced: the book could not be replayed.
func writeFiles(asks []page.Ask, s *kernel.Session) error {
	var undo []func() error
	for i, ask := range asks {
		if ask.Kind != page.Write || ask.Done {
			continue
		}
		err := keepsSources(ask.Path, s)
		var back func() error
		if err == nil {
			back, err = writeOver(ask.Path, ask.Content)
		}
		if err != nil {
			for _, back := range undo {
				if left := back(); left != nil {
					return &page.Problem{Code: "cannot-write", Message: err.Error() + "; and what was written before it could not be taken back: " + left.Error()}
				}
			}
			return err
		}
		undo = append(undo, back)
		asks[i].Content = nil
	}
	return nil
}

var errNoFile = errors.New("it is not a plain file")

// writeOver writes a file and gives what puts the old one, or none, back.
func writeOver(path string, content []byte) (back func() error, err error) {
	var old []byte
	unread := errNoFile
	if info, err := os.Stat(path); err != nil {
		unread = err
	} else if info.Mode().IsRegular() { // a pipe or a device is not read: it may never end
		old, unread = os.ReadFile(path)
	}
	// where there is nothing to read, writing says what is wrong with the place
	if err := writeContent(path, content); err != nil {
		return nil, err
	}
	if errors.Is(unread, fs.ErrNotExist) {
		return func() error { return os.Remove(path) }, nil
	}
	return func() error {
		if unread != nil {
			return unread
		}
		return writeContent(path, old)
	}, nil
}

func writeContent(path string, content []byte) error {
	return written(book.WriteFile(path, func(w io.Writer) error {
		_, err := io.Copy(w, bytes.NewReader(content))
		return err
	}))
}

// keepsSources refuses a path that is the file of an open series.
func keepsSources(path string, s *kernel.Session) error {
	info, err := os.Stat(path)
	if err != nil {
		return nil
	}
	for _, source := range s.Sources() {
		if other, err := os.Stat(source.Path); err == nil && os.SameFile(info, other) {
			return &page.Problem{Code: "is-a-source", Hint: "write it under another name",
				Message: fmt.Sprintf("%s is the file that %s was read from; a book that reads it could not be replayed", path, source.Series)}
		}
	}
	return nil
}
