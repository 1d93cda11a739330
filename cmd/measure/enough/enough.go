// Package enough measures whether as many specimens as a book says would probably settle a
// difference do so: it asks for the number as a person would, makes series of that size, and asks again.
package enough

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// pilots is how many series the number is the median of where no series has exactly the true spread.
const pilots = 401

// The streams of random numbers of a kind, by what they are drawn for.
const (
	forPilots = iota
	atZero
	atWorth
	forOwn
	streams
)

// Measure prints, for every kind, the number told with the spread known and the share of `series`
// new ones of that size that it settles, and how that share spreads where the spread is a series'
// own; of the questions that begin with only.
func Measure(ctx context.Context, out io.Writer, series int, seed uint64, only string) error {
	fmt.Fprintln(out, "Share of series that the number told settles, with the spread known: where nothing differs "+
		"(within the size\nworth having, at truth 0), and where the difference is that size (told as different). A "+
		"number\nis told that settles both with a chance of 80 % or more: one of the two decides how large it is, "+
		"and the other exceeds")
	fmt.Fprintf(out, "%-34s %8s %-18s %-8s %8s %9s\n", "question", "told", "counted", "decides", "at 0", "at worth")
	for at, k := range kinds() {
		if !strings.HasPrefix(k.name, only) {
			continue
		}
		m := measuring{k, typed.Ask, seed + uint64(at*streams)}
		n, err := m.known(ctx)
		if err != nil {
			return fmt.Errorf("%s: %w", k.name, err)
		}
		zero, worth, err := m.settles(ctx, n, series)
		if err != nil {
			return fmt.Errorf("%s: %w", k.name, err)
		}
		last, decides := fmt.Sprintf("%.1f%%", 100*worth), "at 0"
		if k.alike {
			last = "–"
		} else if worth < zero {
			decides = "at worth"
		}
		fmt.Fprintf(out, "%-34s %8d %-18s %-8s %7.1f%% %9s\n", k.name, n, k.counted, decides, 100*zero, last)
	}
	fmt.Fprintln(out, "\nThe same where the number comes from the spread of a series of its own, in which nothing "+
		"differs: the share of such\nseries that are told a number; over those, the number's tenth, middle and "+
		"ninetieth of a hundred; and of the share that\nit settles the mean and the tenth of a hundred")
	fmt.Fprintf(out, "%-28s %6s %6s %17s %22s %22s\n", "question", "own", "told", "number",
		"at 0: mean, tenth", "at worth: mean, tenth")
	for at, k := range kinds() {
		for _, own := range k.own {
			if !strings.HasPrefix(k.name, only) {
				continue
			}
			m := measuring{k, typed.Ask, seed + uint64(at*streams)}
			s, err := m.spreads(ctx, own, series)
			if err != nil {
				return fmt.Errorf("%s: %w", k.name, err)
			}
			fmt.Fprintf(out, "%-28s %6d %5.1f%% %5.0f %5.0f %5.0f %14.1f%% %5.1f%% %15.1f%% %5.1f%%\n",
				k.name, own, 100*s.needed,
				s.number[0], s.number[1], s.number[2], 100*s.zero[0], 100*s.zero[1], 100*s.worth[0], 100*s.worth[1])
		}
	}
	return nil
}

// Again counts one kind of question over, for whoever holds a kept table against it: the number told
// with the spread known, and the two shares that it settles.
func Again(ctx context.Context, name string, series int, seed uint64) (needed int, zero, worth float64, err error) {
	at := slices.IndexFunc(kinds(), func(k kind) bool { return k.name == name })
	if at < 0 {
		return 0, 0, 0, fmt.Errorf("no question is called %s", name)
	}
	m := measuring{kinds()[at], typed.Ask, seed + uint64(at*streams)}
	if needed, err = m.known(ctx); err != nil {
		return 0, 0, 0, err
	}
	zero, worth, err = m.settles(ctx, needed, series)
	return needed, zero, worth, err
}

// measuring asks one kind of question.
type measuring struct {
	kind
	ask  typed.Asked
	seed uint64
}

// draw gives the random numbers of series i of a stream.
func (m measuring) draw(stream, i int) *rand.Rand {
	return rand.New(rand.NewPCG(m.seed+uint64(stream), uint64(i)))
}

var errNoNumber = errors.New("no number is told")

// known is the number told with the spread known.
func (m measuring) known(ctx context.Context) (int, error) {
	if m.kind.known {
		truth := 0.5
		if m.alike {
			truth = 0
		}
		e, err := m.ask(ctx, m.series(m.pilot, truth, true, m.draw(forPilots, 0)).csv(), m.asked)
		if err != nil {
			return 0, err
		}
		if n := neededBy(e); n > 0 {
			return n, nil
		}
		return 0, errNoNumber
	}
	all, err := m.numbers(ctx, m.pilot, pilots, 0.5, forPilots)
	if err != nil {
		return 0, err
	}
	return all[len(all)/2], nil
}

// numbers are those told of series of a size, in order; a series whose answer is settled, or that
// is told that none is in reach, has none.
func (m measuring) numbers(ctx context.Context, size, series int, truth float64, stream int) ([]int, error) {
	all, err := counted.Each(ctx, series, func(ctx context.Context, i int) (int, error) {
		e, err := m.ask(ctx, m.series(size, truth, false, m.draw(stream, i)).csv(), m.asked)
		if err != nil {
			return 0, unlessRefused(err)
		}
		return neededBy(e), nil
	})
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(n int) bool { return n == 0 })
	if len(all) == 0 {
		return nil, errNoNumber
	}
	slices.Sort(all)
	return all, nil
}

