package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"

	"breakbook/cmd/measure/falseanswers"
	"breakbook/cmd/measure/gates"
	"breakbook/cmd/measure/typed"
	"breakbook/models/lists"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/spf13/pflag"
)

// firstOther is the first of the other seeds: well clear of those the demo's own seed
// was chosen from.
const firstOther = 1001

// answers asks the demo's questions of the main series of many other seeds, through the
// program's own commands, and prints how often each answer came; then every command that answers,
// of invented series, and prints how often it tells a false answer without a doubt.
func answers(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("answers", pflag.ContinueOnError)
	seeds := flags.Int("seeds", 200, "how many other seeds")
	series := flags.Int("series", 200, "how many invented series a cell")
	seed := flags.Uint64("seed", 1, "the start of the invented series")
	only := flags.String("only", "", "invented series asked by commands that begin so only")
	fault := flags.String("fault", "", "invented series with faults that begin so only, and none without")
	if err := flags.Parse(args); err != nil {
		return err
	}
	tally := lists.Made(len(questions), func(i int) map[string]int { return map[string]int{} })
	for seed := uint64(firstOther); seed < firstOther+uint64(*seeds); seed++ {
		given, err := ask(ctx, gates.Make(gates.Known(), seed))
		if err != nil {
			return fmt.Errorf("seed %d: %w", seed, err)
		}
		for i, answer := range given {
			tally[i][answer]++
		}
	}
	fmt.Fprintf(out, "go run ./cmd/measure answers --seeds %d --series %d --seed %d\n\n", *seeds, *series, *seed)
	fmt.Fprintf(out, "The demo's questions asked of %d other series, seeds %d to %d:\n", *seeds, firstOther,
		firstOther+*seeds-1)
	printTally(out, tally, *seeds)
	fmt.Fprintln(out)
	return falseanswers.Measure(ctx, out, typed.Ask, faultsOfPins(), *series, *seed, *only, *fault)
}

// faultsOfPins are the faults of series in which pins are compared: all but those with questions of numbers, and of 12
// factors.
func faultsOfPins() []falseanswers.Fault {
	return slices.DeleteFunc(slices.Clone(faults), func(f falseanswers.Fault) bool {
		return slices.Contains([]string{"bend", "many-asked"}, f.Make(60, rand.New(rand.NewPCG(1, 1))).Doubt)
	})
}

// ask gives the answer to every question from one invented series.
func ask(ctx context.Context, all gates.Series) ([]string, error) {
	var b typed.Book
	if err := b.Open(ctx, "gates", string(all.Data()[0].Content)); err != nil {
		return nil, err
	}
	if _, err := b.Run(ctx, "treat thickness as category; levels of pins are none, single, pair, offset"); err != nil {
		return nil, err
	}
	given := make([]string, len(questions))
	for i, q := range questions {
		e, err := b.Run(ctx, q.commands)
		if err == nil {
			given[i], err = q.read(e, all.Truth)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", q.about, err)
		}
	}
	return given, nil
}

// printTally shows, question by question, the share of series that gave each answer.
func printTally(out io.Writer, tally []map[string]int, seeds int) {
	w := plainTable("question", "it should say", "answer", "series", "share")
	for i, q := range questions {
		about, should := q.about, q.should
		for _, answer := range q.possible {
			n := tally[i][answer]
			if n == 0 && answer != q.should {
				continue
			}
			w.AppendRow(table.Row{about, should, answer, n, fmt.Sprintf("%.1f %%", 100*float64(n)/float64(seeds))})
			about, should = "", ""
		}
	}
	fmt.Fprintln(out, w.Render())
}
