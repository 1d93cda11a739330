package plan

import (
	"math"

	"breakbook/models/halving"
	"breakbook/models/stages"
)

// MostStages is the largest number of stages of a plan.
const MostStages = 10

// Stages plans a difference between the levels of one factor in a number of stages of one size, after each of
// which the series may stop: with "differs" where p is below the stage's own boundary, and, where that has
// become unlikely, without. Of two levels it is their t test, of more the F test of all. The boundary is
// that of a normal value (stages.Nominal), its p applied to t or F at the stage's degrees of freedom. The
// mark for stopping without binds nobody: the boundary holds whether it is heeded or not.
type Stages struct {
	Means
	Number   int
	Spending stages.Spending

	planned []float64 // the p of the planned looks, which every size shares; nil: not worked out yet
}

// Ready is the plan with what all its sizes share worked out, once.
func (s Stages) Ready() Stages {
	if s.check() == nil {
		s.planned = s.nominal(s.plannedLooks(nil), 1-s.Confidence)
	}
	return s
}

// plannedLooks are the looks after each stage, with the degrees of freedom that are there.
func (s Stages) plannedLooks(df func(stage int) float64) []look {
	var out []look
	for k := range s.Number {
		share := float64(k+1) / float64(s.Number)
		one := look{at: share, spent: share}
		if df != nil {
			one.df = df(k)
		}
		out = append(out, one)
	}
	return out
}

// Stage is one stage: what is there by then, and where the series may stop.
type Stage struct {
	PerLevel, N int
	PDiffers    float64 // p below which there is a difference
	PStop       float64 // p above which one may stop without; NaN at the last stage
	Chance      float64 // to have stopped with a difference by then, the true one being Delta
}

// Course is a plan of one size, stage by stage.
type Course struct {
	Stages   []Stage
	Chance   float64
	Expected [3]float64 // specimens on average, heeding both marks: the truth being none, half of Delta, and Delta
}

func (s Stages) check() error {
	if err := s.Means.check(); err != nil {
		return err
	}
	switch {
	case len(s.Levels) != 1:
		return &Error{"stages-of-two-factors"}
	case s.Number < 1 || s.Number > MostStages:
		return &Error{"number-of-stages"}
	}
	return nil
}

// Step is what numbers of specimens a level rise by: a step of Means for each stage.
func (s Stages) Step() int { return s.Number * s.Means.Step() }

// At is what perLevel specimens a level give, made in stages; perLevel is a multiple of Step. Of more than
// two levels there is no chance of a pair.
func (s Stages) At(perLevel int) (Size, error) {
	m, err := s.marked(perLevel)
	if err != nil {
		return Size{}, err
	}
	chance := func(delta, sd, blockSD float64) float64 { return s.chance(m, delta, sd, blockSD) }
	out := Size{PerLevel: perLevel, N: perLevel * s.cells(), Blocks: s.blocks(perLevel), Pair: math.NaN(),
		ChanceHighSpread: math.NaN(), Chance: chance(s.Delta, s.SD, s.blockSD())}
	if out.Overall = out.Chance; s.Levels[0] == 2 {
		out.Pair = out.Chance
	}
	if s.HighSD > 0 {
		out.ChanceHighSpread = chance(s.Delta, s.HighSD, s.highBlockSD())
	}
	_, shown := halving.Beyond(0, s.Delta, 1e9*s.Delta, 30, func(delta float64) bool {
		return chance(delta, s.SD, s.blockSD()) >= s.Wanted
	})
	out.Detectable = shown
	return out, nil
}

// Least is the smallest size whose Chance is the wanted one or more.
func (s Stages) Least() (Size, error) {
	if err := s.check(); err != nil {
		return Size{}, err
	}
	step := s.Step()
	enough := func(steps int) bool {
		m, err := s.marked(steps * step)
		return err == nil && s.chance(m, s.Delta, s.SD, s.blockSD()) >= s.Wanted
	}
	if enough(1) {
		return s.At(step)
	}
	n, ok := leastWhole(enough)
	if !ok || n*step > Most {
		return Size{}, &Error{"out-of-reach"}
	}
	return s.At(n * step)
}

