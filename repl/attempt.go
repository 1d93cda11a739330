package repl

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"breakbook/models/parallel"
	"breakbook/repl/book"
	"breakbook/repl/console"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// grace is how long an interrupted command may take to come to a clean end before it
// is given up; the prompt is back well within a tenth of a second.
const grace = 20 * time.Millisecond

// outcome is what one command came to: a problem, or the next session with what is to
// be shown and done.
type outcome struct {
	problem *page.Problem
	session *session.Session
	files   files
	shown   shown
	replay  *savedBook
	resume  *book.Unsaved
	saved   string // where the book was saved
	quit    bool
	learn   bool // the lesson begins
	discard bool // and what is not saved is not kept
}

// attempt does work in the background, so that an interrupt can give it up, and turns
// the unforeseen into a problem. Work that is given up goes on unheeded until it
// notices: the session is a value, so nothing it still does can reach the book. Nothing
// new is begun before it is over, so that never two are at work, but what is light.
func (l *loop) attempt(ctx context.Context, light bool, work func(context.Context) outcome) outcome {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	select {
	case <-l.interrupts: // left over from before the command was given
	default:
	}
	if l.screen.terminal != nil {
		bar := console.StartProgress(l.screen.terminal)
		defer bar.Finish()
		ctx = parallel.WithProgress(ctx, bar.Report)
		if !light {
			go bar.Wait(l.givenUp)
		}
	}
	stopped := outcome{problem: page.Refuse(page.CodeInterrupted, 0, "stopped; the book is as it was", "")}
	if l.givenUp != nil && !light {
		select {
		case <-l.givenUp:
			l.givenUp = nil
		case <-l.interrupts:
			return stopped
		case <-ctx.Done():
			return stopped
		}
	}
	keepLean()
	go watchMemory(ctx, cancel)
	done, over := make(chan outcome, 1), make(chan struct{})
	go func() {
		defer close(over)
		defer func() {
			if r := recover(); r != nil {
				done <- outcome{problem: unforeseen(r)}
			}
		}()
		done <- work(ctx)
	}()
	select {
	case o := <-done:
		if ctx.Err() == nil || o.problem == nil {
			return o
		}
	case <-l.interrupts:
	case <-ctx.Done():
	}
	cancel(nil)
	var why *page.Problem
	if errors.As(context.Cause(ctx), &why) {
		stopped.problem = why
	}
	select {
	case o := <-done:
		if o.problem == nil { // it was through before it noticed: what it wrote is written
			return o
		}
	case <-over:
	case <-time.After(grace):
	}
	if !light {
		l.givenUp = releaseAfter(over)
	}
	return stopped
}

// light tells whether a command needs nearly nothing: it may run, so that a book can be saved
// and left, while work that was given up is still coming to its end.
func light(p phrase.Piece) bool {
	switch word, _, _ := strings.Cut(strings.TrimSpace(p.Text), " "); strings.ToLower(word) {
	case "save", "resume", "forget", "quit", "exit", "help", "note", "heading", "conclude":
		return true
	}
	return false
}

// releaseAfter gives the memory of work that was stopped back to the system once it is
// over, and then closes the channel.
func releaseAfter(over <-chan struct{}) <-chan struct{} {
	released := make(chan struct{})
	go func() {
		defer close(released)
		<-over
		debug.FreeOSMemory()
	}()
	return released
}

// unforeseen is the problem of a panic; to be called where it is recovered.
func unforeseen(r any) *page.Problem {
	where := whereFrom()
	var worker *parallel.Panic
	if err, ok := r.(error); ok && errors.As(err, &worker) {
		where = placeIn(worker.Stack)
	}
	return page.Refuse(page.CodeUnforeseen, 0,
		fmt.Sprintf("breakbook met something it did not foresee (%v%s); the book is as it was", r, where),
		"please report it with the command that led here")
}

