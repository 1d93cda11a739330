// Package console is the bench prompt on a real terminal: the line editor with its
// completion and history, the first-run message and the progress bar.
package console

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"

	"github.com/mattn/go-runewidth"
	"github.com/peterh/liner"
	"golang.org/x/term"
)

// ErrDropped says that the line being typed was given up with Ctrl-C.
var ErrDropped = errors.New("the line was dropped")

// Completer gives, for a line and a cursor position (both counted in characters),
// where the word being typed starts and what it could become.
type Completer func(line string, pos int) (start int, candidates []string)

// Options is what a console needs to know.
type Options struct {
	History    string           // the file that keeps what was typed; empty: none
	Complete   Completer        // nil: no completion
	Interrupts <-chan os.Signal // where Ctrl-C arrives while no line editor has the terminal
}

// Console reads lines from a person at the terminal of the process. Where the
// terminal cannot carry a line editor (no size, TERM=dumb, output sent elsewhere)
// it reads plainly. Close must be called however the program ends.
type Console struct {
	editor     *liner.State // nil: plain reading
	plain      *Lines
	prompts    io.Writer // where a plain prompt goes
	interrupts <-chan os.Signal
	history    *History
	found      liner.ModeApplier // the terminal's mode before the line editor took it over; nil: not known
	typed      *string           // a line typed where a page ended, which Line gives next; nil: none
}

// Open takes over the terminal on standard input.
func Open(o Options) *Console {
	c := &Console{interrupts: o.Interrupts, history: OpenHistory(o.History)}
	if !canEdit() {
		c.plain = NewLines(os.Stdin)
		c.prompts = os.Stdout
		if !term.IsTerminal(int(os.Stdout.Fd())) {
			c.prompts = os.Stderr
		}
		return c
	}
	if found, err := liner.TerminalMode(); err == nil {
		c.found = found
	}
	c.editor = liner.NewLiner()
	c.editor.SetCtrlCAborts(true)
	c.editor.SetMultiLineMode(true)
	c.editor.SetBeep(false)
	c.editor.SetTabCompletionStyle(liner.TabPrints)
	if o.Complete != nil {
		c.editor.SetWordCompleter(wordCompleter(o.Complete))
	}
	for _, text := range c.history.Lines() {
		c.editor.AppendHistory(text)
	}
	return c
}

// canEdit tells whether the line editor works here: both ends on a terminal that
// has a size and can move its cursor.
func canEdit() bool {
	if !term.IsTerminal(int(os.Stdin.Fd())) || !liner.TerminalSupported() {
		return false
	}
	return Width(os.Stdout) > 0
}

// Width is the number of columns of the terminal behind f, or 0 where there is none.
func Width(f *os.File) int {
	if !term.IsTerminal(int(f.Fd())) {
		return 0
	}
	columns, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return columns
}

// Line shows the prompt and gives the line typed. The error is io.EOF when the
// person leaves (Ctrl-D), ErrDropped after Ctrl-C, or the cause of ctx's end.
func (c *Console) Line(ctx context.Context, prompt string) (string, error) {
	if c.typed != nil {
		text := *c.typed
		c.typed = nil
		return text, nil
	}
	if c.editor == nil {
		return c.plainLine(ctx, prompt)
	}
	got := make(chan line, 1)
	go func() {
		text, err := c.editor.Prompt(fitPrompt(prompt, Width(os.Stdout)))
		got <- line{text, err}
	}()
	select {
	case l := <-got:
		switch {
		case errors.Is(l.err, liner.ErrPromptAborted):
			return "", ErrDropped
		case errors.Is(l.err, io.EOF):
			fmt.Fprintln(os.Stdout) // the shell goes on below the prompt
		}
		return l.text, l.err
	case <-ctx.Done():
		return "", context.Cause(ctx)
	}
}

func (c *Console) plainLine(ctx context.Context, prompt string) (string, error) {
	fmt.Fprint(c.prompts, prompt)
	waiting, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	read := make(chan struct{})
	defer close(read)
	go func() {
		select {
		case <-c.interrupts:
			stop(ErrDropped)
		case <-read:
		}
	}()
	text, err := c.plain.Line(waiting)
	if errors.Is(err, ErrDropped) || errors.Is(err, io.EOF) {
		fmt.Fprintln(c.prompts)
	}
	return text, err
}

// Remember puts a command into the history.
func (c *Console) Remember(text string) {
	c.history.Add(text)
	if c.editor != nil {
		c.editor.AppendHistory(text)
	}
}

// Close gives the terminal back as it was found. The error says that the history could not be kept.
func (c *Console) Close() error {
	if c.editor != nil {
		c.editor.Close()
	}
	return c.history.Close()
}

// fitPrompt makes a prompt that the line editor takes: nothing unprintable in it,
// and room left to type in a narrow terminal.
func fitPrompt(prompt string, columns int) string {
	prompt = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.C, r) {
			return '?'
		}
		return r
	}, prompt)
	if room := columns / 2; runewidth.StringWidth(prompt) > room {
		return runewidth.TruncateLeft(prompt, runewidth.StringWidth(prompt)-room, "")
	}
	return prompt
}

// wordCompleter turns a Completer into the line editor's form. Completion is a
// courtesy: when it fails in an unforeseen way there are simply no candidates.
func wordCompleter(complete Completer) liner.WordCompleter {
	return func(text string, pos int) (head string, candidates []string, tail string) {
		runes := []rune(text)
		pos = min(pos, len(runes))
		defer func() {
			if recover() != nil {
				head, candidates, tail = string(runes[:pos]), nil, string(runes[pos:])
			}
		}()
		start, candidates := complete(text, pos)
		return string(runes[:start]), candidates, string(runes[pos:])
	}
}

// Greeting is what the first run says: what to type.
const Greeting = `breakbook: which factor drove the breaking load of your test joints?
Type: open FILE.csv, then: what drove load. To be shown around: learn, or demo.
help lists what there is to type, Tab completes, quit leaves.
`

// First tells whether this is the first run: no history was kept before.
func (c *Console) First() bool { return c.history.First() }
