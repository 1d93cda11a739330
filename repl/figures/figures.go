// Package figures draws figure specifications (page.Figure) to PNG, SVG and PDF
// with gonum/plot, in one quiet theme. The same specification gives the same
// bytes every time.
package figures

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/natefinch/atomic"

	"breakbook/repl/page"
)

// Draw writes the figure to path, as the ending says: .png, .svg or .pdf. The file
// is written whole or not at all. Every error is an *Error that names the path.
func Draw(path string, f page.Figure) error {
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	b, err := Bytes(f, format)
	if err != nil {
		return &Error{Path: path, Err: err}
	}
	_, statErr := os.Stat(path)
	if err := atomic.WriteFile(path, bytes.NewReader(b)); err != nil {
		return &Error{Path: path, Err: fmt.Errorf("%w: %w", ErrWrite, plainCause(err, path))}
	}
	if errors.Is(statErr, fs.ErrNotExist) { // a new file is its maker's alone until now
		if err := os.Chmod(path, 0o644); err != nil {
			return &Error{Path: path, Err: fmt.Errorf("%w: %w", ErrWrite, plainCause(err, path))}
		}
	}
	return nil
}

// Bytes draws the figure in the format named: "png", "svg" or "pdf". PNG has 200
// dots an inch; SVG keeps its text as text. Errors wrap ErrFormat, ErrSize,
// ErrEmpty, ErrNotFinite or ErrShape.
func Bytes(f page.Figure, format string) (b []byte, err error) {
	defer func() {
		if r := recover(); r != nil {
			b, err = nil, fmt.Errorf("%w: %v", ErrDrawing, r)
		}
	}()
	back, ok := backs[format]
	if !ok {
		return nil, fmt.Errorf("%w, not %q", ErrFormat, format)
	}
	if err := check(f); err != nil {
		return nil, err
	}
	s := lay(f, back.letters)
	return back.render(s)
}

// backs are the file formats there are.
var backs = map[string]struct {
	letters letters
	render  func(*sheet) ([]byte, error)
}{
	"png": {ownLetters, renderPNG},
	"svg": {anyLetters, renderSVG},
	"pdf": {ownLetters, renderPDF},
}
