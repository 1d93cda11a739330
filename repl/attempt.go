package repl

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"time"

	"breakbook/repl/console"
	"breakbook/repl/kernel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/progress"
)

// grace is how long an interrupted command may take to come to a clean end before it
// is given up; the prompt is back well within a tenth of a second.
const grace = 20 * time.Millisecond

// outcome is what one command came to: a problem, or the next session with what is to
// be shown and done.
type outcome struct {
	problem *page.Problem
	session *kernel.Session
	files   files
	shown   shown
	replay  *savedBook
	quit    bool
}

// attempt does work in the background, so that an interrupt can give it up, and turns
// the unforeseen into a problem. Work that is given up goes on unheeded until it
// notices: the session is a value, so nothing it still does can reach the book.
func (l *loop) attempt(ctx context.Context, work func(context.Context) outcome) outcome {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	select {
	case <-l.interrupts: // left over from before the command was given
	default:
	}
	if l.screen.terminal != nil {
		bar := console.StartProgress(l.screen.terminal)
		defer bar.Finish()
		ctx = progress.With(ctx, bar.Report)
	}
	done := make(chan outcome, 1)
	go func() {
		defer func() {
			if r := recover(); r != nil {
				done <- outcome{problem: unforeseen(r)}
			}
		}()
		done <- work(ctx)
	}()
	select {
	case o := <-done:
		return o
	case <-l.interrupts:
	case <-ctx.Done():
	}
	cancel()
	select {
	case o := <-done:
		if o.problem == nil { // it was through before it noticed: what it wrote is written
			return o
		}
	case <-time.After(grace):
	}
	return outcome{problem: &page.Problem{Code: "interrupted", Message: "stopped; the book is as it was"}}
}

// unforeseen is the problem of a panic; to be called where it is recovered.
func unforeseen(r any) *page.Problem {
	return &page.Problem{
		Code:    "unforeseen",
		Message: fmt.Sprintf("breakbook met something it did not foresee (%v%s); the book is as it was", r, whereFrom()),
		Hint:    "please report it with the command that led here",
	}
}

// whereFrom names the function of ours that a panic came from.
func whereFrom() string {
	calls := make([]uintptr, 40)
	frames := runtime.CallersFrames(calls[:runtime.Callers(0, calls)])
	panicked := false
	for {
		f, more := frames.Next()
		if panicked && strings.HasPrefix(f.Function, "breakbook/") {
			return fmt.Sprintf(", in %s line %d", strings.TrimPrefix(f.Function, "breakbook/"), f.Line)
		}
		panicked = panicked || f.Function == "runtime.gopanic"
		if !more {
			return ""
		}
	}
}

// work carries out one command to its end: parsed, run, its files written, its result
// made ready to show. It changes nothing of the loop.
func (l *loop) work(ctx context.Context, p phrase.Piece) outcome {
	command, err := phrase.Parse(p, l.session)
	if err != nil {
		return outcome{problem: problemOf(err)}
	}
	next, entry, err := l.run(ctx, l.session, command)
	if err != nil {
		return outcome{problem: problemOf(err)}
	}
	o := outcome{session: next, files: l.files}
	if err := l.finish(ctx, &entry, &o); err != nil {
		failed := *problemOf(err)
		if failed.At == 0 {
			failed.At = placeOfFile(command)
		}
		return outcome{problem: &failed}
	}
	return o
}

// finish does for an entry what is left to do after its command: figures, files, and
// the text to show.
func (l *loop) finish(ctx context.Context, e *page.Entry, o *outcome) (err error) {
	writes := len(e.Figures) > 0
	e.Asks = slices.Clone(e.Asks)
	for i, ask := range e.Asks {
		if ask.Kind == page.SaveBook || ask.Kind == page.Report || ask.Kind == page.Write {
			e.Asks[i].Path = o.files.place(ask.Path)
			writes = true
		}
	}
	if writes {
		if err := o.files.ready(); err != nil {
			return err
		}
	}
	if err := o.files.draw(ctx, e); err != nil {
		return err
	}
	if err := writeFiles(e.Asks, o.session); err != nil {
		return err
	}
	o.session = o.session.Commit(*e)
	for _, ask := range e.Asks {
		if err := l.fulfil(ask, e, o); err != nil {
			return err
		}
	}
	o.shown, err = l.screen.prepare(*e, o.session.Settings().Digits)
	return err
}

// fulfil does what an entry asks for beyond its result, on the session it left.
func (l *loop) fulfil(ask page.Ask, e *page.Entry, o *outcome) (err error) {
	switch ask.Kind {
	case page.SaveBook:
		return saveBook(ask.Path, o.session)
	case page.Report:
		return writeReport(ask.Path, o.session)
	case page.Replay:
		if o.replay, err = loadBook(ask.Path, l.replaying); err == nil {
			e.Cautions = append(e.Cautions, o.replay.changed...)
		}
		return err
	case page.Quit:
		o.quit = true
	}
	return nil
}

// placeOfFile is where in a command the file stands that it writes or reads; 0: nowhere.
func placeOfFile(c *phrase.Command) int {
	if c.Clauses().To != nil {
		return c.Clauses().To.At
	}
	if f, ok := phrase.Part[phrase.File](c); ok {
		return f.At
	}
	return 0
}
