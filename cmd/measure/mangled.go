package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"breakbook/repl"
)

// What a mangled line may cost, and how many lines a session lives.
const (
	slowLine  = 2 * time.Second
	givenUp   = 20 * time.Second
	linesEach = 100
)

// tally is what came of the lines.
type tally struct {
	lines, worked, failed int
	panics, slow          []string
	slowest               time.Duration
	least, most           uint64 // memory in use between sessions
}

// measureMangled types mangled lines into live sessions, in a folder that is gone afterwards.
// A panic, a line of over two seconds and memory that grows are an error.
func measureMangled(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("mangled", pflag.ContinueOnError)
	lines := flags.Int("lines", 50_000, "how many lines")
	seed := flags.Uint64("seed", 1, "the start of the random lines")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *lines < 1 {
		return errors.New("at least one line is needed")
	}
	m, err := newMangler(*seed)
	if err != nil {
		return err
	}
	t := &tally{}
	for t.lines < *lines && ctx.Err() == nil {
		if err := t.session(ctx, m, min(linesEach, *lines-t.lines)); err != nil {
			return err
		}
	}
	return t.report(out)
}

// session types lines into one session in a folder of its own.
func (t *tally) session(ctx context.Context, m *mangler, lines int) error {
	folder, leave, err := inDemo()
	if err != nil {
		return err
	}
	defer leave()
	for _, name := range []string{"HOME", "USERPROFILE"} {
		if err := os.Setenv(name, folder); err != nil {
			return err
		}
	}
	var out, problems bytes.Buffer
	start := func() *repl.Live {
		live := repl.NewLive(folder, &out, &problems)
		live.Line(ctx, "open gates_spring.csv; open gates.csv; fit load on density, pins")
		return live
	}
	live := start()
	for range lines {
		line := m.line()
		one, stop := context.WithTimeout(ctx, givenUp)
		out.Reset()
		problems.Reset()
		started, used := time.Now(), ownProcessor()
		worked := live.Line(one, line)
		took, work := time.Since(started), ownProcessor()-used
		stop()
		t.count(line, problems.String(), worked, took, work)
		if live.HasQuit() || took >= givenUp {
			live = start()
		}
	}
	runtime.GC()
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	if t.least == 0 {
		t.least = memory.HeapAlloc
	}
	t.least, t.most = min(t.least, memory.HeapAlloc), max(t.most, memory.HeapAlloc)
	return nil
}

// count books one line; work is its processor time, which tells a slow line from a busy machine.
func (t *tally) count(line, said string, worked bool, took, work time.Duration) {
	t.lines++
	if worked {
		t.worked++
	} else {
		t.failed++
	}
	if strings.Contains(strings.Join(strings.Fields(said), " "), "something it did not foresee") {
		t.panics = append(t.panics, fmt.Sprintf("%.300q: %.300s", line, said))
	}
	t.slowest = max(t.slowest, took)
	if took > slowLine {
		t.slow = append(t.slow, fmt.Sprintf("%.1f s, processor %.1f s: %.300q", took.Seconds(), work.Seconds(), line))
	}
}

// report prints the counts; what may not be is an error.
func (t *tally) report(out io.Writer) error {
	fmt.Fprintf(out, "%d mangled lines: %d worked, %d were refused; the slowest took %.2f s\n", t.lines, t.worked,
		t.failed, t.slowest.Seconds())
	fmt.Fprintf(out, "memory in use between sessions: %.1f to %.1f MiB\n", float64(t.least)/(1<<20),
		float64(t.most)/(1<<20))
	for _, p := range t.panics {
		fmt.Fprintln(out, "not foreseen:", p)
	}
	for _, s := range t.slow {
		fmt.Fprintln(out, "over 2 s:", s)
	}
	switch {
	case len(t.panics) > 0:
		return fmt.Errorf("%d lines were not foreseen", len(t.panics))
	case len(t.slow) > 0:
		return fmt.Errorf("%d lines took over 2 s", len(t.slow))
	case t.most > 2*t.least+64<<20:
		return errors.New("memory grew")
	}
	return nil
}
