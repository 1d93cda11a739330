package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/spf13/pflag"

	"breakbook/cmd/measure/typed"
	"breakbook/frames/files"
	"breakbook/repl/figures"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// longCommands are the commands that are stopped; their series has a load, a board for
// every ten specimens, pins, density and a way of failing.
var longCommands = []string{
	"look", "rows 1 to 100000", "average load by pins", "average load by board", "count failure by pins",
	"count failure by board",
	"modes failure by pins under load", "check load by pins", "check load by board",
	"fit load on density, pins", "fit load on density, pins blocked by board",
	"fit load on density, pins uneven spread",
	"fit load on density, pins resistant", "anova load on pins, density", "check of fit1", "adjusted pins of fit1",
	"compare pins of fit1",
	"predict fit1 given density 600 or 640, pins pair",
	"compare load by pins", "compare load by board", "compare load by pins ranked",
	"compare load by pins uneven spread",
	"compare load by pins reshuffled 1000 times", "compare load with 500 N by pins", "same load by pins within 10%",
	"characteristic load by pins", "characteristic load by pins ranked", "characteristic of fit1 given pins pair",
	"agree load by pins",
	"share out load on density, pins", "share out failure is glue on density, pins",
	"odds failure is glue on density, pins", "odds failure on density, pins", "fit load until failure is glue on pins",
	"plan load by pins detecting 1%", "plan load by board detecting 10%", "suggest 12 of fit1",
	"allot {file} over glue A, B balancing density", "rivals fit1, fit2",
	"draw load by pins", "draw load by board", "draw load against density", "draw load against density to cloud.svg",
	"draw load against density to cloud.pdf",
	"draw load by pins to strips.svg", "draw load by pins to strips.pdf",
	"draw load against density by pins line of fit1", "draw residuals of fit1",
	"draw failure by pins", "sketch load by pins", "sketch load against density", "draw all of fit1 to pictures",
	"work out moment = load * density / 1000 mm", "band density into 4",
	"set aside for density < 500 because \"too light\"",
	"pool gates, again as both", "put gates beside again by density as lined",
	"merge levels none, pair into any of pins", "treat board as text",
	"write copy.csv", "open {file} as more",
}

// stopping is what came of stopping one command at several moments.
type stopping struct {
	whole   time.Duration // without being stopped, or the most it is given
	longest time.Duration // from the stop until the work was over
	memory  int64         // the most held after a stop
	where   string        // the function still at work a fifth of a second after a stop
	err     error         // of the command left alone
}

// slowStop is after how long it is noted what a command is still at.
const slowStop = 200 * time.Millisecond

// measureStopping stops every long command at several moments and prints the longest time
// until its work was over and the memory it left.
func measureStopping(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("stopping", pflag.ContinueOnError)
	rows := flags.Int("rows", 1_000_000, "how many rows the series has")
	times := flags.Int("times", 5, "at how many moments each command is stopped")
	only := flags.StringSlice("only", nil, "commands that begin with one of these only")
	in := flags.String("in", "", "a folder to keep the series in: one that an earlier call made there, "+
		"with as many --rows, is read again")
	memory := flags.String("memory", "", "the most memory the program allows itself, as breakbook takes it; "+
		"a quarter of the machine's if not given")
	to := flags.String("to", "", "a file to write the table to as well")
	least := flags.Duration("least", 500*time.Millisecond, "leave out commands that are over sooner")
	most := flags.Duration("most", 20*time.Second, "how long a command is left alone before it is stopped for "+
		"the first time")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *rows < 1000 || *times < 1 {
		return errors.New("at least a thousand rows and one time are needed")
	}
	if *memory != "" {
		most, err := files.ParseSize(*memory)
		if err != nil {
			return err
		}
		files.SetMostMemory(most)
		debug.SetMemoryLimit(most)
	}
	path, err := boardsIn(*in, *rows)
	if err != nil {
		return err
	}
	if *in == "" {
		defer os.RemoveAll(filepath.Dir(path))
	}
	s := session.New(session.Options{})
	for _, line := range []string{"open " + path + " as gates", "treat board as category", "fit load on density, pins",
		"fit load on density"} {
		if s, err = carried(ctx, s, line); err != nil {
			return err
		}
	}
	held := memoryHeld()
	var printed strings.Builder
	out = io.MultiWriter(out, &printed)
	fmt.Fprintf(out, "%d rows, %d boards; %s held by the open series and two fits\n", *rows, *rows/10, megabytes(held))
	w := plainTable("", "seconds if left alone", "longest until idle", "memory after", "still at work after 0.2 s")
	for _, command := range longCommands {
		if ctx.Err() != nil || len(*only) > 0 && !slices.ContainsFunc(*only, func(o string) bool {
			return strings.HasPrefix(command, o)
		}) {
			continue
		}
		line := strings.ReplaceAll(command, "{file}", path)
		at := s
		if strings.Contains(line, "again") {
			if at, err = carried(ctx, s, "open "+path+" as again"); err != nil {
				return err
			}
		}
		m := stoppedAt(ctx, at, line, *times, *least, *most)
		if m.whole < *least && m.err == nil {
			continue
		}
		after := "–"
		if m.memory > 0 {
			after = megabytes(m.memory)
		}
		row := table.Row{command, fmt.Sprintf("%.2f", m.whole.Seconds()), fmt.Sprintf("%.3f", m.longest.Seconds()),
			after, m.where}
		if m.err != nil {
			row[4] = strings.TrimSpace(m.where + " " + strings.TrimPrefix(m.err.Error(), line+": "))
		}
		fmt.Fprintln(os.Stderr, row...)
		w.AppendRow(row)
	}
	fmt.Fprintln(out, w.Render())
	if *to != "" && ctx.Err() == nil {
		return os.WriteFile(*to, []byte(printed.String()), 0o600)
	}
	return ctx.Err()
}

