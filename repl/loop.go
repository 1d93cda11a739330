package repl

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/console"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// source gives the loop one line after another; the prompt is for sources that show
// one. After the last line the error is io.EOF.
type source interface {
	Line(ctx context.Context, prompt string) (string, error)
	// Remember is told what the lines amounted to, for a history.
	Remember(text string)
}

// runner carries out one parsed command: bench.Run.
type runner func(context.Context, *session.Session, *phrase.Command) (*session.Session, page.Entry, error)

// loop takes commands from a source of lines and runs them on one session.
type loop struct {
	session    *session.Session
	run        runner
	screen     *screen
	files      files
	interrupts <-chan os.Signal // Ctrl-C that stops one command; nil where it ends the run
	keeper     *keeper          // keeps the book on the disk, at the prompt; nil elsewhere
	savedOnce  string           // the book that was saved last without a prompt; "" for none
	inSaved    []int            // the numbers of the entries in it

	// givenUp is closed when the command that was stopped last is over and its memory given
	// back; nil: none was.
	givenUp <-chan struct{}

	offer     string       // the line that the hint of the last problem offers; empty: none
	refused   int          // how many commands of the line at hand did not work
	pending   string       // what was typed of the command that the next line goes on with
	failed    bool         // an entry failed
	lesson    *walk        // the lesson on its way; nil: none
	hasQuit   bool         // quit was typed
	replaying []*savedBook // the books being replayed, the innermost last
	names     *bookNames   // what the innermost, or a book that is taken up, calls its results; nil: there is none
	fromShell bool         // they were given in the call, not typed
	outside   bool         // they may write outside their folder
}

// feed runs the lines of src until they end, `quit` is typed, ctx ends, nobody takes the
// results any more or, with stopAtError, an entry fails. It tells whether every entry worked.
func (l *loop) feed(ctx context.Context, src source, stopAtError, echo bool) bool {
	worked := true
	pending := ""
	for !l.hasQuit && l.screen.broken == nil && ctx.Err() == nil && (worked || !stopAtError) {
		l.pending = pending
		text, err := src.Line(ctx, l.prompt(pending != ""))
		switch {
		case errors.Is(err, console.ErrDropped):
			pending = ""
			continue
		case errors.Is(err, io.EOF) && pending == "", ctx.Err() != nil:
			return worked
		case errors.Is(err, io.EOF): // the commands end in the middle of one
			return l.commands(ctx, src, pending, stopAtError, echo) && worked
		case err != nil:
			l.fail("", page.Refuse(page.CodeUnreadable, 0, err.Error(), ""))
			return false
		}
		if pending != "" && strings.TrimSpace(text) == "" {
			pending = ""
			continue
		}
		pending += text
		if _, more, err := phrase.Split(pending); err == nil && more {
			pending += "\n"
			continue
		}
		worked = l.commands(ctx, src, pending, stopAtError, echo) && worked
		pending = ""
	}
	return worked
}

// commands runs the commands of one line, or of several that continue each other.
// Whatever goes wrong in an unforeseen way becomes a message, and the session stays.
func (l *loop) commands(ctx context.Context, src source, text string, stopAtError, echo bool) (worked bool) {
	defer func() {
		if r := recover(); r != nil {
			worked, l.failed = false, true
			l.screen.complain(unforeseen(r).Message + "\n")
		}
	}()
	pieces, _, err := phrase.Split(text)
	if err != nil {
		text = strings.TrimSpace(text)
		src.Remember(text)
		l.fail(text, l.mended(phrase.Piece{Text: text, At: 1}, problemOf(err)))
		return false
	}
	src.Remember(strings.Join(lists.Mapped(pieces, func(p phrase.Piece) string { return p.Text }), "; "))
	worked = true
	l.refused = 0
	for _, p := range pieces {
		if l.hasQuit || l.screen.broken != nil || ctx.Err() != nil || !worked && stopAtError {
			break
		}
		p = l.names.line(p, l.session)
		if echo {
			l.screen.echo(l.prompt(false), p.Text)
		}
		if !l.command(ctx, p) {
			worked = false
		}
	}
	return worked
}

// command runs one command and shows what it gave.
func (l *loop) command(ctx context.Context, p phrase.Piece) bool {
	as := *l // work that is given up must not see the loop go on
	o := l.attempt(ctx, light(p), func(ctx context.Context) outcome { return as.work(ctx, p) })
	if o.problem != nil {
		l.fail(p.Text, o.problem)
		return false
	}
	if l.names != nil {
		l.names.note(l.session, o.session)
	}
	l.session, l.files = o.session, o.files
	l.offer = ""
	l.keep(o)
	l.screen.show(o.shown)
	l.hasQuit = l.hasQuit || o.quit
	switch {
	case o.resume != nil:
		return l.resume(ctx, o.resume)
	case o.replay != nil:
		return l.replay(ctx, o.replay)
	case o.learn:
		return l.learn(ctx)
	}
	l.learned(p.Text)
	return true
}

// fail books and shows a command that did not work.
func (l *loop) fail(input string, p *page.Problem) {
	var e page.Entry
	l.session, e = l.session.Failed(input, p)
	l.offer = phrase.Tried(p.Hint)
	l.refused++
	l.failed = true
	l.screen.fail(e, l.session.Settings().Digits)
}

// prompt says where the next command goes: `gates 4 | `, `breakbook 1 | ` before the
// first series, `… | ` where a line is continued.
func (l *loop) prompt(continued bool) string {
	if continued {
		return "… | "
	}
	name := l.session.Current()
	if name == "" {
		name = "breakbook"
	}
	return fmt.Sprintf("%s %d | ", render.Clean(name), l.session.Next())
}

// problemOf is any error as the one kind a user sees.
func problemOf(err error) *page.Problem {
	var known *page.Problem
	if errors.As(err, &known) {
		return known
	}
	return page.Refuse(page.CodeFailed, 0, err.Error(), "")
}

// plainLines is a source without prompt and history: a pipe, a file, words in place.
type plainLines struct{ *console.Lines }

func linesOf(r io.Reader) plainLines { return plainLines{console.NewLines(r)} }

func (p plainLines) Line(ctx context.Context, _ string) (string, error) { return p.Lines.Line(ctx) }
func (p plainLines) Remember(string)                                    {}
