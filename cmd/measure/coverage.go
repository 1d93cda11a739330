package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"sync/atomic"

	"breakbook/models/resample"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/spf13/pflag"
)

// coverageCell is one kind of invented series: how often its 95 % intervals, or what else its
// method says, hold the truth, and what is asked of it.
type coverageCell struct {
	method, series string
	low, high      float64 // of the share asked; 0 and 1: measured and stated only
	// start makes one worker's own try: whether the interval of one invented series (all intervals
	// of a family) holds the truth.
	start func(ctx context.Context) (try, error)
}

// try invents one series.
type try func(draw *rand.Rand) (bool, error)

// coverage prints, for each kind of series, how often the intervals hold the truth.
func coverage(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("coverage", pflag.ContinueOnError)
	runs := flags.Int("runs", 20_000, "how many series of each kind")
	seed := flags.Uint64("seed", 1, "the start of every random draw")
	only := flags.String("only", "", "kinds of ranges that begin with this only")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *runs < 1 {
		return fmt.Errorf("%d runs", *runs)
	}
	w := table.NewWriter()
	w.Style().Format.Header = text.FormatDefault
	w.Style().Options = table.Options{SeparateHeader: true}
	w.Style().Box = table.StyleBoxLight
	w.AppendHeader(table.Row{"intervals", "series", "asked", "held the truth", ""})
	for i, c := range coverageCells() {
		if !strings.HasPrefix(c.method, *only) {
			continue
		}
		hits, err := c.hits(ctx, *seed+uint64(i)<<32, *runs)
		if err != nil {
			return fmt.Errorf("%s, %s: %w", c.method, c.series, err)
		}
		share := float64(hits) / float64(*runs)
		asked, verdict := "stated", ""
		if c.high < 1 {
			asked, verdict = fmt.Sprintf("%.4g to %.4g %%", 100*c.low, 100*c.high), "within"
			if share < c.low || share > c.high {
				verdict = "outside"
			}
		}
		w.AppendRow(table.Row{c.method, c.series, asked,
			fmt.Sprintf("%.2f %% ± %.2f", 100*share, 196*math.Sqrt(share*(1-share)/float64(*runs))), verdict})
	}
	fmt.Fprintf(out, "How often 95 %% intervals hold the truth, over %d invented series of each kind, seed %d:\n",
		*runs, *seed)
	fmt.Fprintln(out, w.Render())
	return nil
}

// hits counts the series whose intervals hold the truth, on every core and the same on one.
func (c coverageCell) hits(ctx context.Context, seed uint64, runs int) (int64, error) {
	var held atomic.Int64
	work := resample.Work{Seed: seed, Pieces: runs, Block: 100}
	err := resample.Run(ctx, work, func() func(draw *rand.Rand, from, to int) error {
		one, err := c.start(ctx)
		return func(draw *rand.Rand, from, to int) error {
			if err != nil {
				return err
			}
			for range to - from {
				if err := ctx.Err(); err != nil {
					return err
				}
				ok, err := one(draw)
				if err != nil {
					return err
				}
				if ok {
					held.Add(1)
				}
			}
			return nil
		}
	})
	return held.Load(), err
}
