package console

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"

	"github.com/peterh/liner"
	"golang.org/x/term"
)

// leastPage is the fewest lines that a page is made of, on a terminal however low.
const leastPage = 5

// Show writes text. What is taller than the terminal goes through the
// program that PAGER names, else by pages: Enter shows the next one, q leaves the rest out, and any
// other line leaves it out and is the next one that Line gives. The error is one of writing to out.
func (c *Console) Show(ctx context.Context, out io.Writer, text string) error {
	lines := slices.Collect(strings.Lines(text))
	height := Height(os.Stdout)
	if c.editor == nil || height == 0 || len(lines) <= height {
		_, err := io.WriteString(out, text)
		return err
	}
	if pager := os.Getenv("PAGER"); pager != "" && c.paged(ctx, pager, text) {
		return nil
	}
	for page := max(height-1, leastPage); ; {
		page = min(page, len(lines))
		if _, err := io.WriteString(out, strings.Join(lines[:page], "")); err != nil {
			return err
		}
		if lines = lines[page:]; len(lines) == 0 {
			return nil
		}
		question := fmt.Sprintf("%d more (Enter), or q | ", len(lines))
		if width := Width(os.Stdout); width > 0 && 2*len(question) > width { // the editor cuts a longer one
			question = fmt.Sprintf("%d more, q | ", len(lines))
		}
		answer, err := c.Line(ctx, question)
		if answer = strings.TrimSpace(answer); err == nil && answer != "" && !strings.EqualFold(answer, "q") {
			c.typed = &answer
			return nil
		}
		if err != nil {
			return nil
		}
		// The question goes, so that the pages stand below each other as one text.
		if _, err := io.WriteString(out, "\x1b[A\r\x1b[K"); err != nil || answer != "" {
			return err
		}
		page = max(height-1, leastPage)
	}
}

// Height is the number of lines of the terminal behind f, or 0 where there is none.
func Height(f *os.File) int {
	_, lines, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return lines
}

// paged shows text through a pager, on the terminal as it was before the line editor took it over;
// false where the pager could not be started.
func (c *Console) paged(ctx context.Context, pager, text string) bool {
	shell := []string{"sh", "-c"}
	if runtime.GOOS == "windows" {
		shell = []string{"cmd", "/c"}
	}
	if c.found != nil {
		if ours, err := liner.TerminalMode(); err == nil && c.found.ApplyMode() == nil {
			defer func() { _ = ours.ApplyMode() }()
		}
	}
	p := exec.CommandContext(ctx, shell[0], shell[1], pager)
	p.Stdin, p.Stdout, p.Stderr = strings.NewReader(text), os.Stdout, os.Stderr
	if os.Getenv("LESS") == "" {
		p.Env = append(os.Environ(), "LESS=R") // colours stay colours where the pager is the common one
	}
	err := p.Run()
	select {
	case <-c.interrupts: // Ctrl-C was for the pager
	default:
	}
	var exit *exec.ExitError
	return err == nil || errors.As(err, &exit) && exit.ExitCode() != notFound && exit.ExitCode() != notRun
}

// What a shell answers with for a command that it could not start (POSIX.1-2017, 2.8.2).
const (
	notRun   = 126
	notFound = 127
)
