// Package repl is the loop of breakbook: it takes commands from the prompt, a pipe, a
// saved book or the words of the call, runs them on one session, shows what they gave
// and answers to the shell with an exit status.
package repl

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"

	"golang.org/x/term"

	disk "breakbook/frames/files"
	"breakbook/frames/reading"
	"breakbook/repl/bench"
	"breakbook/repl/book"
	"breakbook/repl/console"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/help"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// The exit statuses; a run ended by a signal gives 128 and the signal's number.
const (
	allWorked = 0
	oneFailed = 1
	wrongCall = 2
	bySignal  = 128
)

// Main runs one call of the program on the process's own streams and gives its exit
// status. args are the words after the program's name.
func Main(args []string) int {
	// With somebody waiting for it, the signal of a closed pipe ends nothing: the write
	// fails, and the exit status says so.
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE)
	return start(args, bench.Run)
}

// start is Main with the runner of commands given.
func start(args []string, run runner) int {
	c, err := parseCall(args)
	if err != nil {
		return refuse(err)
	}
	switch {
	case c.help:
		return say(usage())
	case c.version:
		return say(version() + "\n")
	case c.word == "man":
		return say(help.Man())
	case c.word == "schema":
		schema, err := render.Schema(bench.Contracts(), phrase.Kinds())
		if err != nil {
			return refuse(err)
		}
		return say(string(schema) + "\n")
	case c.word == "completion":
		script, err := help.ShellCompletion(c.rest[0])
		if err != nil {
			return refuse(err)
		}
		return say(script)
	}
	return c.commands(run)
}

// say writes a text that is all the call asked for.
func say(text string) int {
	if _, err := io.WriteString(os.Stdout, text); err != nil {
		return notShown(err)
	}
	return allWorked
}

// complain writes a line about the call itself for people, where there is no screen.
func complain(line string) { fmt.Fprintln(os.Stderr, render.CleanText(line, false)) }

// notShown says that the output could not be written.
func notShown(err error) int {
	if errors.Is(err, syscall.EPIPE) {
		err = errors.New("the output was closed before the end")
	}
	complain("breakbook: not everything could be shown: " + err.Error())
	return oneFailed
}

// refuse says what is wrong with the call.
func refuse(err error) int {
	complain("breakbook: " + err.Error())
	var wrong *callError
	if errors.As(err, &wrong) && wrong.hint != "" {
		complain("  " + wrong.hint)
	}
	complain("  breakbook --help lists the calls")
	return wrongCall
}

// commands runs the calls that run commands of the bench language.
func (c *call) commands(run runner) int {
	prompt := (c.word == "" || c.word == "learn") && term.IsTerminal(int(os.Stdin.Fd()))
	endings := []os.Signal{syscall.SIGTERM, syscall.SIGHUP}
	if !prompt {
		endings = append(endings, os.Interrupt)
	}
	if most, err := disk.ParseSize(c.memory); err == nil { // checked with the call
		disk.SetMostMemory(most)
	}
	keepWithin()
	ctx, release := endedBySignal(context.Background(), endings)
	defer release()
	l := &loop{
		session: session.New(session.Options{Seed: c.seed}),
		outside: c.outside,
		run:     run,
		screen:  c.screen(), files: files{folder: c.out, prints: fingerprints()},
	}
	status := allWorked
	switch c.word {
	case "demo":
		status = l.demo(ctx, c.out)
	case "learn":
		if term.IsTerminal(int(os.Stdin.Fd())) {
			return l.atPrompt(ctx, c.quiet, "learn")
		}
		status = l.learnThrough(ctx)
	case "replay":
		status = l.replayFiles(ctx, c.rest, c.check)
	case "type":
		l.feed(ctx, linesOf(strings.NewReader(strings.Join(c.rest, " "))), true, false)
		l.remark(l.notInSaved())
	case "help":
		l.feed(ctx, linesOf(strings.NewReader("help "+strings.Join(c.rest, " "))), true, false)
	default:
		if prompt {
			return l.atPrompt(ctx, c.quiet, "")
		}
		l.feed(ctx, linesOf(os.Stdin), false, false)
		l.remark(l.notInSaved())
	}
	return l.status(ctx, status)
}

// fingerprints remembers from run to run which files breakbook wrote, where the system has
// a place for that.
func fingerprints() *book.Fingerprints {
	folder, err := book.StateFolder()
	if err != nil {
		folder = "" // this run remembers its own
	}
	return book.NewFingerprints(folder)
}

// status is the exit status of a run that is over.
func (l *loop) status(ctx context.Context, status int) int {
	var ended signalled
	switch {
	case errors.As(context.Cause(ctx), &ended):
		return ended.status()
	case l.screen.broken != nil:
		return notShown(l.screen.broken)
	case l.failed:
		return oneFailed
	}
	return status
}

// atPrompt talks with the person at the terminal. There an error has been seen and
// answered, so leaving in peace is a success.
func (l *loop) atPrompt(ctx context.Context, quiet bool, first string) (status int) {
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	defer signal.Stop(interrupts)
	l.interrupts = interrupts
	l.files = l.files.afterEarlier()
	prompt := console.Open(console.Options{
		History:    console.HistoryPath(),
		Interrupts: interrupts,
		Complete:   l.complete,
	})
	defer func() {
		if err := prompt.Close(); err != nil {
			complain("breakbook: " + err.Error())
		}
	}()
	if prompt.First() && !quiet {
		for line := range strings.Lines(console.Greeting) {
			fmt.Fprint(os.Stdout, render.Wrapped(line, l.screen.width()))
		}
	}
	l.screen.height = func() int { return console.Height(os.Stdout) }
	l.screen.pages = func(out io.Writer, text string) error { return prompt.Show(ctx, out, text) }
	l.startKeeping()
	if first != "" {
		l.feed(ctx, linesOf(strings.NewReader(first+"\n")), false, false)
	}
	l.feed(ctx, prompt, false, false)
	l.stopKeeping(ctx)
	l.failed = false
	return l.status(ctx, allWorked)
}

// onDisk is what completion at the prompt knows of files.
var onDisk = parser.Disk{Paths: pathsToShow, Sheets: sheetsToShow}

// mostLooked is how large a workbook may be whose sheets are looked up while a line is typed.
const mostLooked = 32 << 20

// sheetsToShow are the sheets of a workbook whose names a terminal would just show; none where it cannot
// be read at once.
func sheetsToShow(path string) []string {
	path = disk.Home(path)
	if is, err := os.Stat(path); err != nil || !is.Mode().IsRegular() || is.Size() > mostLooked {
		return nil
	}
	names, err := reading.Sheets(context.Background(), path)
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(names, func(name string) bool { return render.Clean(name) != name })
}

// signalled is the end of a run by a signal from outside.
type signalled struct{ signal os.Signal }

func (s signalled) Error() string { return "ended by a signal: " + s.signal.String() }

func (s signalled) status() int {
	if n, ok := s.signal.(syscall.Signal); ok {
		return bySignal + int(n)
	}
	return oneFailed
}

// endedBySignal is a context that ends, with a signalled as its cause, when the
// program gets one of these signals.
func endedBySignal(parent context.Context, endings []os.Signal) (ctx context.Context, release func()) {
	ctx, end := context.WithCancelCause(parent)
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, endings...)
	go func() {
		select {
		case s := <-signals:
			end(signalled{s})
		case <-ctx.Done():
		}
	}()
	return ctx, func() { signal.Stop(signals); end(nil) }
}
