// Package falseanswers measures how often the commands that answer tell a false answer without a doubt, in
// invented series whose truth is known, with nothing wrong and with a fault planted.
package falseanswers

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// command is one that answers. In its lines {terms} are the terms of a fit.
type command struct {
	name, lines string
	of          response
	cleanOnly   bool     // not asked of the series with faults, where its truth is not known
	silent      bool     // may tell no answer: in words of its own, or since too few broke so
	apart       []string // faults in which its own truth is not that of the mean
}

var commands = []command{
	{name: "fit", lines: "worth 40 N; fit load on {terms}"},
	{name: "compare", lines: "worth 40 N; compare load by pins"},
	{name: "compare of fit", lines: "worth 40 N; fit load on {terms} as f; compare pins of f"},
	{name: "compare, uneven spread", lines: "worth 40 N; compare load by pins uneven spread"},
	{name: "compare, ranked", lines: "worth 40 N; compare load by pins ranked"},
	{name: "compare, reshuffled", lines: "worth 40 N; compare load by pins reshuffled 999 times"},
	{name: "compare with a figure", lines: "worth 40 N; compare load with 400 N by pins", cleanOnly: true},
	{name: "adjusted", lines: "worth 40 N; fit load on {terms} as f; adjusted pins of f"},
	{name: "average", lines: "worth 40 N; average load by pins"},
	{name: "anova", lines: "worth 40 N; anova load on {terms}"},
	{name: "predict", lines: "worth 40 N; fit load on {terms} as f; predict f given pins none or pair"},
	{name: "same", lines: "same load by pins within 40 N"},
	{name: "characteristic", lines: "worth 40 N; characteristic load by pins", silent: true,
		apart: []string{"30 of spread 5 beside 5 of spread 60", "the machine ends at the upper third"}},
	{name: "agree compare", lines: "worth 40 N; agree compare load by pins against none by series",
		of: ofLoads, silent: true},
	{name: "fit until", lines: "worth 10%; fit load until failure is glue on pins", of: ofStrength, silent: true,
		apart: []string{"30 of spread 5 beside 5 of spread 60", "the machine ends at the upper third"}},
	{name: "odds", lines: "worth 20%; odds failure is glue on pins", of: ofChance, silent: true,
		apart: []string{"30 of spread 5 beside 5 of spread 60"}},
}

// sizes are the numbers of specimens.
var sizes = []int{20, 60}

// Count is how many series of a cell were told a false answer without a doubt: a difference where
// there is none, or none worth having where there is one.
type Count struct{ Differs, None int }

func (c *Count) add(o Count) { c.Differs, c.None = c.Differs+o.Differs, c.None+o.None }

// Measure prints the share of false answers told without a doubt, `series` series a cell, of the
// commands whose names begin with only; where a fault is named, of the series with it alone.
func Measure(ctx context.Context, out io.Writer, ask typed.Asked, faults []Fault, series int, seed uint64,
	only, fault string) error {
	if fault == "" {
		if err := measureClean(ctx, out, ask, series, seed, only); err != nil {
			return err
		}
	}
	return measureFaults(ctx, out, ask, faults, series, seed, only, fault)
}

// measureClean prints the table of series with nothing wrong.
func measureClean(ctx context.Context, out io.Writer, ask typed.Asked, series int, seed uint64, only string) error {
	fmt.Fprintf(out, "Nothing wrong: per cent of series told a false answer without a doubt; a difference where there "+
		"is none,\nand none worth having where there is one (%g N, or 10 %% of a strength, 20 %% of chances)\n", worth)
	fmt.Fprintf(out, "%-24s %4s", "command", "n")
	for _, l := range layouts {
		fmt.Fprintf(out, "   %18s", l.name+": is, is not")
	}
	fmt.Fprintln(out)
	for at, c := range commands {
		for _, n := range sizes {
			if !strings.HasPrefix(c.name, only) {
				continue
			}
			fmt.Fprintf(out, "%-24s %4d", c.name, n)
			for which := range layouts {
				cell, err := Clean(ctx, ask, at, which, n, series, seed)
				if err != nil {
					return fmt.Errorf("%s: %w", c.name, err)
				}
				fmt.Fprintf(out, "   %10s%% %6s%%", percent(cell.Differs, series), percent(cell.None, series))
			}
			fmt.Fprintln(out)
		}
	}
	fmt.Fprintln(out)
	return nil
}

