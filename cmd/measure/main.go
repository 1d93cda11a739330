// Command measure is what a person runs to make the demo's data and to measure how well
// the answers of breakbook hold: each subcommand prints one page of figures.
package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"breakbook/cmd/measure/drove"
	"breakbook/cmd/measure/enough"
	"breakbook/cmd/measure/mutants"
	"breakbook/cmd/measure/planning"
	"breakbook/models/parallel"
)

// subcommand is one thing to measure or make; each has a file of its own.
type subcommand struct {
	name, help string
	run        func(ctx context.Context, args []string, out io.Writer) error
}

var subcommands = []subcommand{
	{"demo", "writes the demo series and the truth behind them", demo},
	{"answers", "how often the demo's questions get the right answer over other seeds", answers},
	{"curves", "how long a million load-slip readings take to read and measure", measureCurves},
	{"recovery", "how often the strength of one way of breaking is found again in invented series", measureRecovery},
	{"memory", "how much memory a long book takes, and how quick it stays", measureMemory},
	{"reading", "how long a file of a million rows takes to open, against pandas", measureReading},
	{"fitting", "how long a fit of a million rows and a blocked fit take, against pandas and statsmodels",
		measureFitting},
	{"reshuffle", "how long 100 000 reshuffles take, against scipy", measureReshuffle},
	{"stopping", "how soon the core is idle after an interrupt, over the long commands", measureStopping},
	{"prompt", "what the program does and holds half a second after Ctrl-C at its prompt", measurePrompt},
	{"digits", "how many digits of reference answers are right, beside general-purpose libraries", digits},
	{"mutants", "how many changes of single places in the source the tests notice", mutants.Measure},
	{"doubts", "whether answers are doubted where something is wrong, and only there", measureDoubts},
	{"enough", "whether as many specimens as are told to settle a difference do",
		overSeries("enough", "questions", 2000, enough.Measure)},
	{"drove", "how often what drove is right, beside the best possible analysis (--only failure: of how joints fail)",
		overSeries("drove", "truths", 200, drove.Measure)},
	{"planning", "how often what plans promise comes true", overSeries("planning", "parts", 10000, planning.Measure)},
	{"mangled", "whether a million mistyped lines do any harm to live sessions", measureMangled},
	{"mistyped", "how many mistyped lines are answered with the line wanted, by what is wrong in them",
		measureMistyped},
	{"contract", "writes the list of tables, columns and values that commands give in JSON", contract},
	{"remarks", "what a careful reading of the rows finds of slips planted in invented sheets", measureRemarks},
	{"coverage", "how often intervals of invented series hold the truth", coverage},
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(dispatch(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// dispatch runs the subcommand that args names and returns the exit status.
func dispatch(ctx context.Context, args []string, out, errs io.Writer) int {
	for _, s := range subcommands {
		if len(args) > 0 && s.name == args[0] {
			err := func() (err error) {
				defer parallel.Catch(&err)
				return kept(s.name, args[1:], out,
					func(args []string, out io.Writer) error { return s.run(ctx, args, out) })
			}()
			if errors.Is(err, pflag.ErrHelp) {
				return 0
			}
			if err != nil {
				fmt.Fprintf(errs, "measure %s: %v\n", s.name, err)
				return 1
			}
			return 0
		}
	}
	fmt.Fprintln(errs, "measure needs one of (--keep writes what it prints to testdata/measured too):")
	for _, s := range subcommands {
		fmt.Fprintf(errs, "  %-10s %s\n", s.name, s.help)
	}
	return 2
}

// kept runs a subcommand; with --keep what it prints also goes to testdata/measured, from where
// DEVELOPERS.md refers to it.
func kept(name string, args []string, out io.Writer, run func([]string, io.Writer) error) error {
	i := slices.Index(args, "--keep")
	if i < 0 {
		return run(args, out)
	}
	var page bytes.Buffer
	if err := run(slices.Delete(slices.Clone(args), i, i+1), io.MultiWriter(out, &page)); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join("testdata", "measured", name+".txt"), page.Bytes(), 0o666)
}
