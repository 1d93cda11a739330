package book

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"syscall"

	"breakbook/frames/files"
)

// found is what is known of the place that a file is to go to.
type found struct {
	there   bool     // something stands there
	same    bool     // it has the very bytes that are to be written
	ours    bool     // breakbook wrote it, and nobody changed it since
	known   bool     // breakbook wrote something there once
	source  bool     // the book was read from it
	by      []string // what it was drawn by, where breakbook drew it so
	belongs bool     // it is the sheet that is to be written, whatever was filled in
}

// verdict is what is done about a place.
type verdict uint8

const (
	create    verdict = iota // nothing is there: the file is new
	again                    // the old one takes the new contents
	leave                    // the old one stays, for it is as it is meant to be
	keepOld                  // the old one is kept under another name
	refuse                   // a person made or changed what is there
	isASource                // the book could not be replayed without it
)

// decide is the one place where it is settled whether a file may be written.
func decide(s found, replacing bool) verdict {
	switch {
	case !s.there:
		return create
	case s.belongs:
		return leave
	case s.source:
		return isASource
	case s.same:
		return leave
	case s.ours:
		return again
	case replacing:
		return keepOld
	}
	return refuse
}

// mostSealed is the longest file that is searched for a seal, or compared with a sheet.
const mostSealed = 256 << 20

// look finds out what stands where a piece is to go. Errors are those of the file system.
func (p *Piece) look(prints *Fingerprints, sources []SourceFile) (found, fs.FileInfo, error) {
	if p.Path == "" {
		return found{}, nil, errors.New("it has no name")
	}
	if _, err := os.Lstat(p.Path); errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		return found{}, nil, nil // what is wrong with the place, writing will say
	} else if err != nil {
		return found{}, nil, err
	}
	info, err := os.Stat(p.Path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return found{there: true}, nil, nil // a link that leads nowhere is somebody's
	case err != nil:
		return found{}, nil, err
	case info.IsDir():
		return found{}, nil, syscall.EISDIR
	case !info.Mode().IsRegular():
		return found{}, nil, errNotAFile
	}
	s := found{there: true}
	for _, source := range sources {
		if other, err := os.Stat(files.Home(source.Path)); err == nil && os.SameFile(info, other) {
			s.source = true
		}
	}
	wrote := prints.Of(wholePath(p.Path))
	s.known = len(wrote) > 0
	_, _, seals := sealMarks(p.Path)
	whole := info.Size() <= mostSealed && (seals || p.Leave != nil)
	if !s.known && !whole && info.Size() != int64(len(p.Content)) {
		return s, info, nil // nothing it could be known by
	}
	sum, content, err := contents(p.Path, whole)
	if err != nil {
		return s, info, nil // what cannot be read is not known for ours
	}
	own := sha256.Sum256(p.Content)
	s.same = sum == hex.EncodeToString(own[:])
	s.ours = whole && sealFits(p.Path, content)
	for _, w := range wrote {
		if w.SHA256 == sum {
			s.ours, s.by = true, append(s.by, w.By)
		}
	}
	s.belongs = !s.same && whole && p.Leave != nil && p.Leave(content)
	return s, info, nil
}

// contents reads a file for its SHA-256, and gives its bytes where they are wanted whole.
func contents(path string, whole bool) (sum string, content []byte, err error) {
	f, _, err := files.Open(path, math.MaxInt64)
	if err != nil {
		return "", nil, err
	}
	defer f.Close()
	h := sha256.New()
	if whole {
		if content, err = io.ReadAll(io.LimitReader(f, mostSealed)); err == nil {
			_, err = h.Write(content)
		}
	} else {
		_, err = io.Copy(h, f)
	}
	return hex.EncodeToString(h.Sum(nil)), content, err
}

// wholePath is how a file is called in the fingerprints: whole, and without links.
func wholePath(path string) string {
	whole, err := filepath.Abs(path)
	if err != nil {
		return filepath.Clean(path)
	}
	if real, err := filepath.EvalSymlinks(whole); err == nil {
		return real
	}
	if folder, err := filepath.EvalSymlinks(filepath.Dir(whole)); err == nil {
		return filepath.Join(folder, filepath.Base(whole))
	}
	return whole
}
