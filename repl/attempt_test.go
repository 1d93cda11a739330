package repl

import (
	"context"
	"os"
	"regexp"
	"runtime/metrics"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	disk "breakbook/frames/files"
	"breakbook/models/parallel"
	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// bound is a runner that does what is wanted for one line and bench.Run for all others.
func bound(line string, do func(ctx context.Context) error) runner {
	return func(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
		if c.Input == line {
			if err := do(ctx); err != nil {
				return s, page.Entry{}, err
			}
		}
		return bench.Run(ctx, s, c)
	}
}

func TestNeverTwoCommandsAreAtWork(t *testing.T) {
	b := newHarness(t)
	interrupts := make(chan os.Signal, 1)
	b.interrupts = interrupts
	release := make(chan struct{})
	var at, most, begun atomic.Int32
	b.run = func(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
		most.Store(max(most.Load(), at.Add(1)))
		defer at.Add(-1)
		begun.Add(1)
		if c.Input == "seed 1" {
			interrupts <- os.Interrupt
			<-release
		}
		return bench.Run(ctx, s, c)
	}
	b.typed(t, "seed 1", true)
	waiting := make(chan bool)
	go func() { waiting <- b.typed(t, "seed 2", true) }()
	time.Sleep(3 * grace)
	if begun.Load() != 1 {
		t.Error("the second command did not wait for the first")
	}
	interrupts <- os.Interrupt // waits no longer
	if <-waiting {
		t.Error("the second command was carried out although it was stopped")
	}
	close(release)
	if !b.typed(t, "seed 3", true) || most.Load() != 1 || begun.Load() != 2 {
		t.Errorf("%d commands begun, %d at once; said %q", begun.Load(), most.Load(), b.err.String())
	}
}

func TestABookCanBeLeftWhileWorkIsGivenUp(t *testing.T) {
	b := newHarness(t)
	over := make(chan struct{})
	defer close(over)
	b.givenUp = over
	if !b.typed(t, "note kept\nquit", true) || !b.hasQuit {
		t.Errorf("said %q", b.err.String())
	}
}

func TestTooMuchMemoryIsAMessage(t *testing.T) {
	sample := []metrics.Sample{{Name: inUse}}
	metrics.Read(sample)
	disk.SetMostMemory(int64(sample[0].Value.Uint64()) + disk.LeastMemory)
	t.Cleanup(func() { disk.SetMostMemory(0) })
	b := newHarness(t)
	var held [][]byte
	b.run = bound("seed 1", func(ctx context.Context) error {
		for ctx.Err() == nil && len(held) < 1000 { // a gigabyte
			held = append(held, make([]byte, 1<<20))
			time.Sleep(100 * time.Microsecond)
		}
		return ctx.Err()
	})
	b.typed(t, "seed 1", true)
	said := strings.Join(strings.Fields(b.err.String()), " ")
	held = nil
	for _, part := range []string{"Entry 1: ", "needs more memory than the ", "breakbook allows itself",
		"breakbook --memory "} {
		if !strings.Contains(said, part) {
			t.Errorf("said %q, without %q", said, part)
		}
	}
	b.run = bench.Run
	if !b.typed(t, "seed 2", true) {
		t.Errorf("afterwards: %q", b.err.String())
	}
}

func TestAWorkersPanicNamesItsPlace(t *testing.T) {
	b := newHarness(t)
	b.run = bound("seed 1", func(ctx context.Context) error {
		return parallel.Each(ctx, 4, func(context.Context, int) error { return fallIn(nil) })
	})
	b.typed(t, "note before\nseed 1\nnote after", false)
	if !regexp.MustCompile(`did not foresee \(.*, in repl\.fallIn line \d+\)`).MatchString(
		strings.Join(strings.Fields(b.err.String()), " ")) {
		t.Errorf("said %q", b.err.String())
	}
	if got := strings.Join(b.inputs(), "|"); got != "1 note before|3 note after" {
		t.Errorf("the book holds %q", got)
	}
}

//go:noinline
func fallIn(values []error) error { return values[len(values)] }

// The more is in use, the less garbage may grow beside it; a small session is let alone.
func TestTheCollectorComesTheSoonerTheMoreIsInUse(t *testing.T) {
	for inUse, want := range map[uint64]int{0: 400, 24 << 20: 400, 24<<20 + 1: 100, 64 << 20: 100, 64<<20 + 1: 35,
		1 << 40: 35} {
		if got := spare(inUse); got != want {
			t.Errorf("%d bytes in use: %d, want %d", inUse, got, want)
		}
	}
}