// whereFrom names the function of ours that a panic came from.
func whereFrom() string {
	calls := make([]uintptr, 40)
	frames := runtime.CallersFrames(calls[:runtime.Callers(0, calls)])
	panicked := false
	for {
		f, more := frames.Next()
		if panicked && strings.HasPrefix(f.Function, ours) {
			return fmt.Sprintf(", in %s line %d", strings.TrimPrefix(f.Function, ours), f.Line)
		}
		panicked = panicked || f.Function == "runtime.gopanic"
		if !more {
			return ""
		}
	}
}

// ours is what the names of this program's functions begin with.
const ours = "breakbook/"

// placeIn is whereFrom for the stack of another goroutine, as the runtime writes it: after
// the panic, the function of ours with the arguments it was called with, and on the next
// line its file and line.
func placeIn(stack []byte) string {
	lines := strings.Split(string(stack), "\n")
	panicked := false
	for i, line := range lines[:len(lines)-1] {
		if name, called := strings.CutPrefix(line, ours); panicked && called {
			name = name[:max(strings.LastIndexByte(name, '('), 0)]
			file, _, _ := strings.Cut(strings.TrimSpace(lines[i+1]), " ")
			return fmt.Sprintf(", in %s line %s", name, file[strings.LastIndexByte(file, ':')+1:])
		}
		panicked = panicked || strings.HasPrefix(line, "panic(")
	}
	return ""
}

// work carries out one command to its end: parsed, run, its files written, its result
// made ready to show. It changes nothing of the loop.
func (l *loop) work(ctx context.Context, p phrase.Piece) outcome {
	command, err := parser.Parse(p, l.session)
	if err != nil {
		return outcome{problem: l.mended(p, problemOf(err))}
	}
	if err := l.allowed(command); err != nil {
		return outcome{problem: problemOf(err)}
	}
	l.beside(command)
	next, entry, err := l.run(ctx, l.session, command)
	if err != nil {
		return outcome{problem: l.mendedRun(p, command, problemOf(err))}
	}
	entry.Files = l.named(command)
	o := outcome{session: next, files: l.files}
	o.files.fence = l.fence(command.Input)
	if err := l.finish(ctx, command, &entry, &o); err != nil {
		failed := *problemOf(err)
		if failed.At == 0 { // where the file stands that it writes or reads
			f, _ := fileOf(command)
			failed.At = f.At
		}
		return outcome{problem: l.mendedRun(p, command, &failed)}
	}
	return o
}

// finish does for an entry what is left to do after its command: figures, files, and
// the text to show.
func (l *loop) finish(ctx context.Context, c *phrase.Command, e *page.Entry, o *outcome) (err error) {
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
	if err := o.files.write(ctx, c, e, o.session); err != nil {
		return err
	}
	o.session = o.session.Commit(*e)
	for _, ask := range e.Asks {
		if err := l.fulfil(ctx, ask, e, o); err != nil {
			return err
		}
	}
	o.shown, err = l.screen.prepare(ctx, *e, o.session.Settings().Digits)
	return err
}

// fulfil does what an entry asks for beyond its result, on the session it left.
func (l *loop) fulfil(ctx context.Context, ask page.Ask, e *page.Entry, o *outcome) (err error) {
	switch ask.Kind {
	case page.SaveBook:
		l.savesTo(ask.Path, e, o)
	case page.Replay:
		if o.replay, err = loadBook(ctx, ask.Path, l.replaying); err == nil {
			e.Find(l.forecast(ctx, o.replay))
			e.Warn(o.replay.changed...)
		}
		return err
	case page.Demo:
		if o.replay, err = l.demoBook(ctx); err == nil {
			e.Find(l.forecast(ctx, o.replay))
		}
		return err
	case page.Learn:
		o.learn = true
	case page.Resume:
		return l.takeUp(ctx, e, o)
	case page.ForgetJournal:
		e.Findings, err = l.keeper.forget()
		return err
	case page.LeaveUnsaved:
		o.discard = true
	case page.Quit:
		o.quit = true
	}
	return nil
}
