package kernel

import (
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// write asks the loop to write the current series as a CSV with its look beside it.
func write(k *call) (*Session, error) {
	file := k.file("file")
	look := frames.LookPath(file.Path)
	if look == "" {
		return nil, k.unknownFormat(file, "a series is written as .csv", ".csv")
	}
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	w, err := f.Write(k.ctx)
	if err != nil {
		return nil, err
	}
	k.e.Asks = []page.Ask{{Kind: page.Write, Path: homed(file.Path), Content: w.CSV}, {Kind: page.Write, Path: homed(look), Content: w.Look, Beside: true}}
	k.e.Findings = []page.Sentence{say.Wrote(name, file.Path, look, f.Len(), len(f.Columns()), asideIn(f))}
	if w.Escaped > 0 {
		k.e.Findings = append(k.e.Findings, say.Escaped(w.Escaped))
	}
	t := page.Table{ID: "files", Title: page.Say("Files"), Columns: []page.Column{{ID: "file"}, {ID: "bytes", Style: page.Count}, {ID: "sha256", Wide: true}}}
	for _, part := range []struct {
		path string
		data []byte
	}{{file.Path, w.CSV}, {look, w.Look}} {
		sum := sha256.Sum256(part.data)
		t.Rows = append(t.Rows, []page.Cell{page.T(part.path), page.N(float64(len(part.data))), page.T(hex.EncodeToString(sum[:]))})
	}
	k.e.Tables = []page.Table{t}
	return nil, nil
}

// unknownFormat refuses the ending of a file to be written, with the line for the right one.
func (k *call) unknownFormat(f phrase.File, written, ext string) error {
	path := strings.TrimSuffix(f.Path, filepath.Ext(f.Path)) + ext
	return &page.Problem{Code: "unknown-format", At: f.At, Message: written + ", not as " + f.Path, Hint: phrase.WithFile(k.c.Input, f.At, path)}
}

// replacing refuses that word where no file is named that it could be about.
func (k *call) replacing() error {
	if k.c.Options["replacing"] && k.c.Clauses.To == nil {
		return &page.Problem{Code: "nothing-to-replace", Message: "replacing is about a file named after to, and none is named"}
	}
	return nil
}

// besideOf are the paths of the files that a series rests on beside its own.
func besideOf(f *frames.Frame) []string {
	var out []string
	for _, used := range f.Used() {
		out = append(out, used.Path)
	}
	return out
}

// asideIn counts the specimens set aside.
func asideIn(f *frames.Frame) int {
	n := 0
	for row := range f.Len() {
		if _, is := f.Aside(row); is {
			n++
		}
	}
	return n
}
