package repl

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	disk "breakbook/frames/files"
	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/render"
)

// savedBook is a book read back, a source of its lines.
type savedBook struct {
	path    string
	key     string // the file it is, however it was named
	lines   []book.Line
	changed []page.Sentence // a caution for each data file that is not what it was
	at      int             // lines given so far
	first   int             // the number of the entry that was to come when its replay began
}

// loadBook reads a saved book, unless it is one of those being replayed: a book that
// replays itself would never end.
func loadBook(ctx context.Context, path string, replaying []*savedBook) (*savedBook, error) {
	lines, sources, err := book.Load(ctx, path)
	if err != nil {
		return nil, page.Refuse(page.CodeCannotRead, 0, err.Error(), "")
	}
	key, err := filepath.Abs(disk.Home(path))
	if err == nil {
		key, err = filepath.EvalSymlinks(key)
	}
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(replaying, func(b *savedBook) bool { return b.key == key }) {
		return nil, page.Refuse(page.CodeEndlessReplay, 0, fmt.Sprintf("%s is being replayed already and would "+
			"never end", path), "")
	}
	b := &savedBook{path: path, key: key, lines: lines}
	b.changed, err = book.Changed(ctx, sources, b.folder())
	b.changed = append(b.changed, foldersChanged(ctx, lines, sources, b.folder())...)
	return b, err
}

// folder is where the book lies.
func (b *savedBook) folder() string { return filepath.Dir(disk.Home(b.path)) }

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
	b.first = l.session.Next()
	l.replaying = append(slices.Clip(l.replaying), b)
	outer, before := l.names, l.session
	l.names = newBookNames()
	done := l.files.replaying(len(l.session.Entries()))
	pages := l.screen.pages
	l.screen.pages = nil // many results one after the other are not stopped at each
	worked := l.feed(ctx, b, true, true)
	l.screen.pages = pages
	l.replaying = l.replaying[:len(l.replaying)-1]
	if l.names = outer; outer != nil {
		outer.note(before, l.session)
	}
	done()
	if !worked && b.at > 0 {
		l.screen.complain(fmt.Sprintf("%s stops at line %d.\n", b.path, b.lines[b.at-1].No))
	}
	return worked
}

// replayFiles runs saved books one after the other in one session, up to the first
// error. With old, the entries are compared with those kept there.
func (l *loop) replayFiles(ctx context.Context, paths []string, old string) int {
	l.fromShell = true
	var books []*savedBook
	for _, path := range paths {
		b, err := loadBook(ctx, path, nil)
		if err != nil {
			return refuse(&callError{message: err.Error()})
		}
		books = append(books, b)
	}
	var earlier io.Reader
	if old != "" {
		text, err := readEarlier(ctx, old)
		if err != nil {
			return refuse(&callError{message: err.Error()})
		}
		earlier = text
	}
	for _, b := range books {
		l.announce(ctx, l.forecast(ctx, b))
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

// announce says before a replay what it will do: with the results where they are for
// people, else where errors go.
func (l *loop) announce(ctx context.Context, s page.Sentence) {
	switch {
	case l.screen.quiet:
	case l.screen.json, l.screen.checking:
		l.screen.complain(render.Sentence(s, render.Options{}) + "\n")
	default:
		if r, err := l.screen.prepare(ctx, page.Entry{Findings: []page.Sentence{s}}, 0); err == nil {
			l.screen.show(r)
		}
	}
}

// outOfPlace is what a replayed book may not do, by the kind of the command: it would
// reach past the book itself.
var outOfPlace = map[string]string{"save": "save a book", "quit": "end the session", "resume": "take up another book",
	"forget journal": "drop another book"}

// allowed refuses a command that has no place in a book that is replayed.
func (l *loop) allowed(c *phrase.Command) error {
	if len(l.replaying) == 0 {
		return nil
	}
	does, is := outOfPlace[c.Entry.Kind]
	if c.Entry.Kind == "undo" {
		before := l.session.Entries()
		does, is = "undo what was there before it", len(before) > 0 &&
			before[len(before)-1].Number < l.replaying[0].first
	}
	if !is {
		return nil
	}
	return page.Refuse(page.CodeNotInAReplay, 1, "a book that is replayed cannot "+does,
		fmt.Sprintf("take this line out of %s; where it is wanted, type it after the replay",
			l.replaying[len(l.replaying)-1].path))
}

// beside finds the files that a command of a replayed book reads: what the book has
// written itself, then what lies beside the book, then where the name leads from the
// current folder.
func (l *loop) beside(c *phrase.Command) {
	if len(l.replaying) == 0 {
		return
	}
	folder := l.replaying[len(l.replaying)-1].folder()
	for i, f := range c.Files {
		path := disk.Home(f.Path)
		if f.Written || filepath.IsAbs(path) {
			continue
		}
		if own := l.files.place(path); l.wrote(own) {
			c.Files[i].Real = own
			continue
		}
		near := filepath.Join(folder, path)
		if _, err := os.Stat(near); err == nil {
			c.Files[i].Real = near
		}
	}
}

func (l *loop) wrote(path string) bool {
	path, err := filepath.Abs(path)
	return err == nil && slices.ContainsFunc(l.session.Entries(), func(e page.Entry) bool {
		return slices.ContainsFunc(e.Files, func(f page.File) bool { return f.Written && f.Path == path })
	})
}

// named is the files that a command names, with where they are: what a saved book
// needs to name them from where it lies.
func (l *loop) named(c *phrase.Command) []page.File {
	var out []page.File
	for _, f := range c.Files {
		path := disk.Home(f.Path)
		switch {
		case f.Real != "":
			path = f.Real
		case f.Written:
			path = l.files.place(path)
		}
		if whole, err := filepath.Abs(path); err == nil {
			out = append(out, page.File{Path: whole, Typed: f.Path, At: f.At, End: f.End, Written: f.Written})
		}
	}
	return out
}

// linesOfCommands joins the lines of a book that continue each other and parts them
// into commands, up to the first that cannot be read.
func linesOfCommands(lines []book.Line) []phrase.Piece {
	var out []phrase.Piece
	pending := ""
	for i, line := range lines {
		if pending != "" && strings.TrimSpace(line.Text) == "" {
			pending = ""
			continue
		}
		pending += line.Text
		pieces, more, err := phrase.Split(pending)
		if err != nil {
			return out
		}
		if more && i < len(lines)-1 {
			pending += "\n"
			continue
		}
		out, pending = append(out, pieces...), ""
	}
	return out
}
