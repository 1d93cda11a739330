package main

import (
	"context"
	"fmt"
	"io"

	"breakbook/cmd/measure/enough"
	"breakbook/cmd/measure/typed"

	"github.com/spf13/pflag"
)

// measureEnough counts how often as many specimens as are told to settle a difference do.
func measureEnough(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("enough", pflag.ContinueOnError)
	series := flags.Int("series", 2000, "how many series a cell")
	seed := flags.Uint64("seed", 1, "the start of the random series")
	only := flags.String("only", "", "questions that begin so only")
	if err := flags.Parse(args); err != nil {
		return err
	}
	fmt.Fprintf(out, "go run ./cmd/measure enough --series %d --seed %d\n\n", *series, *seed)
	return enough.Measure(ctx, out, typed.Ask, *series, *seed, *only)
}
