package planning

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"breakbook/models/compare"
	"breakbook/models/dist"
	"breakbook/models/plan"
	"breakbook/models/resample"
	"breakbook/models/stages"
)

// stagedKind is a plan in stages that series are held to: so many a level at each stage, loads with an sd of
// 1, and the difference that it shows with a chance of 80 %.
type stagedKind struct {
	levels, number, each int
	spending             stages.Spending
}

// stagedKinds are the plans measured, the smallest stages first.
func stagedKinds() []stagedKind {
	var out []stagedKind
	for _, k := range [][3]int{{2, 2, 4}, {2, 3, 4}, {2, 5, 4}, {3, 2, 4}, {4, 3, 4}, {6, 2, 4}, {2, 2, 12},
		{4, 2, 10}} {
		for _, s := range []stages.Spending{stages.Late, stages.Evenly} {
			out = append(out, stagedKind{k[0], k[1], k[2], s})
		}
	}
	return out
}

func (k stagedKind) name() string {
	shape := "late"
	if k.spending == stages.Evenly {
		shape = "evenly"
	}
	return fmt.Sprintf("%d levels, %d stages of %d, %s", k.levels, k.number, k.each, shape)
}

// stagedCount is what came of series with one truth.
type stagedCount struct {
	going    int // seemed to differ at some look, whoever never stops without
	differs  int // ended with "differs", both marks heeded
	made     int // specimens, both marks heeded
	holds    int // whose interval held the true differences when the series ended
	holdsAll int // whose intervals did at every look
}

// model is the plan of a kind, its difference that shown with a chance of 80 %.
func (k stagedKind) model() (plan.Stages, error) {
	s := plan.Stages{Number: k.number, Spending: k.spending, Means: plan.Means{Levels: []int{k.levels}, Delta: 1, SD: 1,
		HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}}
	for range 20 { // the marks for stopping move a little with the difference
		size, err := s.At(k.each * k.number)
		if err != nil {
			return s, err
		}
		if math.Abs(size.Detectable-s.Delta) < 1e-6*s.Delta {
			break
		}
		s.Delta = size.Detectable
	}
	return s, nil
}

// marks are the looks as the program judges them.
func (k stagedKind) marks(s plan.Stages) ([]plan.Look, error) {
	var out []plan.Look
	var taken []plan.Taken
	for i := range k.number {
		j, err := s.LookAt(k.each*k.number, float64(i+1)/float64(k.number), taken, false)
		if err != nil {
			return nil, err
		}
		out, taken = append(out, *j), append(taken, plan.Taken{Share: j.Share, Last: j.Last})
	}
	return out, nil
}

// count makes series with one truth, the outer levels delta apart and the rest midway.
func (k stagedKind) count(ctx context.Context, marks []plan.Look, delta float64, series int,
	seed uint64) (stagedCount, error) {
	work := resample.Work{Pieces: series, Seed: seed, Block: 100}
	return drawn(ctx, work, func(draw *rand.Rand) (stagedCount, error) { return k.one(ctx, marks, delta, draw) })
}

// drawn is what came of series that are drawn block by block.
func drawn(ctx context.Context, work resample.Work, one func(*rand.Rand) (stagedCount, error)) (sum stagedCount,
	err error) {
	all := make([]stagedCount, work.Pieces)
	err = resample.Run(ctx, work, func() func(*rand.Rand, int, int) error {
		return func(draw *rand.Rand, from, to int) (err error) {
			for i := from; i < to && err == nil; i++ {
				all[i], err = one(draw)
			}
			return err
		}
	})
	for _, c := range all {
		sum.going += c.going
		sum.differs += c.differs
		sum.made += c.made
		sum.holds += c.holds
		sum.holdsAll += c.holdsAll
	}
	return sum, err
}

// look books one look at a series of which so many are made by then; stops: the series ends here at the latest.
func (c *stagedCount) look(made int, differs, stops, holds bool) {
	c.going, c.holdsAll = max(c.going, bit(differs)), min(c.holdsAll, bit(holds))
	if c.made == 0 && (differs || stops) {
		c.made, c.differs, c.holds = made, bit(differs), bit(holds)
	}
}

