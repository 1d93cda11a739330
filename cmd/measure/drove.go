package main

import (
	"context"
	"fmt"
	"io"

	"breakbook/cmd/measure/drove"

	"github.com/spf13/pflag"
)

// measureDrove counts how often `what drove` is right, beside the best possible analysis.
func measureDrove(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("drove", pflag.ContinueOnError)
	series := flags.Int("series", 200, "how many series a truth")
	seed := flags.Uint64("seed", 1, "the start of the invented series")
	only := flags.String("only", "", "truths that begin so only; failure: those of how joints fail")
	if err := flags.Parse(args); err != nil {
		return err
	}
	fmt.Fprintf(out, "go run ./cmd/measure drove --series %d --seed %d\n\n", *series, *seed)
	return drove.Measure(ctx, out, *series, *seed, *only)
}
