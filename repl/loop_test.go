package repl

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// stubborn keeps "seed 41" at work until it is closed.
var stubborn = make(chan struct{})

// slowCommands is bench.Run with a few notes that misbehave.
func slowCommands(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
	switch c.Input {
	case "seed 41": // never looks whether it is to stop
		<-stubborn
	case "note obedient":
		<-ctx.Done()
	case "note crash":
		panic("a hole in the bench")
	}
	return bench.Run(ctx, s, c)
}

// harness is a loop whose output can be read.
type harness struct {
	*loop
	out, err bytes.Buffer
}

func newHarness(t *testing.T) *harness { t.Helper(); return benchOf(t) }

func benchOf(t testing.TB) *harness {
	t.Helper()
	b := &harness{}
	b.loop = &loop{
		session: session.New(session.Options{}),
		run:     slowCommands,
		files:   files{folder: t.TempDir()},
		screen:  &screen{out: &b.out, err: &b.err, width: func() int { return 80 }},
	}
	return b
}

func (b *harness) typed(t *testing.T, text string, stopAtError bool) bool {
	t.Helper()
	return b.feed(t.Context(), linesOf(strings.NewReader(text)), stopAtError, false)
}

func (b *harness) inputs() []string {
	var got []string
	for _, e := range b.session.Entries() {
		got = append(got, fmt.Sprintf("%d %s", e.Number, e.Input))
	}
	return got
}

func TestLinesBecomeEntries(t *testing.T) {
	for _, c := range []struct {
		name, text string
		stop       bool
		want       string // the book afterwards
		worked     bool
	}{
		{"one a line", "note a\nnote b\n", false, "1 note a|2 note b", true},
		{"several a line", "note a; note b # and no more\n", false, "1 note a|2 note b", true},
		{"blank lines and comments are no entries", "\n# nothing\n  \nnote a", false, "1 note a", true},
		{"a pipe goes on after an error", "note a\nnonsense\nnote b\n", false, "1 note a|3 note b", false},
		{"others stop at the first", "note a\nnonsense\nnote b\n", true, "1 note a", false},
		{"also within a line", "note a; nonsense; note b\n", true, "1 note a", false},
		{"a comma goes on with the next line", "note a,\nb\nnote c", false, "1 note a,\nb|2 note c", true},
		{"a blank line cancels it", "note a,\n\nnote c", false, "1 note c", true},
		{"quit leaves", "note a\nquit\nnote b\n", false, "1 note a", true},
		{"quit in the middle of a line too", "note a; quit; note b\n", false, "1 note a", true},
		{"an open quotation mark fails the line", "note a\nopen \"gates.csv\nnote b", false, "1 note a|3 note b",
			false},
		{"what breaks keeps the session", "note a\nnote crash\nnote b", false, "1 note a|3 note b", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newHarness(t)
			worked := b.typed(t, c.text, c.stop)
			if got := strings.Join(b.inputs(), "|"); got != c.want {
				t.Errorf("the book holds %q, want %q", got, c.want)
			}
			if worked != c.worked || b.failed == c.worked {
				t.Errorf("worked %v (failed %v), want %v\n%s", worked, b.failed, c.worked, b.err.String())
			}
		})
	}
}

func TestUnforeseenBecomesAMessage(t *testing.T) {
	b := newHarness(t)
	b.typed(t, "note crash", false)
	got := strings.Join(strings.Fields(b.err.String()), " ")
	want := "Entry 1: breakbook met something it did not foresee (a hole in the bench, in repl.slowCommands line "
	if !strings.HasPrefix(got, want) {
		t.Errorf("said %q, want %q …", got, want)
	}
}

