package book

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Piece is one file that a command writes.
type Piece struct {
	Path    string
	Content []byte

	// Leave, if there is one, tells from the contents of what stands there already whether
	// it is to be left as it is: a sheet of the same plan, filled in.
	Leave func(old []byte) bool
	// Beside: it goes with the piece before it. Where that is left, so is what stands here.
	Beside bool
	// Number, if there is one, puts a number into the name.
	Number *Number
}

// Number is for a file without a name of its own: figure.png becomes figure-1.png,
// figure-2.png and so on, the first name that is free.
type Number struct {
	After int    // the number of the last one
	By    string // what it is drawn by, or ""
	// Again: a name that is not free does as well where breakbook drew the same there by the
	// same commands, and nobody changed it since.
	Again bool
}

// SourceFile is a file that the book was read from.
type SourceFile struct {
	Path string // as typed
	Of   string // what was read from it: a series
}

// Order is all that one command writes.
type Order struct {
	Pieces    []Piece
	Replacing bool         // what a person made or changed is kept under another name
	Sources   []SourceFile // which are never replaced
}

// Placed says what became of a piece.
type Placed struct {
	Path      string // where it is, with its number
	Number    int
	Untouched bool   // what stood there is left as it was
	Before    string // where the old one is kept; "" where there was none to keep
}

// ExistsError says that a person made or changed the file that stands where one was to go.
type ExistsError struct {
	Path    string
	Changed bool // breakbook wrote it once
}

func (e *ExistsError) Error() string {
	if e.Changed {
		return e.Path + " has been changed since breakbook wrote it"
	}
	return e.Path + " is there already, and breakbook did not write it"
}

// SourceError says that the book was read from the file.
type SourceError struct{ SourceFile }

func (e *SourceError) Error() string {
	return fmt.Sprintf("%s is the file that %s was read from; a book that reads it could not be replayed", e.Path, e.Of)
}

