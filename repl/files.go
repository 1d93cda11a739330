package repl

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	disk "breakbook/frames/files"
	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// files knows where the files go that the commands write.
type files struct {
	folder string             // for paths without a folder of their own; "" is the current one
	drawn  int                // the number of the last figure without a name
	fresh  bool               // figures without a name never take one that is there, as at the prompt
	began  int                // how many entries the book had when the replay began that is going on
	prints *book.Fingerprints // of what breakbook wrote, by remembered; nil: nothing yet
	fence  *fence             // what may be written; nil: anything

	resuming bool     // a book that was not saved is taken up: what it wrote is left as it is
	drew     []string // the figures that the entry at hand drew before
}

var numbered = regexp.MustCompile(`^figure-(\d+)\.(?:png|svg|pdf)$`)

// afterEarlier starts the numbers of the figures after those already in the folder,
// so that a new book at the prompt leaves the figures of the last one alone.
func (f files) afterEarlier() files {
	f.fresh = true
	found, err := os.ReadDir(filepath.Join(f.folder, "."))
	if err != nil {
		return f // a folder that is not there yet holds no figures
	}
	for _, file := range found {
		if m := numbered.FindStringSubmatch(file.Name()); m != nil {
			if n, err := strconv.Atoi(m[1]); err == nil && n > f.drawn {
				f.drawn = n
			}
		}
	}
	return f
}

// remembered is what breakbook wrote.
func (f *files) remembered() *book.Fingerprints {
	if f.prints == nil {
		f.prints = book.NewFingerprints("")
	}
	return f.prints
}

// place is where a path as typed leads: a name without a folder goes to the folder
// of the book.
func (f files) place(path string) string {
	if filepath.Base(path) == path {
		return filepath.Join(f.folder, path)
	}
	return path
}

// whole is the folder of the book as a whole path, "" where none was named.
func (f files) whole() string {
	if f.folder == "" {
		return ""
	}
	whole, err := filepath.Abs(f.folder)
	if err != nil {
		return f.folder
	}
	return whole
}

// ready makes the folder of the book where it is not there yet.
func (f files) ready() error {
	if f.folder == "" {
		return nil
	}
	return makeFolder(f.folder)
}

func makeFolder(folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return page.Refuse(page.CodeCannotWrite, 0, fmt.Sprintf("cannot make the folder %s: %s", folder, cause(err)),
			"")
	}
	return nil
}

// replaying is how figures are numbered while a book is replayed: from the first on, taking
// again the names that the same book gave them before. done goes back to how it was.
func (f *files) replaying(entries int) (done func()) {
	was := *f
	f.drawn, f.fresh, f.began = 0, false, entries
	return func() { f.drawn, f.fresh, f.began = max(f.drawn, was.drawn), was.fresh, was.began }
}

// drawnBy tells one figure without a name from others: it is the same where the same
// commands were given in the same folder, since the start or since a replay began.
func (f *files) drawnBy(s *session.Session, figure int) string {
	h := sha256.New()
	folder, err := os.Getwd()
	if err != nil {
		return ""
	}
	fmt.Fprintf(h, "%q\n", folder)
	entries := s.Entries()
	for _, e := range entries[min(f.began, len(entries)):] {
		fmt.Fprintf(h, "%q\n", e.Input)
	}
	fmt.Fprintf(h, "%d\n", figure)
	return hex.EncodeToString(h.Sum(nil))
}

// pathsFrom lists the files and folders whose path starts as typed, for completion;
// a folder ends in its separator. Hidden ones are shown when a dot was typed.
func pathsFrom(prefix string) []string {
	folder, name := filepath.Split(prefix)
	real := disk.Home(folder)
	found, err := os.ReadDir(filepath.Join(real, "."))
	if err != nil {
		return nil // nothing to offer there
	}
	var out []string
	for _, f := range found {
		if !strings.HasPrefix(f.Name(), name) || name == "" && strings.HasPrefix(f.Name(), ".") {
			continue
		}
		path := folder + f.Name()
		if info, err := os.Stat(filepath.Join(real, f.Name())); err == nil && info.IsDir() {
			path += string(filepath.Separator)
		}
		out = append(out, path)
	}
	return out
}