// Course is a size stage by stage.
func (s Stages) Course(perLevel int) (*Course, error) {
	m, err := s.marked(perLevel)
	if err != nil {
		return nil, err
	}
	c := &Course{}
	for i, part := range []float64{0, 0.5, 1} {
		there := 0.0
		still := 1.0
		for k, out := range m.ends(s.seen(m, part*s.Delta, s.SD, s.blockSD())) {
			n := s.perLevelAt(k, perLevel)
			if part == 1 {
				c.Chance += out.differs
				stage := Stage{PerLevel: n, N: n * s.cells(), PDiffers: m.differs[k], PStop: m.stop[k],
					Chance: c.Chance}
				c.Stages = append(c.Stages, stage)
			}
			ending := out.differs + out.stop
			if k == s.Number-1 {
				ending = still
			}
			there += ending * float64(n*s.cells())
			still -= ending
		}
		c.Expected[i] = there
	}
	return c, nil
}

// perLevelAt are the specimens a level that are there after stage k, counted from 0.
func (s Stages) perLevelAt(k, perLevel int) int { return perLevel / s.Number * (k + 1) }

// marked are the planned looks of a size with their marks.
func (s Stages) marked(perLevel int) (*looking, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if perLevel%s.Step() != 0 {
		return nil, &Error{"uneven-blocks"}
	}
	if n := s.perLevelAt(0, perLevel); n < 2 || s.errorDF(n) < 1 {
		return nil, &Error{"too-few-specimens"}
	}
	looks := s.plannedLooks(func(k int) float64 { return s.df(0, s.perLevelAt(k, perLevel)) })
	if s.planned == nil {
		s = s.Ready()
	}
	return s.mark(looks, s.planned, perLevel), nil
}

// mark gives looks at a plan of perLevel specimens a level, whose p for "differs" are known, their marks for
// stopping without. What these may cost a series in which Delta is true is given out as the error is: in all no
// more than the plan would miss without them, and no more than it may.
func (s Stages) mark(looks []look, differs []float64, perLevel int) *looking {
	m := &looking{df1: float64(s.Levels[0] - 1), looks: looks, perLevel: perLevel, differs: differs,
		stop: make([]float64, len(looks))}
	for i := range m.stop {
		m.stop[i] = math.NaN()
	}
	seen := s.seen(m, s.Delta, s.SD, s.blockSD())
	missed := min(1-chanceOf(m.ends(seen)), 1-s.Wanted)
	path, used := stages.NewPath(correlations(seen)), 0.0
	for i := range looks[:len(looks)-1] {
		due := s.Spending.SpentOneSided(missed, looks[i].spent) - used
		end := seen[i].statistic(m.differs[i])
		_, mark := halving.Between(end, 0, 50, func(x float64) bool { return path.Chance(seen[i].inside(x)...) <= due })
		m.stop[i] = seen[i].p(mark)
		used += path.Chance(seen[i].inside(mark)...)
		path.GoOn(seen[i].between(mark, end)...)
	}
	return m
}

// nominal are the p below which each look may end with "differs", so that all of them come to an error of alpha.
func (s Stages) nominal(looks []look, alpha float64) []float64 {
	var at, spent []float64
	for _, l := range looks {
		at, spent = append(at, l.at), append(spent, s.Spending.Spent(alpha, l.spent))
	}
	return stages.Nominal(s.Levels[0]-1, at, spent)
}

// chance is that of a series with such a true difference and such spreads to end with "differs".
func (s Stages) chance(m *looking, delta, sd, blockSD float64) float64 {
	return chanceOf(m.ends(s.seen(m, delta, sd, blockSD)))
}

// seen is what the looks see of a true difference.
func (s Stages) seen(m *looking, delta, sd, blockSD float64) []seen {
	full := delta / math.Sqrt(2*s.variances(m.perLevel, sd, blockSD)[0])
	var out []seen
	for _, l := range m.looks {
		out = append(out, seen{df1: m.df1, df2: l.df, drift: full * math.Sqrt(l.at), at: l.at})
	}
	return out
}
