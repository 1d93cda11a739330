package book

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"breakbook/frames/files"
	"breakbook/repl/page"
)

// A saved book is UTF-8 text that can be replayed, read and edited: a first line
//
//	# breakbook book 1
//
// then a line for each data file it rests on,
//
//	# file "series/gates.csv" 60 rows sha256 9f86d081…
//
// and then its commands, one a line, as they were typed. Other lines that start
// with # are comments. The number in the first line is raised when an older
// program could no longer read the file. Write adds a seal as the last line.
const (
	header  = "# breakbook book "
	version = 1
	file    = "# file "
)

// Save is the file of a book: the commands of entries, so that Load reads them back, with
// the fingerprints of sources. Files under the folder of path are named from there, so that
// the folder may be moved or sent. Commands that failed are left out, and so are those that
// save, replay or leave a book. The error is that the folder of path has no name.
func Save(path string, entries []page.Entry, sources []Source) (Piece, error) {
	folder, err := filepath.Abs(filepath.Dir(path))
	if err != nil {
		return Piece{}, cannotWrite(path, err)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s%d\n", header, version)
	for _, s := range sources {
		b.WriteString(fileLine(folder, s))
	}
	for _, e := range entries {
		if replayable(e) {
			b.WriteString(strings.TrimRight(commandFrom(folder, e), "\r\n") + "\n")
		}
	}
	return Piece{Path: path, Content: b.Bytes()}, nil
}

func replayable(e page.Entry) bool {
	return e.Problem == nil && e.Input != "" && !slices.ContainsFunc(e.Asks, func(a page.Ask) bool {
		return a.Kind == page.SaveBook || a.Kind == page.Replay || a.Kind == page.Quit
	})
}

// Line is one line of a saved book.
type Line struct {
	Text string
	No   int // from 1, as an editor counts
}

// LoadError says which line of a book could not be read and why; Line is 0 where
// the whole file could not, and Reason then reads on after its name.
type LoadError struct {
	Path   string
	Line   int
	Reason string
	Err    error
}

func (e *LoadError) Error() string {
	if e.Line == 0 {
		return e.Path + " " + e.Reason
	}
	return fmt.Sprintf("%s line %d: %s", e.Path, e.Line, e.Reason)
}

func (e *LoadError) Unwrap() error { return e.Err }

// Load reads a saved book, or any text of commands one a line: its lines without
// comments, and the files it rested on. A blank line is kept only behind a line
// that ends in a comma, which it cancels. Errors are *LoadError.
func Load(ctx context.Context, path string) ([]Line, []Source, error) {
	data, err := files.Read(ctx, path, files.MostBook)
	if err != nil {
		bad := &LoadError{Path: path, Reason: "was not read: " + err.Error(), Err: err}
		var known *files.Error
		if errors.As(err, &known) {
			bad.Reason = known.Reason
		}
		return nil, nil, bad
	}
	var lines []Line
	var sources []Source
	text := strings.TrimPrefix(string(data), "\ufeff")
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSuffix(line, "\r")
		fail := func(why string) error { return &LoadError{Path: path, Line: i + 1, Reason: why} }
		trimmed := strings.TrimSpace(line)
		switch {
		case !utf8.ValidString(line) || strings.ContainsRune(line, 0):
			return nil, nil, fail("this is not text, so the file is no book")
		case strings.HasPrefix(line, header):
			if why := readableVersion(strings.TrimPrefix(trimmed, header)); why != "" {
				return nil, nil, fail(why)
			}
		case strings.HasPrefix(line, file) && strings.Contains(line, " sha256 "):
			s, ok := parseSource(strings.TrimPrefix(trimmed, file))
			if !ok {
				return nil, nil, fail(`a file is written as # file "NAME" N rows sha256 and 64 digits`)
			}
			sources = append(sources, s)
		case strings.HasPrefix(trimmed, "#"):
		case trimmed == "" && (len(lines) == 0 || !continued(lines[len(lines)-1], i)):
		default:
			lines = append(lines, Line{line, i + 1})
		}
	}
	return lines, sources, nil
}

// continued reports that last, which ends in a comma, is the line just before line i (from 0).
func continued(last Line, i int) bool {
	return last.No == i && strings.HasSuffix(strings.TrimSpace(last.Text), ",")
}

func readableVersion(s string) string {
	n, err := strconv.Atoi(s)
	switch {
	case err != nil || n < 1:
		return "the first line should be " + header + strconv.Itoa(version)
	case n > version:
		return fmt.Sprintf("the book was saved by a later version (form %d; this one reads form %d)", n, version)
	}
	return ""
}

func parseSource(s string) (Source, bool) {
	quoted, err := strconv.QuotedPrefix(s)
	if err != nil {
		return Source{}, false
	}
	name, err := strconv.Unquote(quoted)
	fields := strings.Fields(s[len(quoted):])
	if err != nil || len(fields) != 4 || fields[1] != "rows" || fields[2] != "sha256" {
		return Source{}, false
	}
	rows, err := strconv.Atoi(fields[0])
	sum, sumErr := hex.DecodeString(fields[3])
	return Source{File: name, SHA256: fields[3], Rows: rows}, err == nil && sumErr == nil && len(sum) == 32
}