// Write writes the files of one command, all of them or none. A file that a person made or
// changed is never replaced: where a fingerprint shows that breakbook wrote exactly what
// stands there, it is written again; anything else is an *ExistsError, or with Replacing is
// kept as NAME.before. A new name is taken so that a file which appears meanwhile stays.
// Where the context ends before the first file has its name, nothing is written. Other errors
// are *SourceError, *WriteError and the context's.
func Write(ctx context.Context, prints *Fingerprints, o Order) ([]Placed, error) {
	jobs := make([]*job, len(o.Pieces))
	defer func() {
		for _, j := range jobs {
			j.tidy()
		}
	}()
	o.Pieces = slices.Clone(o.Pieces)
	for i := range o.Pieces {
		o.Pieces[i].Content = sealed(o.Pieces[i].Path, o.Pieces[i].Content)
		jobs[i] = &job{Piece: &o.Pieces[i], prints: prints, order: &o, last: i == len(o.Pieces)-1}
	}
	for i, j := range jobs {
		if err := j.decide(); err != nil {
			return nil, err
		}
		if i > 0 && j.Beside && jobs[i-1].verdict == leave && jobs[i-1].found.belongs && j.found.there {
			j.verdict = leave
		}
		if err := j.refusal(); err != nil {
			return nil, err
		}
	}
	for _, j := range jobs {
		if err := j.stage(); err != nil {
			return nil, err
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	prints.Remember(wroteBy(jobs))
	last := 0
	for i, j := range jobs {
		if j.Number != nil {
			j.after = max(last, j.Number.After)
		}
		if err := j.place(); err != nil {
			return nil, errors.Join(append([]error{err}, takeBack(jobs[:i])...)...)
		}
		last = max(last, j.placed.Number)
	}
	var folders []string
	placed := make([]Placed, len(jobs))
	for i, j := range jobs {
		placed[i] = j.placed
		if folder := filepath.Dir(j.placed.Path); j.verdict != leave && !slices.Contains(folders, folder) {
			folders = append(folders, folder)
			syncFolder(folder)
		}
	}
	return placed, nil
}

// wroteBy are the fingerprints of the pieces whose names are known.
func wroteBy(jobs []*job) []Wrote {
	var out []Wrote
	for _, j := range jobs {
		if j.part != "" && j.Number == nil {
			out = append(out, j.wrote(j.Path))
		}
	}
	return out
}

// takeBack undoes what was placed, the last first; it gives what could not be undone.
func takeBack(jobs []*job) []error {
	var untidied []error
	for _, j := range slices.Backward(jobs) {
		if j.back == nil {
			continue
		}
		if err := j.back(); err != nil {
			untidied = append(untidied, fmt.Errorf("what was written to %s before it could not be undone: %w",
				j.placed.Path, err))
		}
	}
	return untidied
}

// job is one piece on its way to its place.
type job struct {
	*Piece
	prints *Fingerprints
	order  *Order
	after  int  // the number before the first that may be taken
	last   bool // nothing is written after it, so it is never undone

	found   found
	info    fs.FileInfo // of what stands there
	verdict verdict
	part    string // the new contents, on the disk under a passing name
	held    string // the old ones, so that they can be put back
	back    func() error
	placed  Placed
}

// decide looks at the place and says what is done about it.
func (j *job) decide() error {
	if j.Number != nil {
		return nil
	}
	var err error
	if j.found, j.info, err = j.look(j.prints, j.order.Sources); err != nil {
		return cannotWrite(j.Path, err)
	}
	j.verdict = decide(j.found, j.order.Replacing)
	return nil
}

func (j *job) refusal() error {
	switch j.verdict {
	case refuse:
		return &ExistsError{Path: j.Path, Changed: j.found.known}
	case isASource:
		return &SourceError{SourceFile{Path: j.Path, Of: j.sourceOf()}}
	}
	return nil
}

func (j *job) sourceOf() string {
	for _, source := range j.order.Sources {
		if other, err := os.Stat(source.Path); err == nil && os.SameFile(j.info, other) {
			return source.Of
		}
	}
	return "the book"
}

// stage writes the contents under a passing name.
func (j *job) stage() error {
	if j.verdict == leave {
		return nil
	}
	target, mode, err := j.Path, fs.FileMode(0), error(nil)
	if j.Number == nil {
		target, mode, err = destination(j.Path)
	}
	if err == nil {
		j.part, err = stage(target, mode, func(w io.Writer) error {
			_, err := w.Write(j.Content)
			return err
		})
	}
	if err != nil {
		return cannotWrite(j.Path, err)
	}
	return nil
}

// meanwhile is how often a place is looked at anew because it changed meanwhile.
const meanwhile = 5

// place gives the contents their name.
func (j *job) place() error {
	if j.Number != nil {
		return j.placeNumbered()
	}
	for range meanwhile {
		done, err := j.tryPlace()
		if done || err != nil {
			return err
		}
		if err = j.decide(); err != nil {
			return err
		}
		if err = j.refusal(); err != nil {
			return err
		}
	}
	return &ExistsError{Path: j.Path, Changed: j.found.known}
}

// tryPlace is place on what is known of the place; not done: it has changed since.
func (j *job) tryPlace() (done bool, err error) {
	j.placed = Placed{Path: j.Path}
	if j.verdict == leave {
		j.placed.Untouched = true
		return true, nil
	}
	target, _, err := destination(j.Path)
	if err != nil {
		return false, cannotWrite(j.Path, err)
	}
	if j.verdict == create {
		switch err = placeNew(j.part, target); {
		case errors.Is(err, fs.ErrExist):
			return false, nil
		case err != nil:
			return false, cannotWrite(j.Path, err)
		}
		j.part, j.back = "", func() error { return os.Remove(target) }
		return true, nil
	}
	if j.verdict == keepOld {
		if j.placed.Before, err = keepBefore(target); err != nil {
			return false, cannotWrite(j.Path, err)
		}
		j.back = func() error { return replaceFile(j.placed.Before, target) }
	} else if !j.last {
		j.held = passing(target)
		if err := second(target, j.held); err != nil {
			return false, cannotWrite(j.Path, err)
		}
		j.back = func() error { return replaceFile(j.held, target) }
	}
	if j.changedMeanwhile(target) {
		if j.placed.Before != "" {
			os.Remove(j.placed.Before) // a second name of what is still there
		}
		j.tidyHeld()
		j.back = nil
		return false, nil
	}
	if err = replaceFile(j.part, target); err != nil {
		if j.placed.Before != "" {
			os.Remove(j.placed.Before)
		}
		return false, cannotWrite(j.Path, err)
	}
	j.part = ""
	return true, nil
}

// changedMeanwhile reports whether another file stands there than the one decided on.
func (j *job) changedMeanwhile(target string) bool {
	now, err := os.Stat(target)
	return err != nil || j.info == nil || !os.SameFile(now, j.info) || now.Size() != j.info.Size() ||
		!now.ModTime().Equal(j.info.ModTime())
}

// keepBefore gives the old file the name NAME.before, or the next that is free.
func keepBefore(target string) (string, error) {
	for n := 1; ; n++ {
		name := target + ".before"
		if n > 1 {
			name = fmt.Sprintf("%s%d", name, n)
		}
		if err := second(target, name); !errors.Is(err, fs.ErrExist) {
			return name, err
		}
	}
}

// placeNumbered gives the contents the first name that will do.
func (j *job) placeNumbered() error {
	ext := filepath.Ext(j.Path)
	stem := strings.TrimSuffix(j.Path, ext)
	for n := j.after + 1; ; n++ {
		name := fmt.Sprintf("%s-%d%s", stem, n, ext)
		done, err := j.placeAs(name)
		if err != nil {
			return err
		}
		if done {
			j.placed.Path, j.placed.Number = name, n
			return nil
		}
	}
}

// placeAs tries one name of a numbered piece.
func (j *job) placeAs(name string) (bool, error) {
	named := *j.Piece
	named.Path, named.Number = name, nil
	if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
		j.prints.Remember([]Wrote{j.wrote(name)})
		switch err := placeNew(j.part, name); {
		case errors.Is(err, fs.ErrExist): // it appeared meanwhile
		case err != nil:
			return false, cannotWrite(name, err)
		default:
			j.part, j.back = "", func() error { return os.Remove(name) }
			return true, nil
		}
	}
	if !j.Number.Again {
		return false, nil
	}
	s, _, err := named.look(j.prints, j.order.Sources)
	switch {
	case err != nil || s.source:
		return false, nil // whatever it is, the next number will do
	case s.same:
		j.placed.Untouched = true
		return true, nil
	case !s.ours || j.Number.By == "" || !slices.Contains(s.by, j.Number.By):
		return false, nil
	}
	sub := &job{Piece: &named, prints: j.prints, order: j.order, last: j.last, part: j.part}
	if err := sub.decide(); err != nil || sub.verdict != again {
		return false, err
	}
	j.prints.Remember([]Wrote{j.wrote(name)})
	done, err := sub.tryPlace()
	j.part, j.held, j.back = sub.part, sub.held, sub.back
	return done, err
}

// wrote is the fingerprint of the piece under a name.
func (j *job) wrote(name string) Wrote {
	sum := sha256.Sum256(j.Content)
	w := Wrote{Path: wholePath(name), SHA256: hex.EncodeToString(sum[:])}
	if j.Number != nil {
		w.By = j.Number.By
	}
	return w
}

// tidy removes what has a passing name.
func (j *job) tidy() {
	if j.part != "" {
		os.Remove(j.part)
	}
	j.tidyHeld()
}

func (j *job) tidyHeld() {
	if j.held != "" {
		os.Remove(j.held) // not there any more where it was put back
		j.held = ""
	}
}
