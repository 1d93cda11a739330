package repl

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	homes "breakbook/frames/files"
	"breakbook/repl/book"
	"breakbook/repl/figures"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/plans"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// pending are the files that one entry asks for, with what is to be said of each once it
// has its place.
type pending struct {
	order      book.Order
	whenPlaced []func(book.Placed)
}

func (p *pending) add(piece book.Piece, whenPlaced func(book.Placed)) {
	p.order.Pieces = append(p.order.Pieces, piece)
	p.whenPlaced = append(p.whenPlaced, whenPlaced)
}

// write writes all that an entry asks for, its figures, series, sheets, the book and the
// report, all of it or none, and notes in the entry where it went. It is the one way in
// which a command writes files; book.Write decides what may be replaced.
func (f *files) write(ctx context.Context, c *phrase.Command, e *page.Entry, s *session.Session) error {
	p := pending{order: book.Order{Replacing: c.Replacing()}}
	if err := f.addFigures(ctx, &p, e, s); err != nil {
		return err
	}
	if err := f.addAsked(ctx, &p, e, s); err != nil {
		return err
	}
	if len(p.order.Pieces) == 0 {
		return nil
	}
	p.order.Sources = sourceFiles(e, s)
	for _, piece := range p.order.Pieces {
		if err := f.fence.allows(piece.Path); err != nil {
			return err
		}
	}
	if f.resuming {
		p.leaveAll(e)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	placed, err := book.Write(ctx, f.remembered(), p.order)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		problem := unwritten(err)
		if problem.Code == page.CodeFileExists || problem.Code == page.CodeIsASource {
			problem.Hint = f.otherName(c, p.order.Pieces)
		}
		return problem
	}
	for i, report := range p.whenPlaced {
		report(placed[i])
		if before := placed[i].Before; before != "" {
			e.Find(page.Say("The old " + placed[i].Path + " is kept as " + before + "."))
		}
	}
	for i := range e.Asks {
		e.Asks[i].Content, e.Asks[i].Printed = nil, nil
	}
	return nil
}

// addFigures adds the figures of an entry, drawn.
func (f *files) addFigures(ctx context.Context, p *pending, e *page.Entry, s *session.Session) error {
	drawn := make([]page.Figure, len(e.Figures))
	for i, fig := range e.Figures {
		if err := ctx.Err(); err != nil {
			return err
		}
		var number *book.Number
		switch {
		case fig.Path == "" && f.resuming && i < len(f.drew):
			fig.Path = f.drew[i]
		case fig.Path == "":
			number = &book.Number{After: f.drawn, By: f.drawnBy(s, i), Again: !f.fresh}
			fig.Path = f.place("figure.png")
		case fig.NewFolder: // which goes where a file of its name would
			folder := f.place(filepath.Dir(fig.Path))
			fig.Path = filepath.Join(folder, filepath.Base(fig.Path))
			if err := f.fence.allows(fig.Path); err != nil {
				return err
			}
			if err := makeFolder(folder); err != nil {
				return err
			}
		default:
			fig.Path = f.place(fig.Path)
		}
		picture, err := figures.Bytes(ctx, fig, strings.ToLower(strings.TrimPrefix(filepath.Ext(fig.Path), ".")))
		if err != nil {
			return page.Refuse(page.CodeNoFigure, 0, fig.Path+": "+err.Error(), "")
		}
		if lacking := figures.Lacking(ctx, fig); len(lacking) > 0 &&
			!strings.EqualFold(filepath.Ext(fig.Path), ".svg") {
			e.Warn(page.Say("The typeface of pictures has no " + strings.Join(lacking, " ") +
				": a box stands in its place; in a file ending in .svg the reader's own typeface draws it."))
		}
		drawn[i] = fig
		p.add(book.Piece{Path: fig.Path, Content: picture, Number: number}, func(at book.Placed) {
			drawn[i].Path = at.Path
			f.drawn = max(f.drawn, at.Number)
		})
	}
	e.Figures = drawn
	return nil
}

// addAsked adds what an entry asks for beside figures.
func (f *files) addAsked(ctx context.Context, p *pending, e *page.Entry, s *session.Session) error {
	for i, ask := range e.Asks {
		switch ask.Kind {
		case page.Write:
			piece, report := book.Piece{Path: ask.Path, Content: ask.Content, Beside: ask.Beside}, func(book.Placed) {}
			if ask.Printed != nil {
				content, err := book.TestSheet(ctx, *ask.Printed, render.Options{Digits: s.Settings().Digits})
				if err != nil {
					return err
				}
				piece.Content = content
			}
			if ask.Sheet != nil {
				piece, report = sheetPiece(ctx, e, ask, e.Asks[i+1])
			}
			p.add(piece, report)
		case page.SaveBook:
			piece, err := savedBookFile(ask.Path, s)
			if err != nil {
				return unwritten(err)
			}
			p.add(piece, func(book.Placed) {})
		case page.Report:
			pieces, err := reportFiles(ctx, ask, s)
			if err != nil {
				return unwritten(err)
			}
			for _, piece := range pieces {
				p.add(piece, func(book.Placed) {})
			}
		}
	}
	return nil
}

