package book

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"

	"breakbook/repl/page"
)

// Source is a data file a book rests on.
type Source struct {
	File   string // the path as typed
	SHA256 string // its fingerprint, 64 lower-case hex digits
	Rows   int    // specimens read from it; 0 where unknown
}

// Fingerprint reads a file and gives its SHA-256; Rows stays 0. Errors are those of
// the file system.
func Fingerprint(path string) (Source, error) {
	f, err := os.Open(path)
	if err != nil {
		return Source{}, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return Source{}, err
	}
	return Source{File: path, SHA256: hex.EncodeToString(h.Sum(nil))}, nil
}

// Changed gives a caution for each source that holds something else now than when
// its fingerprint was taken. A file that cannot be read is left to the command
// that opens it.
func Changed(saved []Source) []page.Sentence {
	var out []page.Sentence
	for _, s := range saved {
		now, err := Fingerprint(s.File)
		if err == nil && now.SHA256 != s.SHA256 {
			out = append(out, page.Say(s.File, " has changed since this book was saved: results may differ."))
		}
	}
	return out
}
