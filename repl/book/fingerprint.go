package book

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"

	"breakbook/frames/files"
)

// Wrote is what breakbook once wrote: a file's whole path, the SHA-256 of the bytes, and
// for a figure without a name of its own what it was drawn by.
type Wrote struct {
	Path   string `json:"path"`
	SHA256 string `json:"sha256"`
	By     string `json:"by,omitempty"`
}

// Fingerprints remembers what breakbook wrote: in memory for this run, and from run to run
// in a file of the state folder, one JSON object a line, the latest last. The file is a
// help and no more: where it cannot be read or written, only this run is remembered, and
// the files of earlier ones count as changed. The zero value remembers this run only.
type Fingerprints struct {
	path string
	mu   sync.Mutex
	run  []Wrote
}

const (
	fingerprintFile  = "written.jsonl"
	mostFingerprints = 4000            // kept when the file is shortened
	longFingerprints = 2 << 20         // bytes from which on it is shortened
	lockWait         = 2 * time.Second // what another breakbook may take
)

// NewFingerprints is what the file in folder remembers; folder "" remembers this run only.
func NewFingerprints(folder string) *Fingerprints {
	if folder == "" {
		return &Fingerprints{}
	}
	return &Fingerprints{path: filepath.Join(folder, fingerprintFile)}
}

// Of is all that breakbook wrote to a whole path, the latest last.
func (f *Fingerprints) Of(path string) []Wrote {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []Wrote
	if f.path != "" {
		// what is locked is only the replacing of the file, which readers need not wait for
		if text, err := files.Read(context.Background(), f.path, files.MostBook); err == nil {
			out = wroteTo(path, text)
		}
	}
	for _, w := range f.run {
		if w.Path == path {
			out = append(out, w)
		}
	}
	return out
}

// wroteTo are the lines about a path. A damaged line is skipped.
func wroteTo(path string, text []byte) []Wrote {
	quoted, err := json.Marshal(path)
	if err != nil {
		return nil
	}
	var out []Wrote
	for line := range bytes.Lines(text) {
		var w Wrote
		if bytes.Contains(line, quoted) && json.Unmarshal(line, &w) == nil && w.Path == path {
			out = append(out, w)
		}
	}
	return out
}

// Remember notes what is about to be written. It never fails: what cannot be kept in the
// state folder is remembered for this run.
func (f *Fingerprints) Remember(wrote []Wrote) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.run = append(f.run, wrote...)
	if f.path == "" || len(wrote) == 0 {
		return
	}
	var text bytes.Buffer
	for _, w := range wrote {
		line, err := json.Marshal(w)
		if err != nil {
			return
		}
		text.Write(append(line, '\n'))
	}
	kept := make(chan struct{})
	go func() { // a lock that never comes must not hold up the command
		defer close(kept)
		keepFingerprints(f.path, text.Bytes())
	}()
	select {
	case <-kept:
	case <-time.After(lockWait):
	}
}

// keepFingerprints adds lines to the file, under a lock, and shortens it where it has
// become long. What goes wrong is left: this run remembers in any case.
func keepFingerprints(path string, lines []byte) {
	if folder := filepath.Dir(path); os.MkdirAll(folder, 0o700) != nil {
		return
	}
	for _, name := range []string{path, path + ".lock"} { // a pipe would be waited for
		if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
			return
		}
	}
	release, err := lockedfile.MutexAt(path + ".lock").Lock()
	if err != nil {
		return
	}
	defer release()
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return
	}
	size, err := f.Seek(0, 2)
	if err == nil && size > 0 { // a line broken off by a crash must not swallow the next
		last := make([]byte, 1)
		if _, err = f.ReadAt(last, size-1); err == nil && last[0] != '\n' {
			lines = append([]byte("\n"), lines...)
		}
	}
	if err == nil {
		_, err = f.Write(lines)
	}
	if f.Close() == nil && err == nil && size > longFingerprints {
		shorten(path)
	}
}

// shorten leaves the latest fingerprints, each once, and drops the oldest.
func shorten(path string) {
	text, err := files.Read(context.Background(), path, 4*files.MostBook)
	if err != nil {
		text = nil // nobody can use it as it is: begin anew
	}
	lines := bytes.SplitAfter(text, []byte("\n"))
	seen := map[string]bool{}
	var kept [][]byte
	for i := len(lines) - 1; i >= 0 && len(kept) < mostFingerprints; i-- {
		var w Wrote
		if seen[string(lines[i])] || json.Unmarshal(lines[i], &w) != nil {
			continue
		}
		seen[string(lines[i])] = true
		kept = append(kept, lines[i])
	}
	var out bytes.Buffer
	for i := len(kept) - 1; i >= 0; i-- {
		out.Write(kept[i])
	}
	_ = WriteFile(path, func(w io.Writer) error { _, err := out.WriteTo(w); return err }) // if not now, the next time
}
