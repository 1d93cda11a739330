// Package figures draws figure specifications (page.Figure) as PNG, SVG and PDF
// with gonum/plot, in one quiet theme. The same specification gives the same
// bytes every time.
package figures

import (
	"fmt"

	"breakbook/repl/page"
)

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
