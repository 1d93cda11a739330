package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/spf13/pflag"

	"breakbook/frames/reading"
)

// readingSeed starts the invented series.
const readingSeed = 5

// pandasProgram reads the file and prints how long read_csv alone took.
const pandasProgram = `import sys, time
import pandas
started = time.perf_counter()
frame = pandas.read_csv(sys.argv[1])
print(time.perf_counter() - started, len(frame))
`

// measureReading times opening a long CSV as a whole process, against the same done
// with pandas, and how the time a row grows with the rows.
func measureReading(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("reading", pflag.ContinueOnError)
	rows := flags.Int("rows", 1_000_000, "how many rows are opened")
	times := flags.Int("times", 7, "how often, in turn; the median is shown")
	most := flags.Int("most", 10_000_000, "up to how many rows the time a row is taken")
	python := flags.String("python", "/usr/bin/python3", "a Python that has pandas")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *rows < 1 || *times < 1 || *most < 1 {
		return errors.New("at least one row and one time are needed")
	}
	return timed(ctx, out, func(folder, program string) error {
		if err := compareOpening(ctx, out, folder, program, *python, *rows, *times); err != nil {
			return err
		}
		fmt.Fprintln(out)
		return timeARow(ctx, out, folder, *most, *times)
	})
}

// timed builds breakbook in a folder that is there for the time of a measurement, and
// prints how busy the machine was before and after.
func timed(ctx context.Context, out io.Writer, measure func(folder, program string) error) error {
	folder, err := os.MkdirTemp("", "measure")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	program := filepath.Join(folder, "breakbook")
	build := exec.CommandContext(ctx, "go", "build", "-o", program, "breakbook/cmd/breakbook")
	if said, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("building breakbook: %w\n%s", err, said)
	}
	fmt.Fprintf(out, "%d cores; load before %s\n\n", runtime.NumCPU(), load())
	if err := measure(folder, program); err != nil {
		return err
	}
	fmt.Fprintf(out, "\nload after %s\n", load())
	return nil
}

// compareOpening times both programs in turn and prints the medians.
func compareOpening(ctx context.Context, out io.Writer, folder, program, python string, rows, times int) error {
	path, size, err := longSeries(folder, rows)
	if err != nil {
		return err
	}
	var ours, theirs finished
	var readCSV []time.Duration
	with := exec.CommandContext(ctx, python, "-c", "import pandas").Run() == nil
	for range times {
		if _, err := ours.run(ctx, program, "type", "open "+path); err != nil {
			return err
		}
		if !with {
			continue
		}
		said, err := theirs.run(ctx, python, "-c", pandasProgram, path)
		if err != nil {
			return err
		}
		alone, counted, _ := strings.Cut(said, " ")
		seconds, err := strconv.ParseFloat(alone, 64)
		if err != nil || strings.TrimSpace(counted) != strconv.Itoa(rows) {
			return fmt.Errorf("pandas said %q", said)
		}
		readCSV = append(readCSV, time.Duration(seconds*float64(time.Second)))
	}
	fmt.Fprintf(out, "%d rows × 5 columns, %.1f MB; median of %d, in turn\n", rows, float64(size)/1e6, times)
	w := plainTable("", "seconds", "breakbook's share", "of all cores", "peak memory", "times the file")
	row := func(what string, took, busy []time.Duration, peak int64) {
		cells := table.Row{what, fmt.Sprintf("%.3f", median(took)), fmt.Sprintf("%.2f", median(ours.took)/median(took)),
			"", "", ""}
		if busy != nil {
			cells[3] = fmt.Sprintf("%.3f", median(busy))
		}
		if peak > 0 {
			cells[4], cells[5] = fmt.Sprintf("%.0f MB", float64(peak)/1e6),
				fmt.Sprintf("%.1f", float64(peak)/float64(size))
		}
		w.AppendRow(cells)
	}
	row("breakbook, whole process", ours.took, ours.busy, ours.peak)
	if with {
		row("pandas, whole process", theirs.took, theirs.busy, theirs.peak)
		row("pandas read_csv alone", readCSV, nil, 0)
	}
	fmt.Fprintln(out, w.Render())
	if !with {
		fmt.Fprintln(out, "There is no pandas to compare with: it is Debian's python3-pandas, or name a Python that "+
			"has it with --python.")
	}
	return nil
}

