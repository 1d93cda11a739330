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
	command := fmt.Sprintf("go run ./cmd/measure planning --series %d --seed %d", *series, *seed)
	if *only != "" {
		command += " --only " + *only
	}
	fmt.Fprintf(out, "%s\n\n", command)
	return planning.Measure(ctx, out, *series, *seed, *only)
}
