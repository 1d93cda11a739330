// Package figures draws figure specifications (page.Figure) as PNG, SVG and PDF with gonum/plot, in one quiet theme.
// The same specification gives the same bytes every time.
package figures

import (
	"context"
	"fmt"

	"breakbook/repl/page"
)

// Bytes draws the figure in the format named: "png", "svg" or "pdf". PNG has 200 dots an inch; SVG keeps its text as
// text. Errors wrap ErrFormat, ErrSize, ErrEmpty, ErrNotFinite or ErrShape, or are ctx's own.
func Bytes(ctx context.Context, f page.Figure, format string) (b []byte, err error) {
	defer func() {
		switch r := recover(); r {
		case nil:
		case stopped{}:
			b, err = nil, ctx.Err()
		default:
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
	s := lay(ctx, f, back.letters)
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
