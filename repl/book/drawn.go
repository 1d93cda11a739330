package book

import (
	"bytes"
	"context"
	"fmt"

	"breakbook/repl/figures"
	"breakbook/repl/page"
)

// drawing is a figure of the report, drawn once however often the book drew it.
type drawing struct {
	page.Figure
	id      string // figure-1
	svg     []byte
	entries []int // that drew it; none for the picture of the answer that the book did not draw
}

// drawings are the figures of a report: that of the answer first, then those of the entries in their order. of
// has the places of each entry's.
func (d Document) drawings(ctx context.Context, body []page.Entry) (all []drawing, of map[int][]int, err error) {
	of = map[int][]int{}
	add := func(f page.Figure, entry int) error {
		svg, err := figures.Bytes(ctx, f, "svg")
		if err != nil {
			return err
		}
		at := 0
		for at < len(all) && !bytes.Equal(all[at].svg, svg) {
			at++
		}
		if at == len(all) {
			all = append(all, drawing{Figure: f, id: fmt.Sprintf("figure-%d", at+1), svg: svg})
		}
		if entry != 0 {
			all[at].entries = append(all[at].entries, entry)
			of[entry] = append(of[entry], at)
			if !shownByPages(all[at].Path) {
				all[at].Path = f.Path
			}
		}
		return nil
	}
	if d.Picture != nil {
		if err := add(*d.Picture, 0); err != nil {
			return nil, nil, err
		}
	}
	for _, e := range body {
		for _, f := range e.Figures {
			if err := add(f, e.Number); err != nil {
				return nil, nil, err
			}
		}
	}
	return all, of, nil
}

// figure is how a drawing is called.
func (f drawing) called(n int) string { return fmt.Sprintf("Figure %d", n+1) }
