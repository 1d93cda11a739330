// Package drove measures how right `what drove` is: it invents series of many truths, asks the command of
// each, and sets its answers and its ranking beside those of the best possible analysis, which knows the
// truth's model and has only to estimate it.
package drove

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"breakbook/models/parallel"
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Asked opens a series written as a CSV file and carries out lines on it; the entry is the last one's.
type Asked func(ctx context.Context, csv, lines string) (page.Entry, error)

// Count is what came of many series of one truth, of one analysis.
type Count struct {
	Right, Wrong, Untold int // answers: that hold, that the truth contradicts, that nothing can be told
	Found, Real          int // factors told to differ, of those as large as is worth having
	First, Ranked        int // series whose strongest factor is told first, of those that have one
	Whole, Series        int // series without a wrong answer
}

// add counts one series more.
func (c *Count) add(o Count) {
	c.Right, c.Wrong, c.Untold = c.Right+o.Right, c.Wrong+o.Wrong, c.Untold+o.Untold
	c.Found, c.Real = c.Found+o.Found, c.Real+o.Real
	c.First, c.Ranked = c.First+o.First, c.Ranked+o.Ranked
	c.Whole, c.Series = c.Whole+o.Whole, c.Series+o.Series
}

// Shares are the figures of a count in per cent, as they stand in the table: answers right, wrong and
// untold, factors found, first told first, whole series right. NaN where there is nothing to count.
func (c Count) Shares() [6]float64 {
	of := func(n, all int) float64 { return 100 * float64(n) / float64(all) }
	answers := c.Right + c.Wrong + c.Untold
	return [6]float64{of(c.Right, answers), of(c.Wrong, answers), of(c.Untold, answers), of(c.Found, c.Real),
		of(c.First, c.Ranked), of(c.Whole, c.Series)}
}

var columns = [6]string{"right", "wrong", "cannot tell", "found", "first", "none wrong"}

// Measure prints how often the answers of the truths whose names begin with only are right; of all truths,
// or where only is "failure", those of how joints fail too.
func Measure(ctx context.Context, out io.Writer, ask Asked, series int, seed uint64, only string) error {
	fmt.Fprintf(out, "%d series a truth: per cent by `what drove`, and by the best possible analysis\n", series)
	fmt.Fprintf(out, "%-24s", "truth")
	for _, c := range columns {
		fmt.Fprintf(out, " %13s", c)
	}
	fmt.Fprintln(out)
	for _, k := range Kinds() {
		if !strings.HasPrefix(k.Name, only) {
			continue
		}
		asked, best, err := k.Count(ctx, ask, series, seed)
		if err != nil {
			return fmt.Errorf("%s: %w", k.Name, err)
		}
		fmt.Fprintf(out, "%-24s", k.Name)
		a, b := asked.Shares(), best.Shares()
		for i := range a {
			fmt.Fprintf(out, " %13s", figure(a[i])+" "+fmt.Sprintf("%5s", figure(b[i])))
		}
		fmt.Fprintln(out)
	}
	if only != "" && only != "failure" {
		return nil
	}
	return failures(ctx, out, ask, series, seed)
}

func figure(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return fmt.Sprintf("%.1f", x)
}

// Count asks `what drove` and the best possible analysis of so many series.
func (k *Kind) Count(ctx context.Context, ask Asked, series int, seed uint64) (asked, best Count, err error) {
	each := make([][2]Count, series)
	err = parallel.All(ctx, series, func(ctx context.Context, i int) (err error) {
		if each[i][0], each[i][1], err = k.one(ctx, ask, seed+uint64(i)); err != nil {
			return fmt.Errorf("series %d: %w", seed+uint64(i), err)
		}
		return nil
	})
	for _, e := range each {
		asked.add(e[0])
		best.add(e[1])
	}
	return asked, best, err
}

// one asks both of the series of a seed.
func (k *Kind) one(ctx context.Context, ask Asked, seed uint64) (asked, best Count, err error) {
	s := k.invent(seed)
	a := k.taken(s)
	sizes, first, err := a.truth(ctx)
	if err != nil {
		return asked, best, err
	}
	known, err := a.best(ctx)
	if err != nil {
		return asked, best, err
	}
	e, err := ask(ctx, s.CSV, k.asked())
	if err != nil {
		return asked, best, err
	}
	given, err := k.read(e)
	if err != nil {
		return asked, best, err
	}
	return k.judged(given, sizes, first), k.judged(known, sizes, first), nil
}

// judged holds answers to the truth.
func (k *Kind) judged(all []told, sizes []float64, first int) Count {
	c := Count{Series: 1}
	for f, t := range all {
		differs := t.answer == verdict.Differs || t.answer == verdict.DiffersLessThanWorth
		none := t.answer == verdict.NoDifferenceWorth || t.answer == verdict.DiffersLessThanWorth
		real := sizes[f] >= k.worth
		switch {
		case sizes[f] == 0 && differs, real && none:
			c.Wrong++
		case t.answer == verdict.CannotTell:
			c.Untold++
		default:
			c.Right++
		}
		if real {
			c.Real++
			if differs {
				c.Found++
			}
		}
	}
	if c.Wrong == 0 {
		c.Whole = 1
	}
	if first >= 0 {
		c.Ranked = 1
		if toldFirst(all) == first {
			c.First = 1
		}
	}
	return c
}

// toldFirst is the factor with the largest share of those that are told to differ; -1 where none is.
func toldFirst(all []told) int {
	first := -1
	for f, t := range all {
		if (t.answer == verdict.Differs || t.answer == verdict.DiffersLessThanWorth) &&
			(first < 0 || cmp.Compare(t.share, all[first].share) > 0) {
			first = f
		}
	}
	return first
}

// read takes the answers of `what drove` off its table. A factor that it did not try is one of which it
// can tell nothing.
func (k *Kind) read(e page.Entry) ([]told, error) {
	out := make([]told, len(k.factors))
	for f := range out {
		out[f] = told{verdict.CannotTell, math.NaN(), math.NaN()}
	}
	at := slices.IndexFunc(e.Tables, func(t page.Table) bool { return t.ID == "factors" })
	if at < 0 {
		return nil, fmt.Errorf("%s gave no table of factors", e.Input)
	}
	column := map[string]int{}
	for i, c := range e.Tables[at].Columns {
		column[c.ID] = i
	}
	for _, row := range e.Tables[at].Rows {
		names := strings.Split(row[column["factor"]].Text, ", ")
		f := slices.IndexFunc(k.factors, func(f factor) bool { return slices.Contains(names, f.name) })
		if f < 0 {
			return nil, fmt.Errorf("%q is no factor of %s", names, k.Name)
		}
		answer, err := answerOf(row[column["answer"]].Text)
		if err != nil {
			return nil, err
		}
		out[f] = told{answer, row[column["share"]].Num, row[column["p"]].Num}
	}
	return out, nil
}

func answerOf(text string) (verdict.Answer, error) {
	for a := verdict.CannotTell; a <= verdict.DiffersLessThanWorth; a++ {
		if a.Key() == text {
			return a, nil
		}
	}
	return 0, fmt.Errorf("%q is no answer", text)
}