// one makes one series and looks at it stage by stage to its end.
func (k stagedKind) one(ctx context.Context, marks []plan.Look, delta float64,
	draw *rand.Rand) (stagedCount, error) {
	c := stagedCount{holdsAll: 1}
	values := make([][]float64, k.levels)
	for stage, m := range marks {
		for level := range values {
			for range k.each {
				values[level] = append(values[level], standing(level, k.levels, delta)+draw.NormFloat64())
			}
		}
		f, err := compare.OneWay(ctx, values)
		if err != nil {
			return c, err
		}
		means, err := compare.Groups(ctx, values)
		if err != nil {
			return c, err
		}
		c.look(k.levels*len(values[0]), f.P < m.PDiffers, f.P > m.PStop || stage == len(marks)-1,
			k.holds(means, f, m.PDiffers, delta))
	}
	return c, nil
}

// standing is the true place of a level: the outer ones are delta apart, and the rest lie midway.
func standing(level, levels int, delta float64) float64 {
	switch level {
	case 0:
		return 0
	case levels - 1:
		return delta
	}
	return delta / 2
}

// holds reports whether the interval of every pair, as the judge gives it, holds the true difference.
func (k stagedKind) holds(m compare.Means, f compare.Overall, p, delta float64) bool {
	reach := math.Sqrt(f.DF1 * dist.FPoint(p, f.DF1, f.DF2))
	for a := range m.Mean {
		for b := range a {
			se := math.Sqrt(m.Cov[a][a] + m.Cov[b][b] - 2*m.Cov[a][b])
			off := m.Mean[a] - m.Mean[b] - (standing(a, k.levels, delta) - standing(b, k.levels, delta))
			if math.Abs(off) > reach*se {
				return false
			}
		}
	}
	return true
}

// measureStages prints what plans in stages promise beside what came of series.
func measureStages(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintln(out, "Series held to a plan in stages, by the truth: no difference, half of the one planned for, "+
		"and that one. Seen: at some look\np was below its mark, going on to the end otherwise (where there is no "+
		"difference these are false). Told and counted: the chance\nto end with “differs” and the specimens made "+
		"on average, both marks heeded. Held: the interval of the look that ended the series\nheld the true "+
		"difference (of several levels all of them), and those of every look did.")
	fmt.Fprintf(out, "%-34s %-6s %7s %8s %8s %8s %8s %7s %7s\n", "plan", "truth", "seen", "chance", "counted", "made",
		"counted", "held", "at all")
	for at, k := range stagedKinds() {
		for truth, name := range []string{"none", "half", "whole"} {
			row, err := k.row(ctx, truth, series, seed+uint64(3*at+truth))
			if err != nil {
				return fmt.Errorf("%s: %w", k.name(), err)
			}
			fmt.Fprintf(out, "%-34s %-6s %s\n", k.name(), name, row)
		}
	}
	fmt.Fprintln(out)
	return measureTyped(ctx, out, series, seed)
}

// row is what is told and counted of a truth.
func (k stagedKind) row(ctx context.Context, truth, series int, seed uint64) (string, error) {
	s, err := k.model()
	if err != nil {
		return "", err
	}
	marks, err := k.marks(s)
	if err != nil {
		return "", err
	}
	course, err := s.Course(k.each * k.number)
	if err != nil {
		return "", err
	}
	c, err := k.count(ctx, marks, s.Delta*float64(truth)/2, series, seed)
	if err != nil {
		return "", err
	}
	chance := "–"
	if truth == 2 {
		chance = fmt.Sprintf("%.1f%%", 100*course.Chance)
	}
	share := func(n int) float64 { return 100 * float64(n) / float64(series) }
	return fmt.Sprintf("%6.2f%% %8s %7.1f%% %8.1f %8.1f %6.1f%% %6.1f%%", share(c.going), chance, share(c.differs),
		course.Expected[truth], float64(c.made)/float64(series), share(c.holds), share(c.holdsAll)), nil
}
