package drove

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"

	"breakbook/cmd/measure/typed"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/odds"
	"breakbook/repl/page"
)

// Failure is a truth of how joints fail: the log odds of the glue line on three categories of two levels and a
// number, each joint on its own.
type Failure struct {
	Name     string
	n        int
	logOdds  func(glue, pins, place, density float64) float64 // of 0 and 1, density in standard deviations
	real     [4]bool                                          // which of them do something
	combined bool                                             // glue and pins do so together only
}

// names are the factors of a Failure.
var names = [4]string{"glue", "pins", "place", "density"}

// Failures are the truths that are asked about.
func Failures() []Failure {
	return []Failure{
		{Name: "nothing", n: 60, logOdds: func(_, _, _, _ float64) float64 { return 0.3 }},
		{"one factor", 60, func(g, _, _, _ float64) float64 { return 2.2*g - 1.1 }, [4]bool{true}, false},
		{"two and a number", 80, func(g, p, _, d float64) float64 { return 2.2*g - 1.6*p + d - 0.3 },
			[4]bool{true, true, false, true}, false},
		{"combined", 80, func(g, p, _, _ float64) float64 { return 3.4*math.Abs(g-p) - 1.7 },
			[4]bool{true, true}, true},
		{"few joints", 24, func(g, _, _, _ float64) float64 { return 3*g - 1.5 }, [4]bool{true}, false},
	}
}

// failures prints how often `what drove failure` is right, beside the penalised likelihood-ratio tests of the
// fit that has the truth's own terms.
func failures(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "\n%d series a truth: per cent by `what drove failure`, and by tests that know the truth's "+
		"terms\n", series)
	fmt.Fprintf(out, "%-24s %13s %13s %13s %13s\n", "truth", "found", "false", "glue × pins", "other pairs")
	for _, f := range Failures() {
		if err := row(ctx, out, f.Name, series, seed, f.one); err != nil {
			return err
		}
	}
	return nil
}

// Count asks the command and the tests of so many series.
func (f Failure) Count(ctx context.Context, series int, seed uint64) (asked, best Shares, err error) {
	return count(ctx, series, seed, f.one)
}

// one asks both of the series of a seed.
func (f Failure) one(ctx context.Context, seed uint64) (asked, best Shares, err error) {
	r := rand.New(rand.NewPCG(seed, 77))
	columns := make([][]float64, len(names))
	mode := make([]int, f.n)
	var csv strings.Builder
	csv.WriteString("specimen,glue,pins,place,density (kg/m3),failure\n")
	for i := range f.n {
		g, p, l, d := float64(i%2), float64(r.IntN(2)), float64(r.IntN(2)), r.NormFloat64()
		if r.Float64() < 1/(1+math.Exp(-f.logOdds(g, p, l, d))) {
			mode[i] = 1
		}
		for c, x := range []float64{g, p, l, d} {
			columns[c] = append(columns[c], x)
		}
		fmt.Fprintf(&csv, "J%02d,%s,%s,%s,%.4f,%s\n", i+1, []string{"bone", "hide"}[int(g)],
			[]string{"none", "pair"}[int(p)],
			[]string{"shed", "store"}[int(l)], 640+40*d, []string{"wood", "glue"}[mode[i]])
	}
	e, err := typed.Ask(ctx, csv.String(), "what drove failure is glue")
	if err != nil {
		return asked, best, err
	}
	differs, pair, other, err := readFailures(e)
	if err != nil {
		return asked, best, err
	}
	known, pairKnown, err := f.tested(ctx, columns, mode)
	return f.compareWithTruth(differs, pair, other), f.compareWithTruth(known, pairKnown, false), err
}

// compareWithTruth compares what is said of a series with the truth: of the factors that do something those said to
// differ, of those that do nothing too; and of the series those that say that glue and pins act together, and any other
// pair.
func (f Failure) compareWithTruth(differs [4]bool, pair, other bool) Shares {
	out := Shares{{}, {}, {0, 1}, {0, 1}}
	for i, is := range differs {
		of := 1
		if f.real[i] {
			of = 0
		}
		out[of].Of++
		if is {
			out[of].N++
		}
	}
	if pair {
		out[2].N++
	}
	if other {
		out[3].N++
	}
	return out
}

// wordsOf are the words of a sentence, without its numbers.
func wordsOf(s page.Sentence) string {
	text := ""
	for _, part := range s {
		if w, ok := part.(page.Word); ok {
			text += string(w)
		}
	}
	return text
}

// readFailures takes off an entry which factors are told to differ, and which go together.
func readFailures(e page.Entry) (differs [4]bool, pair, other bool, err error) {
	for _, s := range e.Findings {
		if text := wordsOf(s); strings.Contains(text, "depends on") {
			about := strings.Contains(text, "glue does") && strings.Contains(text, "on pins") ||
				strings.Contains(text, "pins does") && strings.Contains(text, "on glue")
			pair, other = pair || about, other || !about
		}
	}
	k := &Kind{Name: "failure"}
	for _, n := range names {
		k.factors = append(k.factors, factor{name: n})
	}
	all, err := k.read(e)
	for i := range differs {
		differs[i] = all != nil && all[i].differs()
	}
	return differs, pair, other, err
}

// tested is which factors the likelihood ratio tells at 5 %, by Holm over the four, in the fit of the truth's
// own terms; pair whether that of the combined term is clear.
func (f Failure) tested(ctx context.Context, columns [][]float64, mode []int) (differs [4]bool, pair bool, err error) {
	s := odds.Sample{Mode: mode, Modes: 2, Columns: [][]float64{make([]float64, len(mode))}}
	for i := range mode {
		s.Columns[0][i] = 1
	}
	s.Columns = append(s.Columns, columns...)
	of := [][]int{{1}, {2}, {3}, {4}}
	if f.combined {
		both := lists.Made(len(mode), func(i int) float64 { return (columns[0][i] - 0.5) * (columns[1][i] - 0.5) })
		s.Columns = append(s.Columns, both)
		of[0], of[1] = append(of[0], 5), append(of[1], 5)
	}
	fit, err := odds.Bare(ctx, s)
	if err != nil {
		return differs, false, err
	}
	ratios, err := fit.Penalised(ctx)
	if err != nil {
		return differs, false, err
	}
	p := make([]float64, len(of))
	for i, c := range of {
		if p[i], err = ratios.Without(ctx, c); err != nil {
			return differs, false, err
		}
	}
	for i, joined := range doubts.Holm(p) {
		differs[i] = joined < 0.05
	}
	if f.combined {
		alone, err := ratios.Without(ctx, []int{5})
		return differs, alone < doubts.Clear, err
	}
	return differs, false, nil
}