// settles is the share of new series of a size that are settled where nothing differs, and where
// the difference is worth having.
func (m measuring) settles(ctx context.Context, n, series int) (zero, worth float64, err error) {
	var shares [2]float64
	for side := range shares {
		if side == 1 && m.alike {
			continue
		}
		shares[side], err = counted.Share(ctx, series, func(ctx context.Context, i int) (bool, error) {
			e, err := m.ask(ctx, m.series(n, float64(side), false, m.draw(atZero+side, i)).csv(), m.asked)
			if err != nil {
				return false, unlessRefused(err)
			}
			answer, err := m.answer(e)
			return settled(answer, side == 1), err
		})
		if err != nil {
			return 0, 0, err
		}
	}
	return shares[0], shares[1], nil
}

// unlessRefused passes over what the program says of a series that it cannot answer about, such as one
// with too few breaks of a kind: nothing is told of it, and it is not settled.
func unlessRefused(err error) error {
	var refused *page.Problem
	if errors.As(err, &refused) {
		return nil
	}
	return err
}

// settled reports whether an answer is the one that a difference of the size worth having, or none, calls for.
func settled(answer string, differs bool) bool {
	if answer == verdict.DiffersLessThanWorth.Key() {
		return true
	}
	if differs {
		return answer == verdict.Differs.Key()
	}
	return answer == verdict.NoDifferenceWorth.Key() || answer == "same"
}

// spread is how the share that a number settles spreads over series.
type spread struct {
	needed      float64
	number      [3]float64 // the tenth, middle and ninetieth of a hundred
	zero, worth [2]float64 // the mean and the tenth of a hundred
}

// gridSteps is at how many sizes the share settled is counted; between them it is taken along a line in ln n.
const gridSteps = 9

// spreads takes the numbers told of series of a size of their own, and the share that each settles.
func (m measuring) spreads(ctx context.Context, own, series int) (s spread, err error) {
	all, err := m.numbers(ctx, own, series, 0, forOwn)
	if err != nil {
		return s, err
	}
	s.needed = float64(len(all)) / float64(series)
	for i, p := range []float64{0.1, 0.5, 0.9} {
		s.number[i] = float64(all[int(p*float64(len(all)-1))])
	}
	low, high := float64(all[0]), float64(all[len(all)-1])
	var sizes []int
	for step := range gridSteps {
		sizes = append(sizes, int(math.Round(low*math.Pow(high/low, float64(step)/(gridSteps-1)))))
	}
	sizes = slices.Compact(sizes)
	at := make([][2]float64, len(sizes))
	for i, n := range sizes {
		if at[i][0], at[i][1], err = m.settles(ctx, n, max(series/2, 1)); err != nil {
			return s, err
		}
	}
	for side, into := range []*[2]float64{&s.zero, &s.worth} {
		chances := make([]float64, len(all))
		for i, n := range all {
			chances[i] = along(sizes, n, func(j int) float64 { return at[j][side] })
			into[0] += chances[i] / float64(len(all))
		}
		slices.Sort(chances)
		into[1] = chances[(len(chances)-1)/10]
	}
	return s, nil
}

// along is a value at n between those at the sizes around it.
func along(sizes []int, n int, value func(j int) float64) float64 {
	j := 0
	for j+2 < len(sizes) && sizes[j+1] < n {
		j++
	}
	if len(sizes) == 1 {
		return value(0)
	}
	a, b := math.Log(float64(sizes[j])), math.Log(float64(sizes[j+1]))
	return value(j) + (value(j+1)-value(j))*(math.Log(float64(n))-a)/(b-a)
}

// neededBy is the first number that a finding tells would settle it; 0 for none.
func neededBy(e page.Entry) int {
	for _, f := range e.Findings {
		if n := numberIn(f); n > 0 {
			return n
		}
		for _, part := range f {
			if v, ok := part.(page.Verdict); ok {
				if n := numberIn(v.More); n > 0 {
					return n
				}
			}
		}
	}
	return 0
}

// numberIn is the count that follows "about", in a sentence that speaks of settling or showing.
func numberIn(s page.Sentence) int {
	for i, part := range s {
		word, ok := part.(page.Word)
		if !ok || i+1 == len(s) || !strings.HasSuffix(string(word), "about ") {
			continue
		}
		if n, ok := s[i+1].(page.Num); ok && n.Style == page.Count {
			return int(n.Value)
		}
	}
	return 0
}

// answer is that of the kind's pair of levels, or the first one told.
func (m measuring) answer(e page.Entry) (string, error) {
	if m.first == "" {
		for _, f := range e.Findings {
			for _, part := range f {
				if v, ok := part.(page.Verdict); ok {
					return v.Words, nil
				}
			}
		}
		return "", errors.New("nothing is answered")
	}
	for _, t := range e.Tables {
		for _, row := range typed.Columns(t, "first", "second", "answer") {
			if row[0].Text == m.first && row[1].Text == m.second {
				return row[2].Text, nil
			}
		}
	}
	return "", fmt.Errorf("no answer about %s and %s", m.first, m.second)
}