// measureFaults prints the table of series with a fault.
func measureFaults(ctx context.Context, out io.Writer, ask typed.Asked, faults []Fault, series int, seed uint64,
	only, fault string) error {
	fmt.Fprintln(out, "With a fault planted: per cent of series told a false answer without a doubt, "+
		"at 20 and 60 specimens (–: the\nfault leaves the command's own truth unknown)")
	for i, f := range faults {
		fmt.Fprintf(out, "%3d %s\n", i+1, f.Name)
	}
	fmt.Fprintf(out, "%-24s", "command")
	for i, f := range faults {
		if strings.HasPrefix(f.Name, fault) {
			fmt.Fprintf(out, " %11d", i+1)
		}
	}
	fmt.Fprintln(out)
	for at, c := range commands {
		if c.cleanOnly || !strings.HasPrefix(c.name, only) {
			continue
		}
		fmt.Fprintf(out, "%-24s", c.name)
		for which, f := range faults {
			if !strings.HasPrefix(f.Name, fault) {
				continue
			}
			var shares []string
			for _, n := range sizes {
				if slices.Contains(c.apart, f.Name) {
					continue
				}
				cell, err := Faulty(ctx, ask, at, f, which, n, series, seed)
				if err != nil {
					return fmt.Errorf("%s, %s: %w", c.name, f.Name, err)
				}
				shares = append(shares, percent(cell.Differs+cell.None, series))
			}
			if len(shares) == 0 {
				shares = []string{"–"}
			}
			fmt.Fprintf(out, " %11s", strings.Join(shares, " "))
		}
		fmt.Fprintln(out)
	}
	return nil
}

// Clean counts one command in one layout, with no difference and with one.
func Clean(ctx context.Context, ask typed.Asked, command, layout, n, series int, seed uint64) (Count, error) {
	c, l := commands[command], layouts[layout]
	start := seed + uint64(1000*command+100*layout+n)<<20
	zero, err := falseOf(ctx, ask, c, "pins, density", series, start, func(r *rand.Rand) (string, float64) {
		return clean(l, n, 0, c.of, r), 0
	})
	if err != nil {
		return zero, err
	}
	real, err := falseOf(ctx, ask, c, "pins, density", series, start+1, func(r *rand.Rand) (string, float64) {
		return clean(l, n, worth, c.of, r), worth
	})
	return Count{zero.Differs, real.None}, err
}

// Faulty counts one command where a fault is planted.
func Faulty(ctx context.Context, ask typed.Asked, command int, f Fault, which, n, series int,
	seed uint64) (Count, error) {
	c := commands[command]
	start := seed + uint64(1<<20+1000*command+100*which+n)<<20
	return falseOf(ctx, ask, c, "pins", series, start, func(r *rand.Rand) (string, float64) {
		s := f.Make(n, r)
		return typed.CSV(dressed(s.Header, s.Rows, c.of, r)), s.Truth
	})
}

// falseOf counts the false answers of a command in many series.
func falseOf(ctx context.Context, ask typed.Asked, c command, terms string, series int, seed uint64,
	invent func(r *rand.Rand) (csv string, truth float64)) (Count, error) {
	return counted.Sum(ctx, series, (*Count).add, func(ctx context.Context, i int) (found Count, err error) {
		text, truth := invent(rand.New(rand.NewPCG(seed, uint64(i))))
		if (c.of == ofStrength || c.of == ofChance) && !strings.Contains(text, ",glue,") {
			return found, nil // there is nothing to ask about
		}
		e, err := ask(ctx, text, strings.ReplaceAll(c.lines, "{terms}", terms))
		var refused *page.Problem
		if c.silent && errors.As(err, &refused) {
			return found, nil // with its reason: no false answer
		}
		if err != nil {
			return found, err
		}
		return countFalse(e, truth, c)
	})
}

// countFalse reports whether one of the answers about pins is false and stands without a doubt.
func countFalse(e page.Entry, truth float64, c command) (out Count, err error) {
	given := answers(e)
	if len(given) == 0 && !c.silent {
		return out, fmt.Errorf("%s answers nothing", e.Input)
	}
	for _, a := range given {
		if a.doubt != "" {
			continue
		}
		less := a.words == verdict.DiffersLessThanWorth.Key()
		if truth == 0 && (less || a.words == verdict.Differs.Key() || a.words == "different") {
			out.Differs = 1
		}
		if truth >= worth && (less || a.words == verdict.NoDifferenceWorth.Key() || a.words == "same") {
			out.None = 1
		}
	}
	return out, nil
}

// answer is what is told of one difference, and the doubt it stands in.
type answer struct{ words, doubt string }

// answers are those about pair against none, of findings and of tables.
func answers(e page.Entry) []answer {
	var out []answer
	for _, f := range e.Findings {
		if len(f) > 0 && f[0] == page.Word("In doubt: ") {
			continue // the answer under a remedy
		}
		for _, part := range f {
			v, ok := part.(page.Verdict)
			if ok && (v.Of == "" || strings.HasPrefix(v.Of, "pins") && !strings.HasSuffix(v.Of, " N, none")) {
				out = append(out, answer{v.Words, v.Doubt})
			}
		}
	}
	for _, t := range e.Tables {
		for _, row := range typed.Columns(t, "second", "answer") {
			if row[0].Text == "pair" {
				out = append(out, answer{row[1].Text, row[1].Doubt})
			}
		}
	}
	return out
}
