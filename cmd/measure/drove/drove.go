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

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Shares are figures, each of how many times something came true of how many it could have.
type Shares []struct{ N, Of int }

// add counts as many more.
func (s *Shares) add(more Shares) {
	if *s == nil {
		*s = make(Shares, len(more))
	}
	for i, one := range more {
		(*s)[i].N, (*s)[i].Of = (*s)[i].N+one.N, (*s)[i].Of+one.Of
	}
}

// Percent are the figures as they stand in the table. NaN where there is nothing to count.
func (s Shares) Percent() []float64 {
	return lists.Mapped(s, func(one struct {
		N  int
		Of int
	}) float64 {
		return 100 * float64(one.N) / float64(one.Of)
	})
}

// columns are the shares of a Kind: of its answers those that hold, that the truth contradicts, and that can tell
// nothing; of the factors as large as is worth having those told to differ; of the series with a strongest factor
// those that tell it first; of all series those without a wrong answer.
var columns = [6]string{"right", "wrong", "cannot tell", "found", "first", "none wrong"}

// Measure prints how often the answers of the truths whose names begin with only are right; of all truths,
// or where only is "failure", those of how joints fail too, and of series in which nothing does anything.
func Measure(ctx context.Context, out io.Writer, series int, seed uint64, only string) error {
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
		if err := row(ctx, out, k.Name, series, seed, k.one); err != nil {
			return err
		}
	}
	if only != "" && only != "failure" {
		return nil
	}
	if err := failures(ctx, out, series, seed); err != nil {
		return err
	}
	return nothings(ctx, out, series, seed)
}

// asking asks the command and an analysis that knows the truth of the series of a seed.
type asking func(ctx context.Context, seed uint64) (asked, best Shares, err error)

// row prints what came of so many series of a truth.
func row(ctx context.Context, out io.Writer, name string, series int, seed uint64, one asking) error {
	asked, best, err := count(ctx, series, seed, one)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	fmt.Fprintf(out, "%-24s", name)
	known := best.Percent()
	for i, x := range asked.Percent() {
		fmt.Fprintf(out, " %13s", fmt.Sprintf("%s %5s", figure(x), figure(known[i])))
	}
	fmt.Fprintln(out)
	return nil
}

func figure(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return fmt.Sprintf("%.1f", x)
}

func count(ctx context.Context, series int, seed uint64, one asking) (asked, best Shares, err error) {
	all, err := counted.Each(ctx, series, func(ctx context.Context, i int) (both [2]Shares, err error) {
		if both[0], both[1], err = one(ctx, seed+uint64(i)); err != nil {
			return both, fmt.Errorf("series %d: %w", seed+uint64(i), err)
		}
		return both, nil
	})
	if err != nil {
		return nil, nil, err
	}
	for _, both := range all {
		asked.add(both[0])
		best.add(both[1])
	}
	return asked, best, nil
}

// Count asks `what drove` and the best possible analysis of so many series.
func (k *Kind) Count(ctx context.Context, series int, seed uint64) (asked, best Shares, err error) {
	return count(ctx, series, seed, k.one)
}

// one asks both of the series of a seed.
func (k *Kind) one(ctx context.Context, seed uint64) (asked, best Shares, err error) {
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
	e, err := typed.Ask(ctx, s.CSV, k.asked())
	if err != nil {
		return asked, best, err
	}
	given, err := k.read(e)
	if err != nil {
		return asked, best, err
	}
	return k.compareWithTruth(given, sizes, first), k.compareWithTruth(known, sizes, first), nil
}

// compareWithTruth counts which answers are true and which are false.
func (k *Kind) compareWithTruth(all []finding, sizes []float64, first int) Shares {
	var right, wrong, undecided, found, large, led, ranked, whole int
	for f, t := range all {
		none := t.answer == verdict.NoDifferenceWorth || t.answer == verdict.DiffersLessThanWorth
		real := sizes[f] >= k.worth
		switch {
		case sizes[f] == 0 && t.differs(), real && none:
			wrong++
		case t.answer == verdict.CannotTell:
			undecided++
		default:
			right++
		}
		if real {
			large++
			if t.differs() {
				found++
			}
		}
	}
	if wrong == 0 {
		whole = 1
	}
	if first >= 0 {
		ranked = 1
		if largestShare(all) == first {
			led = 1
		}
	}
	return Shares{{right, len(all)}, {wrong, len(all)}, {undecided, len(all)}, {found, large}, {led, ranked},
		{whole, 1}}
}

// largestShare is the factor with the largest share of those that are told to differ; -1 where none is.
func largestShare(all []finding) int {
	first := -1
	for f, t := range all {
		if t.differs() && (first < 0 || cmp.Compare(t.share, all[first].share) > 0) {
			first = f
		}
	}
	return first
}

// read takes the answers of `what drove` off its table. A factor that it did not try is one of which it
// can tell nothing.
func (k *Kind) read(e page.Entry) ([]finding, error) {
	out := lists.Made(len(k.factors), func(f int) finding {
		return finding{verdict.CannotTell, math.NaN(), math.NaN()}
	})
	rows, err := typed.Rows(e, "factors", "factor", "answer", "share", "p")
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		names := strings.Split(row[0].Text, ", ")
		f := slices.IndexFunc(k.factors, func(f factor) bool { return slices.Contains(names, f.name) })
		if f < 0 {
			return nil, fmt.Errorf("%q is no factor of %s", names, k.Name)
		}
		answer, err := answerOf(row[1].Text)
		if err != nil {
			return nil, err
		}
		out[f] = finding{answer, row[2].Num, row[3].Num}
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