func TestJSONIsOneObjectAnEntry(t *testing.T) {
	b := newHarness(t)
	b.screen.json = true
	b.typed(t, "note a\nnonsense here\nnote b", false)
	var entries []struct {
		Entry int
		Input string
		OK    bool
		Error *struct {
			Code, Message, Hint string
			At                  int
		}
	}
	for line := range strings.Lines(b.out.String()) {
		entries = append(entries, struct {
			Entry int
			Input string
			OK    bool
			Error *struct {
				Code, Message, Hint string
				At                  int
			}
		}{})
		if err := json.Unmarshal([]byte(line), &entries[len(entries)-1]); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
	}
	if len(entries) != 3 {
		t.Fatalf("%d objects for 3 entries:\n%s", len(entries), b.out.String())
	}
	for i, e := range entries {
		if e.Entry != i+1 || e.OK == (i == 1) {
			t.Errorf("entry %d is %+v", i+1, e)
		}
	}
	if e := entries[1].Error; e == nil || e.Code != "unknown-command" || e.At != 1 {
		t.Errorf("the error is %+v", e)
	}
	if !strings.Contains(b.err.String(), "Entry 2: ") || !strings.Contains(b.err.String(), "\n  nonsense here\n  ^") {
		t.Errorf("for people: %q", b.err.String())
	}
}

// --quiet leaves the echo of a command out, and never its answer.
func TestQuietShowsAnswers(t *testing.T) {
	lines := "confidence 90%\nnonsense\nshow series"
	b, loud := newHarness(t), newHarness(t)
	b.screen.quiet = true
	b.feed(t.Context(), linesOf(strings.NewReader(lines)), false, true)
	loud.feed(t.Context(), linesOf(strings.NewReader(lines)), false, true)
	out := b.out.String()
	if !strings.Contains(out, "Intervals are now") ||
		!strings.Contains(out, "0 series") && !strings.Contains(out, "series are open") {
		t.Errorf("the answers are left out: %q", out)
	}
	if strings.Contains(out, "breakbook 1 |") || !strings.Contains(loud.out.String(), "breakbook 1 | confidence 90%") {
		t.Errorf("quiet %q, else %q", out, loud.out.String())
	}
	if !strings.Contains(b.err.String(), "Entry 2: ") {
		t.Errorf("the error is left out: %q", b.err.String())
	}
}

// interrupted runs a command and interrupts it once it is at work. It comes back only
// if the loop gives the command up.
func interrupted(t *testing.T, b *harness, command string) {
	t.Helper()
	interrupts := make(chan os.Signal, 1)
	b.interrupts = interrupts
	b.run = func(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
		interrupts <- os.Interrupt
		return slowCommands(ctx, s, c)
	}
	b.typed(t, command, true)
	b.run = slowCommands
}

func TestInterruptGivesUpTheCommandAndKeepsTheSession(t *testing.T) {
	for _, command := range []string{"seed 41", "note obedient"} {
		b := newHarness(t)
		b.typed(t, "note before", true)
		interrupted(t, b, command)
		if !strings.Contains(b.err.String(), "Entry 2: stopped; the book is as it was") {
			t.Errorf("%s: said %q", command, b.err.String())
		}
		b.typed(t, "note after", true)
		if got := strings.Join(b.inputs(), "|"); got != "1 note before|3 note after" {
			t.Errorf("%s: the book holds %q", command, got)
		}
	}
}

func TestLeftoverInterruptDoesNotStopTheNextCommand(t *testing.T) {
	b := newHarness(t)
	interrupts := make(chan os.Signal, 1)
	interrupts <- os.Interrupt
	b.interrupts = interrupts
	if !b.typed(t, "note a", true) {
		t.Errorf("said %q", b.err.String())
	}
}

func TestEndOfTheRunStopsEverything(t *testing.T) {
	b := newHarness(t)
	ctx, end := context.WithCancelCause(t.Context())
	time.AfterFunc(50*time.Millisecond, func() { end(signalled{os.Interrupt}) })
	b.feed(ctx, linesOf(strings.NewReader("note a\nseed 41\nnote b")), false, false)
	if got := strings.Join(b.inputs(), "|"); got != "1 note a" {
		t.Errorf("the book holds %q", got)
	}
	if got := b.status(ctx, allWorked); got != 130 {
		t.Errorf("exit status %d, want 130", got)
	}
}

func TestResultsThatCannotBeWrittenFailTheRun(t *testing.T) {
	b := newHarness(t)
	b.screen.out = full{}
	b.typed(t, "confidence 90%", true)
	if got := b.status(t.Context(), allWorked); got != oneFailed {
		t.Errorf("exit status %d", got)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }
