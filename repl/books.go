package repl

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"breakbook/repl/book"
	"breakbook/repl/figures"
	"breakbook/repl/kernel"
	"breakbook/repl/page"
	"breakbook/repl/render"
	wording "breakbook/repl/say"
)

// drawFigure draws one figure to its path, in the format its ending names.
func drawFigure(ctx context.Context, fig page.Figure) error {
	picture, err := figures.Bytes(ctx, fig, strings.ToLower(strings.TrimPrefix(filepath.Ext(fig.Path), ".")))
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return &page.Problem{Code: "no-figure", Message: fig.Path + ": " + err.Error()}
	}
	return written(book.WriteFile(fig.Path, func(w io.Writer) error {
		_, err := w.Write(picture)
		return err
	}))
}

// saveBook writes the commands of the book to path.
func saveBook(path string, s *kernel.Session) error {
	return written(book.Save(path, s.Entries(), sourcesOf(s)))
}

// writeReport writes the book as one page to path.
func writeReport(ctx context.Context, path string, s *kernel.Session) error {
	d := book.Document{
		Entries:  s.Entries(),
		Sources:  sourcesOf(s),
		Settings: settingsOf(s.Settings()),
		Options:  render.Options{Digits: s.Settings().Digits},
	}
	for _, l := range s.Looks() {
		d.Tests = append(d.Tests, book.Tests{Response: l.Response, Count: l.Tests})
	}
	for _, a := range s.Aside() {
		d.SetAside = append(d.SetAside, book.SetAside{Series: a.Series, Specimen: a.Specimen, Reason: a.Reason})
	}
	for _, w := range wording.Words() {
		d.Words = append(d.Words, book.Word{Word: w.Word, Means: w.Means})
	}
	return written(book.Report(ctx, path, d))
}

// written is err as the problem of a file that did not come to be.
func written(err error) error {
	if err == nil {
		return nil
	}
	return &page.Problem{Code: "cannot-write", Message: err.Error()}
}

func sourcesOf(s *kernel.Session) []book.Source {
	var out []book.Source
	for _, o := range s.Sources() {
		out = append(out, book.Source{File: o.Path, SHA256: o.SHA256, Rows: o.Specimens})
	}
	return out
}

func settingsOf(s kernel.Settings) []book.Setting {
	worth := page.Say(page.Num{Value: s.Worth.Share, Style: page.Fraction}, " of the baseline mean")
	if s.Worth.Amount > 0 {
		worth = page.Say(page.Num{Value: s.Worth.Amount, Unit: s.Worth.Unit})
	}
	text := func(x page.Sentence) string { return render.Sentence(x, render.Options{}) }
	return []book.Setting{
		{Name: "ranges", Value: text(page.Say(page.Num{Value: s.Confidence, Style: page.Fraction}))},
		{Name: "smallest difference worth having", Value: text(worth)},
		{Name: "chalk point of the glue", Value: text(page.Say(page.Num{Value: s.ChalkPoint, Unit: "degC", Style: page.Exact}))},
		{Name: "start of random draws", Value: strconv.FormatUint(s.Seed, 10)},
		{Name: "digits", Value: strconv.Itoa(s.Digits)},
	}
}

// savedBook is a book read back, a source of its lines.
type savedBook struct {
	path    string
	key     string // the file it is, however it was named
	lines   []book.Line
	changed []page.Sentence // a caution for each data file that is not what it was
	at      int             // lines given so far
}

// loadBook reads a saved book, unless it is one of those being replayed: a book that
// replays itself would never end.
func loadBook(path string, replaying []string) (*savedBook, error) {
	lines, sources, err := book.Load(path)
	if err != nil {
		return nil, &page.Problem{Code: "cannot-read", Message: err.Error()}
	}
	key, err := filepath.Abs(path)
	if err == nil {
		key, err = filepath.EvalSymlinks(key)
	}
	if err != nil {
		return nil, err
	}
	if slices.Contains(replaying, key) {
		return nil, &page.Problem{Code: "endless-replay",
			Message: fmt.Sprintf("%s is being replayed already and would never end", path)}
	}
	return &savedBook{path: path, key: key, lines: lines, changed: book.Changed(sources)}, nil
}

// Line gives the next line of the book.
func (b *savedBook) Line(ctx context.Context, _ string) (string, error) {
	if b.at == len(b.lines) {
		return "", io.EOF
	}
	b.at++
	return b.lines[b.at-1].Text, ctx.Err()
}

// Remember is nothing to a book.
func (b *savedBook) Remember(string) {}

// replay runs the commands of a saved book as entries of this one, up to the first
// that fails.
func (l *loop) replay(ctx context.Context, b *savedBook) bool {
	l.replaying = append(slices.Clip(l.replaying), b.key)
	worked := l.feed(ctx, b, true, true)
	l.replaying = l.replaying[:len(l.replaying)-1]
	if !worked && b.at > 0 {
		l.screen.complain(fmt.Sprintf("%s stops at line %d.\n", b.path, b.lines[b.at-1].No))
	}
	return worked
}

// replayFiles runs saved books one after the other in one session, up to the first
// error. With old, the entries are compared with those kept there.
func (l *loop) replayFiles(ctx context.Context, paths []string, old string) int {
	var books []*savedBook
	for _, path := range paths {
		b, err := loadBook(path, nil)
		if err != nil {
			return refuse(&callError{message: err.Error()})
		}
		books = append(books, b)
	}
	var earlier io.Reader
	if old != "" {
		text, err := readEarlier(old)
		if err != nil {
			return refuse(&callError{message: err.Error()})
		}
		earlier = text
	}
	for _, b := range books {
		for _, c := range b.changed {
			l.screen.complain("Caution: " + render.Sentence(c, render.Options{}) + "\n")
		}
		if !l.replay(ctx, b) {
			break
		}
	}
	if earlier == nil || ctx.Err() != nil {
		return allWorked
	}
	return l.compare(old, earlier)
}
