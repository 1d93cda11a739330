package planning

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"breakbook/cmd/measure/typed"
	"breakbook/models/resample"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// typedPlan is a plan typed into the program, and series of joints judged by the program too.
type typedPlan struct {
	name   string
	levels []string
	lines  string    // that plan, on a large series as known
	looks  []float64 // at which shares of the plan the series is judged
	boards float64   // sd from board to board, of which each gives one specimen to every level; 0: no boards
	slope  float64   // of the load on density, whose sd is 1; 0: there is no density
}

// typedPlans are the plans typed. The specimens of a level scatter by 20 N beside boards and density.
func typedPlans() []typedPlan {
	const spread = " detecting 20 N spread 20 N in 2 stages"
	pair := []string{"none", "pair"}
	return []typedPlan{
		{name: "two levels", levels: pair, lines: "plan load by pins" + spread, looks: []float64{0.5, 1}},
		{name: "two levels, spending evenly", levels: pair, lines: "plan load by pins" + spread + " spending evenly",
			looks: []float64{0.5, 1}},
		{name: "two levels, a look at three quarters", levels: pair, lines: "plan load by pins" + spread,
			looks: []float64{0.5, 0.75, 1}},
		{name: "two levels, in one stage, a look half way", levels: pair,
			lines: "plan load by pins detecting 20 N spread 20 N", looks: []float64{0.5, 1}},
		{name: "four levels", levels: []string{"four", "none", "pair", "single"}, lines: "plan load by pins" + spread,
			looks: []float64{0.5, 1}},
		{name: "of a fit with density", levels: pair, slope: 20,
			lines: "fit load on pins, density; plan load by pins detecting 20 N of fit1 in 2 stages",
			looks: []float64{0.5, 1}},
		{name: "within boards", levels: pair, boards: 20,
			lines: "mark board as block; plan load by pins detecting 20 N in 2 stages", looks: []float64{0.5, 1}},
	}
}

// joints are rows of a series, a specimen of each level after the other; truth is the difference of the outer levels.
func (k typedPlan) joints(n int, truth float64, draw *rand.Rand) []string {
	rows := []string{"load (N),pins,density,board"}
	for i := range n {
		board := k.boards * draw.NormFloat64()
		for at, level := range k.levels {
			mean := 300 + standing(at, len(k.levels), truth)
			density := draw.NormFloat64()
			load := mean + board + k.slope*density + 20*draw.NormFloat64()
			rows = append(rows, fmt.Sprintf("%.6f,%s,%.6f,b%d", load, level, density, i))
		}
	}
	return rows
}

// planned is the session with the plan of a kind, worked out from a large series.
func (k typedPlan) planned(ctx context.Context, seed uint64) (*session.Session, page.Entry, error) {
	var b typed.Book
	known := strings.Join(k.joints(400, 20, resample.Stream(seed, 0)), "\n")
	if err := b.Open(ctx, "known", known); err != nil {
		return nil, page.Entry{}, err
	}
	e, err := b.Run(ctx, k.lines)
	return b.Session, e, err
}

// one makes a series and has it judged at every look.
func (k typedPlan) one(ctx context.Context, at *session.Session, perLevel int, truth float64,
	draw *rand.Rand) (stagedCount, error) {
	c := stagedCount{holdsAll: 1}
	rows := k.joints(perLevel, truth, draw)
	b := typed.Book{Session: at}
	for i, share := range k.looks {
		made := int(math.Round(share*float64(perLevel))) * len(k.levels)
		if err := b.Open(ctx, fmt.Sprintf("s%d", i), strings.Join(rows[:1+made], "\n")); err != nil {
			return c, err
		}
		e, err := b.Run(ctx, "judge plan1 so far")
		if err != nil {
			return c, err
		}
		holds, err := k.held(e, truth)
		if err != nil {
			return c, err
		}
		answer := typed.Value(e, "answer").Text
		c.look(made, strings.HasPrefix(answer, "differs"), answer == "may stop" || i == len(k.looks)-1, holds)
	}
	return c, nil
}

// held reports whether all intervals of a judged entry hold the true differences.
func (k typedPlan) held(e page.Entry, truth float64) (bool, error) {
	mean := func(level page.Cell) float64 {
		return standing(slices.Index(k.levels, level.Text), len(k.levels), truth)
	}
	rows, err := typed.Rows(e, "differences", "first", "second", "low", "high")
	return !slices.ContainsFunc(rows, func(row []page.Cell) bool {
		true := mean(row[1]) - mean(row[0])
		return row[2].Num > true || row[3].Num < true
	}), err
}

// typedShare is one in how many series of the measurement are judged by the whole program.
const typedShare = 20

// measureTyped prints what came of series judged by lines typed into the program.
func measureTyped(ctx context.Context, out io.Writer, series int, seed uint64) error {
	series = max(1, series/typedShare)
	fmt.Fprintf(out, "The same by lines typed: each plan on a series of 400 a level, then %d series a truth (one "+
		"in %d) opened look by look and judged\n(open …; judge plan1 so far). The plan of one stage is also looked "+
		"at half way.\n", series, typedShare)
	fmt.Fprintf(out, "%-42s %-6s %7s %8s %8s %8s %7s %7s\n", "plan", "truth", "seen", "chance", "counted", "made",
		"held", "at all")
	for at, k := range typedPlans() {
		for truth, name := range []string{"none", "half", "whole"} {
			row, err := k.row(ctx, 10*float64(truth), series, seed+uint64(3*at+truth)+1000)
			if err != nil {
				return fmt.Errorf("%s: %w", k.name, err)
			}
			fmt.Fprintf(out, "%-42s %-6s %s\n", k.name, name, row)
		}
	}
	return nil
}

// row is what came of the series of a truth.
func (k typedPlan) row(ctx context.Context, truth float64, series int, seed uint64) (string, error) {
	at, planned, err := k.planned(ctx, seed)
	if err != nil {
		return "", err
	}
	perLevel := int(typed.Value(planned, "n_per_level").Num)
	work := resample.Work{Pieces: series, Seed: seed + 1<<40, Block: 10}
	c, err := drawn(ctx, work, func(draw *rand.Rand) (stagedCount, error) {
		return k.one(ctx, at, perLevel, truth, draw)
	})
	share := func(n int) float64 { return 100 * float64(n) / float64(series) }
	chance := "–"
	if truth == 20 {
		chance = fmt.Sprintf("%.1f%%", 100*typed.Value(planned, "chance").Num)
	}
	return fmt.Sprintf("%6.1f%% %8s %7.1f%% %8.1f %6.1f%% %6.1f%%", share(c.going), chance, share(c.differs),
		float64(c.made)/float64(series), share(c.holds), share(c.holdsAll)), err
}
