package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"

	"github.com/spf13/pflag"

	"breakbook/cmd/measure/handkept"
	"breakbook/frames"
	"breakbook/frames/proofread"
	"breakbook/frames/reading"
)

// measureRemarks counts what a careful reading of the rows finds of the slips planted in invented
// sheets, and what it says of clean ones.
func measureRemarks(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("remarks", pflag.ContinueOnError)
	sheets := flags.Int("sheets", 1000, "how many sheets of each kind are invented")
	seed := flags.Uint64("seed", 1, "the seed of the first")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *sheets < 1 {
		return errors.New("at least one sheet of each kind is needed")
	}
	w := plainTable("planted", "sheets", "found", "in percent", "with other remarks too")
	for i, f := range handkept.Faults {
		found, other := 0, 0
		for n := range *sheets {
			is, more, err := remarked(ctx, f, *seed+uint64(n)+uint64(i)<<32)
			if err != nil {
				return fmt.Errorf("%s: %w", f.Name, err)
			}
			found += is
			other += more
		}
		w.AppendRow([]any{f.Name, *sheets, found, fmt.Sprintf("%.1f", 100*float64(found)/float64(*sheets)), other})
	}
	alarms := 0
	for n := range *sheets {
		said, err := cleanRemarks(ctx, *seed+uint64(n)+1<<48)
		if err != nil {
			return err
		}
		if len(said) > 0 {
			alarms++
		}
	}
	w.AppendRow([]any{"nothing", *sheets, "", "", alarms})
	fmt.Fprintln(out, w.Render())
	return nil
}

// read opens a sheet and looks at its rows.
func proofreadSheet(ctx context.Context, s *handkept.Sheet) (*frames.Frame, []proofread.Remark, error) {
	f, _, err := reading.Read(ctx, "sheet.csv", s.CSV(), reading.Overrides{})
	if err != nil {
		return nil, nil, err
	}
	all, err := proofread.Read(ctx, f, proofread.Options{})
	return f, all, err
}

func cleanRemarks(ctx context.Context, seed uint64) ([]proofread.Remark, error) {
	_, all, err := proofreadSheet(ctx, handkept.Clean(rand.New(rand.NewPCG(seed, 1)), handkept.Options{}))
	return all, err
}

// remarked plants a fault and tells, as 0 or 1, whether it is found, and whether anything else is said.
func remarked(ctx context.Context, fault handkept.Fault, seed uint64) (found, other int, err error) {
	r := rand.New(rand.NewPCG(seed, 2))
	s := handkept.Clean(r, fault.Options)
	p := fault.Plant(r, s)
	f, all, err := proofreadSheet(ctx, s)
	if err != nil {
		return 0, 0, err
	}
	var lines []int
	for _, m := range all {
		if m.Code != p.Code || p.Level != "" && !slices.Contains(m.Levels, p.Level) {
			other = 1
			continue
		}
		for _, row := range m.Rows {
			lines = append(lines, f.Line(row))
		}
	}
	slices.Sort(lines)
	if want := slices.Sorted(slices.Values(p.Lines)); slices.Equal(slices.Compact(lines), want) {
		found = 1
	}
	return found, other, nil
}
