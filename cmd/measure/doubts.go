package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/falseanswers"
	"breakbook/cmd/measure/typed"
	"breakbook/models/lists"
	"breakbook/repl/page"

	"github.com/spf13/pflag"
)

// graveCodes are the doubts told whether or not the answer would change.
var graveCodes = []string{"ceiling", "one-block", "confounded", "repeated", "few-left", "single"}

// measureDoubts plants faults in invented series and none in others, and counts the doubts told
// by fit and compare: the false alarms by layout; by fault, how often the doubt is told and how
// often a false answer stands without one.
func measureDoubts(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("doubts", pflag.ContinueOnError)
	series := flags.Int("series", 2000, "how many series a cell")
	seed := flags.Uint64("seed", 1, "the start of the random series")
	if err := flags.Parse(args); err != nil {
		return err
	}
	fmt.Fprintf(out, "go run ./cmd/measure doubts --series %d --seed %d\n\nFalse alarms: series with nothing wrong, "+
		"share with a doubt\n", *series, *seed)
	fmt.Fprintf(out, "%-50s %12s %8s %8s %12s\n", "layout", "not marked *", "marked *", "blocks", "many-asked")
	for i, l := range layouts {
		all, err := questioned(ctx, *series, *seed+uint64(i)<<32,
			func(r *rand.Rand) falseanswers.Series { return clean(l, r) })
		if err != nil {
			return fmt.Errorf("%s: %w", l.name, err)
		}
		plain := share(all, func(o outcome) bool {
			return o.any(func(code string) bool {
				return !slices.Contains(graveCodes, code) && code != "many-asked" && code != "blocks"
			})
		})
		fmt.Fprintf(out, "%-50s %11.1f%% %7.1f%% %7.1f%% %11.1f%%\n", l.name, plain,
			share(all, func(o outcome) bool {
				return o.any(func(code string) bool { return slices.Contains(graveCodes, code) })
			}),
			share(all, func(o outcome) bool { return o.has("blocks") }),
			share(all, func(o outcome) bool { return o.has("many-asked") }))
	}
	fmt.Fprintln(out, "\nFaults: share in which the doubt is told, in which its check alone is clear by theory "+
		"(told by a rule: no test),\nin which an answer is false, and in which it is false and no doubt is told")
	fmt.Fprintf(out, "%-40s %4s %-14s %8s %8s %8s %16s\n", "fault", "n", "doubt", "told", "theory", "false",
		"false, no doubt")
	for i, f := range faults {
		for _, n := range []int{20, 60} {
			all, err := questioned(ctx, *series, *seed+uint64(100+10*i+n)<<32,
				func(r *rand.Rand) falseanswers.Series { return f.Make(n, r) })
			if err != nil {
				return fmt.Errorf("%s: %w", f.Name, err)
			}
			code := all[0].fault
			fmt.Fprintf(out, "%-40s %4d %-14s %7.1f%% %8s %7.1f%% %15.1f%%\n", f.Name, all[0].specimens, code,
				share(all, func(o outcome) bool { return o.has(code) }), inTheory(code, all[0].specimens),
				share(all, func(o outcome) bool { return o.wrong }),
				share(all, func(o outcome) bool { return o.wrong && !o.doubted }))
		}
	}
	return nil
}

// outcome is what was told of one series.
type outcome struct {
	codes     []string
	fault     string
	specimens int
	wrong     bool // an answer that the truth denies
	doubted   bool // that answer stands in doubt
}

func (o outcome) has(code string) bool { return slices.Contains(o.codes, code) }

func (o outcome) any(is func(string) bool) bool { return slices.ContainsFunc(o.codes, is) }

func share(all []outcome, is func(outcome) bool) float64 {
	return 100 * float64(lists.Count(all, is)) / float64(len(all))
}

// questioned asks the question of many series, side by side.
func questioned(ctx context.Context, n int, seed uint64,
	invent func(*rand.Rand) falseanswers.Series) ([]outcome, error) {
	return counted.Each(ctx, n, func(ctx context.Context, i int) (outcome, error) {
		m := invent(rand.New(rand.NewPCG(seed, uint64(i))))
		e, err := typed.Ask(ctx, m.CSV(), fmt.Sprintf("worth %g N; %s", worthIt, m.Asked))
		if err != nil {
			return outcome{}, fmt.Errorf("series %d: %w", i, err)
		}
		return outcomeOf(e, m), nil
	})
}

// outcomeOf compares what was told with the truth. In a series of several factors any answer that
// differs is held against it only where nothing truly differs.
func outcomeOf(e page.Entry, m falseanswers.Series) outcome {
	o := outcome{fault: m.Doubt, specimens: len(m.Rows)}
	for _, d := range e.Doubts {
		o.codes = append(o.codes, d.Code)
	}
	for _, f := range e.Findings {
		for _, part := range f {
			v, ok := part.(page.Verdict)
			if !ok || v.Of == "" {
				continue
			}
			wrong := m.Truth == 0 && (v.Words == differs || v.Words == lessWorth) || m.Truth >= worthIt &&
				(v.Words == noWorth || v.Words == lessWorth)
			if wrong && m.Doubt != "" {
				o.wrong = true
				o.doubted = o.doubted || v.Doubt != ""
			}
		}
	}
	return o
}
