package repl

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"breakbook/repl/console"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// screen is where results and errors go: results to out, errors for people to err.
type screen struct {
	out, err io.Writer
	terminal io.Writer // where a progress bar may be drawn; nil: nowhere
	width    func() int
	height   func() int // of the terminal where a person reads; nil: nobody does
	color    bool
	plain    bool // the terminal is set to letters other than those of UTF-8
	json     bool
	quiet    bool // no progress, no greeting and no echo; answers are always shown

	// pages writes a text that a person at the terminal wants to read from its beginning; nil: nobody does.
	pages func(out io.Writer, text string) error

	checking bool         // the entries are wanted for a comparison, which is shown in their place
	entries  []page.Entry // all of them, where checking
	broken   error        // the first failure to write to out
}

// shown is an entry made ready to be written out.
type shown struct {
	entry      page.Entry
	text, json []byte
}

// screen is the one the flags of the call ask for.
func (c *call) screen() *screen {
	s := &screen{out: os.Stdout, err: os.Stderr, json: c.json, quiet: c.quiet, checking: c.check != ""}
	s.width = func() int { return console.Width(os.Stdout) }
	plain := c.noColor || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb"
	s.color = !plain && term.IsTerminal(int(os.Stdout.Fd())) && term.IsTerminal(int(os.Stderr.Fd()))
	s.plain = term.IsTerminal(int(os.Stdout.Fd())) && !inUTF8(os.Getenv)
	if !c.quiet && os.Getenv("TERM") != "dumb" && console.Width(os.Stderr) > 0 {
		s.terminal = os.Stderr
	}
	return s
}

// inUTF8 reports whether the locale of the environment writes in UTF-8: its character set stands in the first of
// three variables that is not empty (POSIX.1-2017, XBD 8.2). Where none says anything it is taken for granted.
func inUTF8(env func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToLower(env(name)); v != "" {
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return true
}

func (s *screen) options(digits int) render.Options {
	o := render.Options{Digits: digits, Width: s.width(), Color: s.color, Plain: s.plain}
	if s.height != nil {
		o.Height = s.height()
	}
	return o
}

// prepare renders an entry that worked; what goes wrong in it is the command's
// failure. JSON does not depend on what is set for the screen.
func (s *screen) prepare(ctx context.Context, e page.Entry, digits int) (shown, error) {
	r := shown{entry: e}
	if s.json {
		var err error
		if r.json, err = render.JSON(e, render.Options{Context: ctx}); err != nil {
			if ctx.Err() != nil {
				return r, err
			}
			return r, fmt.Errorf("the result could not be put into JSON: %w", err)
		}
		return r, nil
	}
	if e.Prose != "" { // it has just been typed or echoed
		return r, nil
	}
	var out bytes.Buffer
	o := s.options(digits)
	o.Context = ctx
	err := render.Terminal(&out, e, o)
	r.text = out.Bytes()
	return r, err
}

// show writes an entry that worked.
func (s *screen) show(r shown) {
	if s.checking {
		s.entries = append(s.entries, r.entry)
	}
	if s.json {
		s.write(append(r.json, '\n'))
		return
	}
	text := render.CleanText(string(r.text), s.color)
	if s.pages == nil || s.checking {
		s.results(text)
		return
	}
	s.wrote(s.pages(s.out, text))
}

// fail writes an entry that did not work: for people on err, as JSON where asked for.
func (s *screen) fail(e page.Entry, digits int) {
	if s.checking {
		s.entries = append(s.entries, e)
	}
	if s.json {
		if line, err := render.JSON(e, render.Options{}); err == nil {
			s.write(append(line, '\n'))
		}
	}
	_, _ = io.WriteString(s.err, render.CleanText(render.Problem(e, s.options(digits)), s.color))
}

// complain writes for people what is no result; where that cannot be written either
// there is nobody left to tell.
func (s *screen) complain(text string) { _, _ = io.WriteString(s.err, render.CleanText(text, false)) }

// echo shows a command as if it had been typed at the prompt; a long one, mostly
// prose, is broken between words.
func (s *screen) echo(prompt, command string) {
	if s.quiet {
		return
	}
	width := s.width()
	if width == 0 {
		width = render.DefaultWidth
	}
	line := render.CleanText(prompt+command, false)
	if len(line) > width {
		line = render.Echo(line, width)
	}
	s.tell("\n" + line + "\n")
}

// greet writes what frames the answers and is none; --quiet leaves it out.
func (s *screen) greet(text string) {
	if !s.quiet {
		s.tell(text)
	}
}

// tell writes text for people; it gives way to JSON and to a comparison.
func (s *screen) tell(text string) { s.results(render.CleanText(text, false)) }

// results is tell for what has been cleaned and may be coloured.
func (s *screen) results(text string) {
	if !s.json && !s.checking {
		s.write([]byte(text))
	}
}

func (s *screen) write(p []byte) {
	_, err := s.out.Write(p)
	s.wrote(err)
}

// wrote is told what came of writing to out.
func (s *screen) wrote(err error) {
	if err != nil && s.broken == nil {
		s.broken = err
	}
}
