package enough

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// loads are the loads of a series, by what stands in its second column.
func loads(t *testing.T, s table) map[string][]float64 {
	t.Helper()
	out := map[string][]float64{}
	for _, row := range s.rows {
		cells := strings.Split(row, ",")
		y, err := strconv.ParseFloat(cells[len(cells)-1], 64)
		if err != nil {
			t.Fatal(err)
		}
		out[cells[1]] = append(out[cells[1]], y)
	}
	return out
}

func meanAndSD(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sd / float64(len(x)-1))
}

// near allows for the four decimals that a series is written with.
func near(a, b float64) bool { return math.Abs(a-b) < 2e-4 }

// The series that the number is told from has exactly the spread and the difference it stands for.
func TestTheSpreadIsKnown(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	by := loads(t, levels(scatter, 2*scatter)(8, 0.5, true, r))
	a, sa := meanAndSD(by["a"])
	b, sb := meanAndSD(by["b"])
	if !near(sa, scatter) || !near(sb, 2*scatter) || !near(b-a, worth/2) {
		t.Errorf("sd %g and %g, difference %g", sa, sb, b-a)
	}
	by = loads(t, within(8, 0.5, true, r))
	apart, sums := make([]float64, 8), make([]float64, 8)
	for i := range apart {
		apart[i], sums[i] = by["b"][i]-by["a"][i], (by["a"][i]+by["b"][i])/2
	}
	d, sd := meanAndSD(apart)
	if _, board := meanAndSD(sums); !near(sd, scatter*math.Sqrt2) || !near(d, worth/2) ||
		!near(board, math.Sqrt(boardScatter*boardScatter+scatter*scatter/2)) {
		t.Errorf("within boards: sd %g, boards %g, difference %g", sd, board, d)
	}
	by = loads(t, between(5, 0.5, true, r))
	means, inside := make([]float64, 5), 0.0
	for i := range means {
		var s float64
		means[i], s = meanAndSD(by["a"][perBoard*i : perBoard*i+perBoard])
		inside += s * s / 5
	}
	of := math.Sqrt(boardScatter*boardScatter + scatter*scatter/perBoard)
	if _, s := meanAndSD(means); !near(s, of) || !near(math.Sqrt(inside), scatter) {
		t.Errorf("between boards: sd of means %g, within %g", s, math.Sqrt(inside))
	}
}

// A question that settles with a known chance by size has that chance counted, at one size and over many.
func TestSharesAreCounted(t *testing.T) {
	ask := func(_ context.Context, csv, _ string) (page.Entry, error) {
		rows := strings.Count(csv, "\n") - 1
		answer := verdict.CannotTell.Key()
		var more page.Sentence
		if rows < 10 {
			more = page.Say("; about ", 10*rows, " specimens in all would settle it")
		} else if rows >= 50 {
			answer = verdict.NoDifferenceWorth.Key()
		}
		return page.Entry{Findings: []page.Sentence{page.Say("so ", page.Verdict{Words: answer, More: more})}}, nil
	}
	m := measuring{kind{pilot: 7, known: true, series: number}, ask, 1}
	n, err := m.known(t.Context())
	if err != nil || n != 70 {
		t.Fatalf("told %d: %v", n, err)
	}
	zero, worth, err := m.settles(t.Context(), n, 20)
	if err != nil || zero != 1 || worth != 0 {
		t.Errorf("settled %g and %g: %v", zero, worth, err)
	}
	s, err := m.spreads(t.Context(), 4, 20)
	if err != nil || s.needed != 1 || s.number != [3]float64{40, 40, 40} || s.zero != [2]float64{} {
		t.Errorf("%+v: %v", s, err)
	}
	if _, err := m.numbers(t.Context(), 20, 5, 0, forOwn); err == nil {
		t.Error("a number is told where there is none")
	}
}

func TestAlong(t *testing.T) {
	value := func(j int) float64 { return []float64{0.2, 0.6, 0.7}[j] }
	sizes := []int{10, 40, 160}
	for n, want := range map[int]float64{10: 0.2, 20: 0.4, 40: 0.6, 80: 0.65, 160: 0.7} {
		if got := along(sizes, n, value); math.Abs(got-want) > 1e-12 {
			t.Errorf("at %d: %g, want %g", n, got, want)
		}
	}
	if got := along([]int{7}, 7, value); got != 0.2 {
		t.Errorf("of one size: %g", got)
	}
}
