package frames

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Source is where a frame came from.
type Source struct {
	Path   string // as given
	SHA256 string // of the file's bytes, in hexadecimal
	Bytes  int64
}

// Open reads a CSV file into a frame. A leading ~/ is the home folder. Errors are
// *Error with the file and, where there is one, the line; a file that is not there
// comes with the nearest name in its folder.
func Open(path string, o Overrides) (*Frame, *Reading, error) {
	real := path
	if rest, ok := strings.CutPrefix(path, "~/"); ok {
		if home, err := os.UserHomeDir(); err == nil {
			real = filepath.Join(home, rest)
		}
	}
	info, err := os.Stat(real)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, &Error{Code: "no-such-file", File: path, Word: path, Err: err,
			Detail: "there is no file " + path, Hint: nearestFile(real)}
	case err != nil:
		return nil, nil, unreadable(path, err)
	case info.IsDir():
		return nil, nil, &Error{Code: "is-a-folder", File: path, Word: path,
			Detail: path + " is a folder, not a file", Hint: tableIn(real)}
	case !info.Mode().IsRegular():
		return nil, nil, &Error{Code: "not-a-file", File: path, Word: path, Detail: path + " is a device or a pipe, not a file"}
	}
	data, err := os.ReadFile(real)
	if err != nil {
		return nil, nil, unreadable(path, err)
	}
	return readWithLook(path, real, data, o)
}

func unreadable(path string, err error) *Error {
	reason := err
	var p *fs.PathError
	if errors.As(err, &p) {
		reason = p.Err
	}
	return &Error{Code: "unreadable", File: path, Word: path, Detail: path + " cannot be read: " + reason.Error(), Err: err}
}

// nearestFile suggests a file of the same folder with a name like this one.
func nearestFile(path string) string {
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	base := filepath.Base(path)
	if slices.Contains(names, base+".csv") {
		return "did you mean " + base + ".csv?"
	}
	return didYouMean(base, names)
}

// tableIn names a CSV file in the folder.
func tableIn(folder string) string {
	found, err := filepath.Glob(filepath.Join(folder, "*.csv"))
	if err != nil || len(found) == 0 {
		return ""
	}
	return "did you mean " + filepath.Base(found[0]) + " in it?"
}

// fingerprint is the SHA-256 of the bytes, computed while they are being read.
func fingerprint(data []byte) <-chan string {
	sum := make(chan string, 1)
	go func() {
		hash := sha256.Sum256(data)
		sum <- hex.EncodeToString(hash[:])
	}()
	return sum
}
