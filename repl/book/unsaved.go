package book

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"breakbook/frames/files"
)

// Unsaved is a journal that an earlier session left behind: a book that was not saved.
type Unsaved struct {
	Path    string
	Last    time.Time // when its last entry was kept
	Entries []UnsavedEntry
	Sources []Source // the files it rests on, each as it was last read
	Surroundings

	file *os.File // open and locked while it is taken
}

// UnsavedEntry is one entry of a journal.
type UnsavedEntry struct {
	Text string   // the command, which may be of several lines
	Drew []string // the figures it drew
	No   int      // the line of the journal where it starts, from 1
}

const (
	mostJournal  = files.MostEarlier     // the longest journal that is read, in bytes
	anotherStart = 20 * time.Millisecond // what another session takes to look at a journal that is left
)

// ErrTaken says that a journal is gone or in the hands of a living session.
var ErrTaken = errors.New("another breakbook has taken it up")

// FindUnsaved is the journals in the state folder that belong to no living session, the
// latest first. Those that hold no entry are removed.
func FindUnsaved(state string) []*Unsaved {
	found, err := os.ReadDir(journalFolder(state))
	if err != nil {
		return nil // no journal was ever kept here
	}
	var unsaved []*Unsaved
	for _, f := range found {
		if filepath.Ext(f.Name()) != ".brk" || !f.Type().IsRegular() {
			continue
		}
		l, err := TakeUp(filepath.Join(journalFolder(state), f.Name()))
		if err != nil {
			continue // of a living session, or nothing that could be taken up
		}
		if len(l.Entries) == 0 {
			_ = l.Remove() // the next start tries again
			continue
		}
		l.Release()
		unsaved = append(unsaved, l)
	}
	slices.SortStableFunc(unsaved, func(a, b *Unsaved) int { return b.Last.Compare(a.Last) })
	return unsaved
}

// TakeUp reads a journal and keeps it locked until Remove or Release. What is torn at its
// end is left out. The error is ErrTaken, or says why it cannot be read.
func TakeUp(path string) (*Unsaved, error) {
	if _, err := os.Lstat(path); errors.Is(err, os.ErrNotExist) {
		return nil, ErrTaken
	}
	f, err := files.Edit(path)
	if err != nil {
		return nil, err
	}
	l := &Unsaved{Path: path, file: f}
	if err := l.read(); err != nil {
		f.Close()
		return nil, err
	}
	return l, nil
}

func (l *Unsaved) read() error {
	err := files.Lock(l.file, anotherStart)
	switch {
	case errors.Is(err, files.ErrLocked), err == nil && !stillAt(l.Path, l.file):
		return ErrTaken
	case err != nil:
		return err
	}
	info, err := l.file.Stat()
	if err != nil {
		return err
	}
	l.Last = info.ModTime()
	text, err := files.Read(context.Background(), l.Path, mostJournal)
	if err != nil {
		return err
	}
	return l.parse(text)
}

// Release leaves the journal where it is, for another session to take up.
func (l *Unsaved) Release() {
	l.file.Close() // nothing was written to it
}

// Remove removes the journal. Errors are those of the file system.
func (l *Unsaved) Remove() error { return remove(l.Path, l.file) }

// parse takes the entries and remarks from the text of a journal up to where it is torn.
func (l *Unsaved) parse(text []byte) error {
	var drew []string
	lines, at := whole(text), 0
	for ; at < len(lines); at++ {
		line := lines[at]
		remark := func(name string) (string, bool) { return strings.CutPrefix(line, name) }
		if rest, ok := remark(header); ok {
			if why := readableVersion(rest); why != "" {
				return &LoadError{Path: l.Path, Line: at + 1, Reason: why}
			}
		} else if rest, ok := remark(folderRemark); ok {
			l.Folder = unquoted(rest)
		} else if rest, ok := remark(outRemark); ok {
			l.Out = unquoted(rest)
		} else if rest, ok := remark(seedRemark); ok {
			l.Seed, _ = strconv.ParseUint(rest, 10, 64) // 0, as without the remark
		} else if rest, ok := remark(drewRemark); ok {
			drew = append(drew, unquoted(rest))
		} else if rest, ok := remark(file); ok {
			if s, ok := parseSource(rest); ok {
				l.Sources = append(slices.DeleteFunc(l.Sources, func(o Source) bool { return o.File == s.File }), s)
			}
		} else if rest, ok := remark(linesRemark); ok {
			n, err := strconv.Atoi(rest)
			if err != nil || n < 1 || n > len(lines)-1-at { // not all of its lines came to be
				return nil
			}
			l.Entries = append(l.Entries, UnsavedEntry{strings.Join(lines[at+1:at+1+n], "\n"), drew, at + 2})
			drew, at = nil, at+n
		} else if !strings.HasPrefix(line, "#") && strings.TrimSpace(line) != "" {
			l.Entries = append(l.Entries, UnsavedEntry{line, drew, at + 1})
			drew = nil
		}
	}
	return nil
}

// whole is the lines of a journal that were written to their end. A system that fails in
// the middle of one may leave zeros or other bytes behind.
func whole(text []byte) []string {
	var lines []string
	for line := range bytes.Lines(text) {
		complete := bytes.HasSuffix(line, []byte("\n"))
		if !complete || !utf8.Valid(line) || bytes.IndexByte(line, 0) >= 0 {
			break
		}
		lines = append(lines, strings.TrimSuffix(strings.TrimSuffix(string(line), "\n"), "\r"))
	}
	return lines
}

// unquoted is a name as it was before it was quoted; "" where it is damaged.
func unquoted(s string) string {
	name, err := strconv.Unquote(s)
	if err != nil {
		return ""
	}
	return name
}
