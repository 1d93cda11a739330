package repl

import (
	"context"
	"fmt"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/bench"
	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
	"breakbook/repl/render"
	wording "breakbook/repl/say"
	"breakbook/repl/session"
)

// A report holds the specimens of a series up to so many, and their file up to so many bytes.
const (
	mostListed = 300
	mostKept   = 100_000
)

// reportFiles are the files of the book as one page, as the ask wants it.
func reportFiles(ctx context.Context, ask page.Ask, s *session.Session) (_ []book.Piece, err error) {
	defer parallel.Catch(&err)
	d := book.Document{
		Title:    ask.Title,
		By:       ask.By,
		Dated:    ask.Dated,
		Entries:  s.Entries(),
		Picture:  differences(ctx, s),
		Sources:  sourcesOf(s),
		Settings: settingsOf(s.Settings()),
		Version:  version(), Options: render.Options{Digits: s.Settings().Digits},
	}
	for _, l := range s.Looks() {
		d.Tests = append(d.Tests, book.Tests(l))
	}
	for _, a := range s.Aside() {
		d.SetAside = append(d.SetAside, book.SetAside(a))
	}
	for _, name := range s.SeriesNames() {
		f, _ := s.Frame(name)
		for _, c := range f.Corrections() {
			d.Corrected = append(d.Corrected, book.Corrected{Series: name, Specimen: f.SpecimenName(c.Row),
				Column: c.Column, Was: c.Was, Now: c.Now, Reason: c.Because})
		}
		d.Series = append(d.Series, reportedSeries(ctx, s, name, f))
	}
	for _, w := range wording.Words() {
		d.Words = append(d.Words, book.Word(w))
	}
	for _, m := range wording.Methods() {
		d.Methods = append(d.Methods, book.Method(m))
	}
	saved, err := savedBookFile(ask.Path, s)
	if err != nil {
		return nil, err
	}
	d.Book = saved.Content
	return book.Report(ctx, ask.Path, d)
}

func reportedSeries(ctx context.Context, s *session.Session, name string, f *frames.Frame) book.Series {
	out := book.Series{Name: name, Specimens: f.Len()}
	for _, c := range f.Columns() {
		if c.Kind != frames.Text && c.Role != frames.Specimen && c.Role != frames.Order {
			out.Named = append(out.Named, book.Named{Column: c.Name, Levels: c.Levels,
				Result: session.OutOfTest(c) != ""})
		}
	}
	for _, span := range f.DateSpans(ctx) {
		text := span.Column.Label + ": " + span.First
		if span.Last != span.First {
			text += " to " + span.Last
		}
		out.Dates = append(out.Dates, text)
	}
	if f.Len() <= mostListed {
		all := fmt.Sprintf("rows 1 to %d from %s", f.Len(), scan.Quoted(name))
		if e, ok := quietly(ctx, s, all); ok && len(e.Tables) > 0 {
			out.Rows = e.Tables[0]
		}
		if written, err := f.Write(ctx); err == nil && len(written.CSV) <= mostKept {
			out.CSV = written.CSV
		}
	}
	return out
}

// differences is the picture of what the first answer of the book found: the differences of it where they can be drawn,
// else the effects of the fit it is of; nil where there is none.
func differences(ctx context.Context, s *session.Session) *page.Figure {
	for _, e := range book.Answers(s.Entries()) {
		names := []string{e.Name}
		if r, ok := s.Result(e.Name); ok {
			if of, is := phrase.Part[phrase.Name](r.Command); is {
				names = append(names, of.Text)
			}
		}
		for _, name := range names {
			for _, draw := range []string{"draw ", "draw effects of "} {
				if drawn, ok := quietly(ctx, s, draw+scan.Quoted(name)); ok && name != "" && len(drawn.Figures) > 0 {
					return &drawn.Figures[0]
				}
			}
		}
	}
	return nil
}

// quietly carries out a command whose entry is not booked; ok is false where it does not work.
func quietly(ctx context.Context, s *session.Session, line string) (e page.Entry, ok bool) {
	c, err := parser.ParseLine(line, s)
	if err != nil {
		return page.Entry{}, false
	}
	_, e, err = bench.Run(ctx, s, c)
	parallel.Look(ctx)
	return e, err == nil
}