// leaveAll leaves what the entry of a resumed book wrote before: a sheet may have been filled
// in since. A series or a sheet with other contents is named.
func (p *pending) leaveAll(e *page.Entry) {
	for i := range p.order.Pieces {
		piece := &p.order.Pieces[i]
		if piece.Number != nil {
			continue
		}
		own, written := piece.Leave,
			slices.ContainsFunc(e.Asks, func(a page.Ask) bool { return a.Kind == page.Write && a.Path == piece.Path })
		content := piece.Content
		piece.Leave = func(old []byte) bool {
			if (own == nil || !own(old)) && written && !bytes.Equal(old, content) {
				e.Warn(page.Say(piece.Path + " is not what this entry writes, and is left as it is."))
			}
			return true
		}
	}
}

// sheetPiece is a test sheet, with the look that the ask after it holds: where it is there
// already, filled in, it is left as it is and the finding says so.
func sheetPiece(ctx context.Context, e *page.Entry, ask, look page.Ask) (book.Piece, func(book.Placed)) {
	var finding page.Sentence
	piece := book.Piece{Path: ask.Path, Content: ask.Content, Leave: func(old []byte) (same bool) {
		finding, same = plans.SheetLeft(ctx, ask, look, old)
		return same
	}}
	return piece, func(at book.Placed) {
		if at.Untouched && finding != nil {
			e.Findings[0] = finding
		}
	}
}

// saveBook writes the book to a path under the same rule as every command: for one that is
// kept up to date after it was saved.
func (f *files) saveBook(ctx context.Context, path string, s *session.Session) error {
	piece, err := savedBookFile(path, s)
	if err == nil {
		_, err = book.Write(ctx, f.remembered(), book.Order{Pieces: []book.Piece{piece}, Sources: sourceFiles(nil, s)})
	}
	if err != nil {
		return unwritten(err)
	}
	return nil
}

// sourceFiles are the files that the book was read from.
func sourceFiles(e *page.Entry, s *session.Session) []book.SourceFile {
	var out []book.SourceFile
	for _, source := range s.Sources() {
		out = append(out, book.SourceFile{Path: source.Path, Of: source.Series})
	}
	entries := s.Entries()
	if e != nil {
		entries = append(entries, *e)
	}
	for _, e := range entries {
		of := e.Series
		if of == "" {
			of = "a list of blanks"
		}
		for _, path := range e.Reads {
			out = append(out, book.SourceFile{Path: path, Of: of})
		}
	}
	return out
}

// unwritten is err as the problem of files that did not come to be.
func unwritten(err error) *page.Problem {
	p := page.Refuse(page.CodeCannotWrite, 0, strings.ReplaceAll(err.Error(), "\n", "; "), "")
	var exists *book.ExistsError
	var source *book.SourceError
	switch {
	case errors.As(err, &exists):
		p.Code = page.CodeFileExists
		p.Message += ": it is left as it is (replacing after its name insists, and keeps the old one as " +
			filepath.Base(exists.Path) + ".before)"
	case errors.As(err, &source):
		p.Code = page.CodeIsASource
	}
	return p
}

var countedName = regexp.MustCompile(`^(.*)_([1-9][0-9]{0,8})$`)

// otherName is the command with the next name that is free for the file it writes: gates_2.csv
// after gates.csv; "" where there is none to be found. Pieces are where all its files were to go.
func (f *files) otherName(c *phrase.Command, pieces []book.Piece) string {
	typed, ok := fileOf(c)
	if !ok {
		return ""
	}
	ext := filepath.Ext(typed.Path)
	stem := strings.TrimSuffix(typed.Path, ext)
	place := func(stem string) string { return strings.TrimSuffix(f.place(homes.Home(stem+ext)), ext) }
	first, base := 2, stem
	if m := countedName.FindStringSubmatch(stem); m != nil {
		base = m[1]
		first, _ = strconv.Atoi(m[2])
		first++
	}
	old := place(stem)
	for n := first; n < first+10000; n++ {
		if next := fmt.Sprintf("%s_%d", base, n); freeInstead(pieces, old, place(next)) {
			return phrase.WithFile(c.Input, typed.At, next+ext)
		}
	}
	return ""
}

// freeInstead reports whether nothing stands where the pieces would be with another start
// of their names.
func freeInstead(pieces []book.Piece, old, next string) bool {
	for _, piece := range pieces {
		rest, ok := strings.CutPrefix(piece.Path, old)
		if !ok {
			return false
		}
		if _, err := os.Lstat(next + rest); !errors.Is(err, fs.ErrNotExist) {
			return false
		}
	}
	return len(pieces) > 0
}

// fileOf is the file that a command writes, where it names one.
func fileOf(c *phrase.Command) (phrase.File, bool) {
	if to := c.Clauses().To; to != nil {
		return *to, true
	}
	return phrase.Part[phrase.File](c)
}