// boardsIn is the series in a folder, made where it is not there yet; a new folder where none is given.
func boardsIn(folder string, rows int) (path string, err error) {
	if folder == "" {
		if folder, err = os.MkdirTemp("", "measure"); err != nil {
			return "", err
		}
	}
	path = filepath.Join(folder, "gates.csv")
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	return manyBoards(folder, rows)
}

// carried carries out a line to its end: its result, pictures and text.
func carried(ctx context.Context, s *session.Session, line string) (*session.Session, error) {
	b := typed.Book{Session: s}
	entry, err := b.Run(ctx, line)
	if err != nil {
		return s, err
	}
	for _, f := range entry.Figures {
		format := "png"
		if ending := filepath.Ext(f.Path); ending != "" {
			format = ending[1:]
		}
		if _, err := figures.Bytes(ctx, f, format); err != nil {
			return s, err
		}
	}
	return b.Session, render.Terminal(io.Discard, entry, render.Options{Digits: 4, Context: ctx})
}

// stoppedAt lets a command run to its end, and then stops it at moments spread over that time.
func stoppedAt(ctx context.Context, s *session.Session, line string, times int,
	least, most time.Duration) (m stopping) {
	m.whole, m.err = m.stop(ctx, s, line, most)
	for i := range times {
		if m.whole < least || ctx.Err() != nil {
			return m
		}
		_, _ = m.stop(ctx, s, line, m.whole*time.Duration(2*i+1)/time.Duration(2*times))
	}
	return m
}

// stop stops the command once, after a while, and says how long it was at work until then; its
// error where it was through before.
func (m *stopping) stop(ctx context.Context, s *session.Session, line string,
	after time.Duration) (time.Duration, error) {
	ctx, interrupt := context.WithCancel(ctx)
	defer interrupt()
	over := make(chan error, 1)
	started := time.Now()
	go func() {
		_, err := carried(ctx, s, line)
		over <- err
	}()
	select {
	case err := <-over:
		return time.Since(started), err
	case <-time.After(after):
	}
	stopped := time.Now()
	interrupt()
	select {
	case <-over:
	case <-time.After(slowStop):
		m.where = atWork()
		<-over
	}
	m.longest = max(m.longest, time.Since(stopped))
	m.memory = max(m.memory, memoryHeld())
	return stopped.Sub(started), nil
}

// memoryHeld is what the program holds of the system's memory, once what nobody uses is
// given back.
func memoryHeld() int64 {
	debug.FreeOSMemory()
	var held runtime.MemStats
	runtime.ReadMemStats(&held)
	return int64(held.Sys - held.HeapReleased)
}

// atWork names the functions of ours, innermost first, that the command is in.
func atWork() string {
	stacks := make([]byte, 1<<20)
	for _, stack := range strings.Split(string(stacks[:runtime.Stack(stacks, true)]), "\n\n") {
		if !strings.Contains(stack, "main.carried") || strings.Contains(stack, "WaitGroup") {
			if !strings.Contains(stack, "parallel.Workers.func") {
				continue
			}
		}
		var names []string
		for line := range strings.Lines(stack) {
			if name, ok := strings.CutPrefix(strings.TrimSpace(line), "breakbook/"); ok &&
				!strings.HasPrefix(name, "models/parallel") {
				name = name[:strings.LastIndexByte(name, '(')]
				names = append(names, name)
			}
		}
		return strings.Join(slices.Compact(names[:min(len(names), 3)]), " < ")
	}
	return ""
}

func megabytes(bytes int64) string { return fmt.Sprintf("%.0f MB", float64(bytes)/1e6) }

// manyBoards writes an invented series of ten specimens from each of many boards.
func manyBoards(folder string, rows int) (string, error) {
	return written(folder, "gates.csv", func(w *bufio.Writer, random *rand.Rand) {
		w.WriteString("load (N),board,pins,density (kg/m3),failure\n")
		pins := []string{"none", "single", "pair"}
		modes := []string{"glue", "wood", "both"}
		board := 0.0
		for i := range rows {
			if i%10 == 0 {
				board = 30 * random.NormFloat64()
			}
			p, density := random.IntN(3), 600+40*random.NormFloat64()
			load := 900 + 40*float64(p) + 0.4*(density-600) + board + 60*random.NormFloat64()
			fmt.Fprintf(w, "%.2f,b%d,%s,%.2f,%s\n", load, i/10, pins[p], density, modes[random.IntN(3)])
		}
	})
}
