package main

import (
	"context"
	"fmt"
	"io"

	"breakbook/cmd/measure/planning"

	"github.com/spf13/pflag"
)

// measurePlanning holds what plans promise to series drawn from known truths.
func measurePlanning(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("planning", pflag.ContinueOnError)
	series := flags.Int("series", 10000, "how many series a truth")
	seed := flags.Uint64("seed", 1, "the start of the invented series")
	only := flags.String("only", "", "parts that begin so only")
	if err := flags.Parse(args); err != nil {
		return err
	}
	begins := ""
	if *only != "" {
		begins = " --only " + *only
	}
	fmt.Fprintf(out, "go run ./cmd/measure planning%s --series %d --seed %d\n\n", begins, *series, *seed)
	return planning.Measure(ctx, out, *series, *seed, *only)
}
