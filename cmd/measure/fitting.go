package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"time"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/spf13/pflag"
)

// fittingSeed starts the invented series.
const fittingSeed = 6

// olsProgram opens the file and fits its last ten columns with pandas and statsmodels.
const olsProgram = `import sys
import pandas, statsmodels.api
frame = pandas.read_csv(sys.argv[1])
fit = statsmodels.api.OLS(frame["load"], statsmodels.api.add_constant(frame.drop(columns="load"))).fit()
print(len(frame), fit.pvalues["x1"])
`

// mixedProgram times one fit with a random level a board, the file already open.
const mixedProgram = `import sys, time, warnings
import pandas, statsmodels.formula.api
warnings.simplefilter("ignore")
frame = pandas.read_csv(sys.argv[1])
started = time.perf_counter()
statsmodels.formula.api.mixedlm("load ~ density", frame, groups=frame["board"]).fit(reml=True)
print(time.perf_counter() - started)
`

// measureFitting times, as whole processes, opening a long CSV and fitting ten of its
// columns, and a blocked fit, against the same done with pandas and statsmodels.
func measureFitting(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("fitting", pflag.ContinueOnError)
	rows := flags.Int("rows", 1_000_000, "how many rows the long series has")
	times := flags.Int("times", 5, "how often, in turn; the median is shown")
	python := flags.String("python", "/usr/bin/python3", "a Python that has pandas and statsmodels")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *rows < 100 || *times < 1 {
		return errors.New("at least a hundred rows and one time are needed")
	}
	return timed(ctx, out, func(folder, program string) error {
		return compareFitting(ctx, out, folder, program, *python, *rows, *times)
	})
}

// compareFitting times both programs in turn and prints the medians.
func compareFitting(ctx context.Context, out io.Writer, folder, program, python string, rows, times int) error {
	with := exec.CommandContext(ctx, python, "-c", "import pandas, statsmodels.api").Run() == nil
	w := plainTable("", "breakbook, seconds", "pandas and statsmodels, seconds", "share")
	for _, test := range []struct {
		what, command, script string
		make                  func(string, int) (string, error)
		alone                 bool // the script prints the time of the fit alone
	}{
		{fmt.Sprintf("open %d × 11 and fit ten columns", rows), "fit load on x1, x2, x3, x4, x5, x6, " +
			"x7, x8, x9, x10", olsProgram,
			func(folder string, n int) (string, error) { return tenColumns(folder, n) }, false},
		{"fit 400 specimens of 40 boards", "fit load on density blocked by board",
			mixedProgram,
			func(folder string, _ int) (string, error) { return boards(folder) }, true},
	} {
		path, err := test.make(folder, rows)
		if err != nil {
			return err
		}
		var ours, theirs finished
		var alone []time.Duration
		for range times {
			if _, err := ours.run(ctx, program, "--quiet", "type", "open "+path+"; "+test.command); err != nil {
				return err
			}
			if !with {
				continue
			}
			said, err := theirs.run(ctx, python, "-c", test.script, path)
			if err != nil {
				return err
			}
			var seconds float64
			if _, err := fmt.Sscan(said, &seconds); test.alone && err == nil {
				alone = append(alone, time.Duration(seconds*float64(time.Second)))
			}
		}
		w.AppendRow(comparedTimes(test.what+", whole process", ours.took, theirs.took))
		if test.alone {
			w.AppendRow(comparedTimes(test.what+", their fit alone", ours.took, alone))
		}
	}
	fmt.Fprintln(out, w.Render())
	if !with {
		fmt.Fprintln(out, "There is nothing to compare with: it is Debian's python3-pandas and python3-statsmodels, "+
			"or name a Python that has them with --python.")
	}
	return ctx.Err()
}

// comparedTimes is a row of the table: the median of ours, of theirs, and their share.
func comparedTimes(what string, ours, theirs []time.Duration) table.Row {
	if len(theirs) == 0 {
		return table.Row{what, fmt.Sprintf("%.3f", median(ours)), "–", "–"}
	}
	return table.Row{what, fmt.Sprintf("%.3f", median(ours)), fmt.Sprintf("%.3f", median(theirs)),
		fmt.Sprintf("%.2f", median(ours)/median(theirs))}
}

// tenColumns writes an invented series of a load and ten numbers that drive it.
func tenColumns(folder string, rows int) (string, error) {
	return written(folder, "ten.csv", func(w *bufio.Writer, random *rand.Rand) {
		w.WriteString("load,x1,x2,x3,x4,x5,x6,x7,x8,x9,x10\n")
		for range rows {
			sum, line := 500+40*random.NormFloat64(), []byte{}
			for c := range 10 {
				x := 100 * random.Float64()
				sum += float64(c) * x / 10
				line = strconv.AppendFloat(append(line, ','), x, 'f', 3, 64)
			}
			w.WriteString(strconv.FormatFloat(sum, 'f', 2, 64))
			w.Write(append(line, '\n'))
		}
	})
}

// boards writes an invented series of ten specimens from each of forty boards.
func boards(folder string) (string, error) {
	return written(folder, "boards.csv", func(w *bufio.Writer, random *rand.Rand) {
		w.WriteString("board,density,load\n")
		for b := range 40 {
			board := 30 * random.NormFloat64()
			for range 10 {
				density := 600 + 40*random.NormFloat64()
				fmt.Fprintf(w, "b%d,%.0f,%.1f\n", b+1, density, 300+0.4*(density-600)+board+25*random.NormFloat64())
			}
		}
	})
}

// written makes a file of invented rows; the writer keeps the first error for the end.
func written(folder, name string, fill func(*bufio.Writer, *rand.Rand)) (string, error) {
	path := filepath.Join(folder, name)
	file, err := os.Create(path)
	if err != nil {
		return "", err
	}
	w := bufio.NewWriterSize(file, 1<<20)
	fill(w, rand.New(rand.NewPCG(fittingSeed, 0)))
	return path, errors.Join(w.Flush(), file.Close())
}
