package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/pflag"
)

// overSeries is a measurement that invents so many series of each of its rows, and can be kept to some of them; it
// prints first how it was called.
func overSeries(name string, rows string, series int,
	measure func(ctx context.Context, out io.Writer, series int, seed uint64, only string) error,
) func(context.Context, []string, io.Writer) error {
	return func(ctx context.Context, args []string, out io.Writer) error {
		flags := pflag.NewFlagSet(name, pflag.ContinueOnError)
		of := flags.Int("series", series, "how many series each of the "+rows)
		seed := flags.Uint64("seed", 1, "the start of the invented series")
		only := flags.String("only", "", rows+" that begin so only")
		if err := flags.Parse(args); err != nil {
			return err
		}
		fmt.Fprintf(out, "go run ./cmd/measure %s --series %d --seed %d", name, *of, *seed)
		if *only != "" {
			fmt.Fprintf(out, " --only %s", *only)
		}
		fmt.Fprint(out, "\n\n")
		return measure(ctx, out, *of, *seed, *only)
	}
}
