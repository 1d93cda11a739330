package book

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"slices"

	"breakbook/frames/files"
	"breakbook/repl/page"
)

// Source is a data file a book rests on.
type Source struct {
	File   string // the path as typed
	SHA256 string // its fingerprint, 64 lower-case hex digits
	Sheet  string // of a workbook: the sheet read from it; a saved book has it in the command that opens it
	Rows   int    // specimens read from it; 0 where unknown
}

// mostFingerprinted is the longest file whose fingerprint is taken, in bytes: longer
// than any series that can be opened.
const mostFingerprinted = 1 << 40

// Fingerprint reads a plain file and gives its SHA-256; Rows stays 0. Errors are
// *files.Error, or the context's.
func Fingerprint(ctx context.Context, path string) (Source, error) {
	h := sha256.New()
	if err := files.Copy(ctx, h, path, mostFingerprinted); err != nil {
		return Source{}, err
	}
	return Source{File: path, SHA256: hex.EncodeToString(h.Sum(nil))}, nil
}

// Changed gives a caution for each source of a book in the folder that holds something
// else now than when its fingerprint was taken, and for each that is no plain file. A
// file that is not there is left to the command that opens it. The error is the
// context's.
func Changed(ctx context.Context, saved []Source, folder string) ([]page.Sentence, error) {
	var out []page.Sentence
	for i, s := range saved {
		if slices.ContainsFunc(saved[:i], func(o Source) bool { return o.File == s.File && o.SHA256 == s.SHA256 }) {
			continue // another sheet of it
		}
		now, err := Fingerprint(ctx, Beside(folder, s.File))
		var unread *files.Error
		switch {
		case errors.As(err, &unread) && unread.Cause != files.Missing && unread.Cause != files.Unreadable:
			out = append(out, page.Say(s.File, " ", unread.Reason, ", so it cannot be what this book was saved with."))
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case err == nil && now.SHA256 != s.SHA256:
			out = append(out, page.Say(s.File, " has changed since this book was saved: results may differ."))
		}
	}
	return out, nil
}

// Beside is where a path leads that stands in a book of the folder: beside the book
// where there is something of that name, else as it would anywhere.
func Beside(folder, path string) string {
	path = files.Home(path)
	if filepath.IsAbs(path) {
		return path
	}
	near := filepath.Join(folder, path)
	if _, err := os.Stat(near); err == nil {
		return near
	}
	return path
}
