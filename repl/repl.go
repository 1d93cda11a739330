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
	"strings"
	"syscall"

	"golang.org/x/term"

	"breakbook/repl/console"
	"breakbook/repl/kernel"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/help"
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
	return start(args, kernel.Run)
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
		fmt.Fprintln(os.Stderr, "breakbook:", err)
		return oneFailed
	}
	return allWorked
}

// refuse says what is wrong with the call.
func refuse(err error) int {
	fmt.Fprintln(os.Stderr, "breakbook:", err)
	var wrong *callError
	if errors.As(err, &wrong) && wrong.hint != "" {
		fmt.Fprintln(os.Stderr, "  "+wrong.hint)
	}
	fmt.Fprintln(os.Stderr, "  breakbook --help lists the calls")
	return wrongCall
}

// commands runs the calls that run commands of the bench language.
func (c *call) commands(run runner) int {
	prompt := c.word == "" && term.IsTerminal(int(os.Stdin.Fd()))
	endings := []os.Signal{syscall.SIGTERM, syscall.SIGHUP}
	if !prompt {
		endings = append(endings, os.Interrupt)
	}
	ctx, release := endedBySignal(context.Background(), endings)
	defer release()
	l := &loop{
		session: kernel.New(kernel.Options{Seed: c.seed}),
		run:     run,
		screen:  c.screen(),
		files:   files{folder: c.out},
	}
	status := allWorked
	switch c.word {
	case "demo":
		status = l.demo(ctx, c.out)
	case "replay":
		status = l.replayFiles(ctx, c.rest, c.check)
	case "type":
		l.feed(ctx, linesOf(strings.NewReader(strings.Join(c.rest, " "))), true, false)
	case "help":
		l.feed(ctx, linesOf(strings.NewReader("help "+strings.Join(c.rest, " "))), true, false)
	default:
		if prompt {
			return l.atPrompt(ctx, c.quiet)
		}
		l.feed(ctx, linesOf(os.Stdin), false, false)
	}
	return l.status(ctx, status)
}

// status is the exit status of a run that is over.
func (l *loop) status(ctx context.Context, status int) int {
	var ended signalled
	switch {
	case errors.As(context.Cause(ctx), &ended):
		return ended.status()
	case l.screen.broken != nil:
		fmt.Fprintln(os.Stderr, "breakbook: the results could not be written:", l.screen.broken)
		return oneFailed
	case l.failed:
		return oneFailed
	}
	return status
}

// atPrompt talks with the person at the terminal. There an error has been seen and
// answered, so leaving in peace is a success.
func (l *loop) atPrompt(ctx context.Context, quiet bool) (status int) {
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	defer signal.Stop(interrupts)
	l.interrupts = interrupts
	l.files = l.files.afterEarlier()
	prompt := console.Open(console.Options{
		History:    console.HistoryPath(),
		Interrupts: interrupts,
		Complete: func(line string, pos int) (int, []string) {
			return phrase.Complete(line, pos, l.session, pathsFrom)
		},
	})
	defer func() {
		if err := prompt.Close(); err != nil {
			fmt.Fprintln(os.Stderr, "breakbook:", err)
		}
	}()
	if prompt.First() && !quiet {
		fmt.Fprint(os.Stdout, console.Greeting)
	}
	l.feed(ctx, prompt, false, false)
	l.failed = false
	return l.status(ctx, allWorked)
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