// timeARow opens ever longer files and prints the time a row of each.
func timeARow(ctx context.Context, out io.Writer, folder string, most, times int) error {
	w := plainTable("rows", "MB", "seconds", "nanoseconds a row", "against the first")
	first := 0.0
	for rows := 10_000; rows <= most && ctx.Err() == nil; rows *= 10 {
		path, size, err := longSeries(folder, rows)
		if err != nil {
			return err
		}
		var took []time.Duration
		for range max(times, min(50, 1_000_000/rows)) {
			runtime.GC()
			started := time.Now()
			if _, _, err := reading.Open(ctx, path, reading.Overrides{}); err != nil {
				return err
			}
			took = append(took, time.Since(started))
		}
		if err := os.Remove(path); err != nil {
			return err
		}
		each := median(took) / float64(rows)
		if first == 0 {
			first = each
		}
		w.AppendRow(table.Row{rows, fmt.Sprintf("%.1f", float64(size)/1e6), fmt.Sprintf("%.3f", median(took)),
			fmt.Sprintf("%.0f", each*1e9), fmt.Sprintf("%.2f", each/first)})
	}
	fmt.Fprintln(out, w.Render())
	return ctx.Err()
}

// longSeries writes an invented series of so many rows: two columns of whole numbers,
// two of decimals and one of three words.
func longSeries(folder string, rows int) (path string, size int64, err error) {
	path = filepath.Join(folder, "series"+strconv.Itoa(rows)+".csv")
	file, err := os.Create(path)
	if err != nil {
		return "", 0, err
	}
	w := bufio.NewWriterSize(file, 1<<20)
	random := rand.New(rand.NewPCG(readingSeed, 0))
	pins := []string{"none", "single", "pair"}
	line := []byte("specimen,density (kg/m3),load (N),pins,batch\n")
	for i := 0; i <= rows; i++ {
		if _, err := w.Write(line); err != nil {
			return "", 0, errors.Join(err, file.Close())
		}
		line = strconv.AppendInt(line[:0], int64(i+1), 10)
		line = strconv.AppendFloat(append(line, ','), 400+300*random.Float64(), 'f', 4, 64)
		line = strconv.AppendFloat(append(line, ','), 500+900*random.Float64(), 'f', 4, 64)
		line = append(append(line, ','), pins[random.IntN(len(pins))]...)
		line = append(strconv.AppendInt(append(line, ','), int64(random.IntN(1000)), 10), '\n')
	}
	if err := errors.Join(w.Flush(), file.Close()); err != nil {
		return "", 0, err
	}
	info, err := os.Stat(path)
	if err != nil {
		return "", 0, err
	}
	return path, info.Size(), nil
}

// finished are the runs of one program: the wall time of each, the time it kept cores
// busy, and the most memory any held.
type finished struct {
	took, busy []time.Duration
	peak       int64
}

// run runs a program once more and gives what it printed.
func (f *finished) run(ctx context.Context, program string, args ...string) (said string, err error) {
	var out, errs bytes.Buffer
	c := exec.CommandContext(ctx, program, args...)
	c.Stdout, c.Stderr = &out, &errs
	started := time.Now()
	err = c.Run()
	took := time.Since(started)
	if err != nil {
		return "", fmt.Errorf("%s: %w\n%s", filepath.Base(program), err, errs.String())
	}
	f.took = append(f.took, took)
	f.busy = append(f.busy, c.ProcessState.UserTime()+c.ProcessState.SystemTime())
	f.peak = max(f.peak, peakMemory(c.ProcessState))
	return out.String(), nil
}

// load is what the machine was busy with over the last minute, where it says.
func load() string {
	said, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	minute, _, _ := strings.Cut(string(said), " ")
	return minute
}

func plainTable(heads ...any) table.Writer {
	w := table.NewWriter()
	w.Style().Format.Header = text.FormatDefault
	w.Style().Options = table.Options{SeparateHeader: true}
	w.Style().Box = table.StyleBoxLight
	w.AppendHeader(table.Row(heads))
	return w
}
