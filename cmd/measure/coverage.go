package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"

	"breakbook/cmd/measure/held"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/spf13/pflag"
)

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
	w := plainTable("intervals", "series", "asked", "held the truth", "")
	for i, c := range held.Cells() {
		if !strings.HasPrefix(c.Method, *only) {
			continue
		}
		hits, err := c.Hits(ctx, *seed+uint64(i)<<32, *runs)
		if err != nil {
			return fmt.Errorf("%s, %s: %w", c.Method, c.Series, err)
		}
		share := float64(hits) / float64(*runs)
		asked, verdict := "stated", ""
		if c.High < 1 {
			asked, verdict = fmt.Sprintf("%.4g to %.4g %%", 100*c.Low, 100*c.High), "within"
			if share < c.Low || share > c.High {
				verdict = "outside"
			}
		}
		w.AppendRow(table.Row{c.Method, c.Series, asked,
			fmt.Sprintf("%.2f %% ± %.2f", 100*share, 196*math.Sqrt(share*(1-share)/float64(*runs))), verdict})
	}
	fmt.Fprintf(out, "How often 95 %% intervals hold the truth, over %d invented series of each kind, seed %d:\n",
		*runs, *seed)
	fmt.Fprintln(out, w.Render())
	return nil
}
