// Package planning holds what the plans promise to series drawn from known truths.
//
// In comes how many series a truth and a seed; out goes a table for each part of planning: what the program told,
// beside how often it came true.
package planning

import (
	"context"
	"fmt"
	"io"
	"strings"
)

// part is one table of the measurement.
type part struct {
	name    string
	measure func(ctx context.Context, out io.Writer, series int, seed uint64) error
}

// parts in the order of their printing.
var parts = []part{
	{"cost", costPart},
	{"given", givenPart},
	{"odds", oddsPart},
	{"until", untilPart},
	{"stages", measureStages},
	{"adjust", adjustPart},
	{"past", pastPart},
	{"step: where a load jumps or bends", stepPart},
}

// Measure writes the tables of all parts, or of those whose name begins with only.
func Measure(ctx context.Context, out io.Writer, series int, seed uint64, only string) error {
	asked := 0
	for _, p := range parts {
		if !strings.HasPrefix(p.name, only) {
			continue
		}
		asked++
		fmt.Fprintf(out, "%s\n\n", p.name)
		if err := p.measure(ctx, out, series, seed); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		fmt.Fprintln(out)
	}
	if asked == 0 {
		return fmt.Errorf("no part of planning begins with %q", only)
	}
	return nil
}

// rows prints n rows of a table, each as it is counted.
func rows(ctx context.Context, out io.Writer, n, series int, seed uint64,
	row func(ctx context.Context, i, series int, seed uint64) (string, error)) error {
	for i := range n {
		line, err := row(ctx, i, series, seed)
		if err != nil {
			return err
		}
		fmt.Fprintln(out, line)
	}
	return nil
}
