package kernel

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// highSpread is the confidence of the upper limit of an sd that a plan is held against.
const highSpread = 0.80

// planned is a plan kept for a test sheet and for a picture of its chance.
type planned struct {
	response string       // the column to be measured; empty where the series has no load
	factors  []string     // whose levels are combined; none: one kind of joint
	levels   [][]string   // of each factor, in its order
	mode     string       // the column of failure modes, if the plan is about one
	perLevel int          // specimens of each combination
	blocks   *plan.Blocks // as they are laid out; nil without any
	block    string       // their column
	model    sizer
	told     say.Plan // as the finding tells it

	of  frames.Column // what the plan is about: the response, or the column of failure modes
	aim aim
}

// aim tells what a plan is for, of its column as it is called now.
type aim func(frames.Column) page.Sentence

// sizer is a model that says what a number of specimens gives.
type sizer interface {
	At(perLevel int) (plan.Size, error)
	Least() (plan.Size, error)
}

// planFor plans a series.
func planFor(k *call, cmd *phrase.Plan) (*outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.PlanMeans:
		return k.planMeans(cmd, of)
	case phrase.PlanModes:
		return k.planShares(cmd, of)
	case phrase.PlanLimit:
		return k.planLimit(cmd, of)
	}
	return nil, k.unhandled()
}

// planMeans plans for a difference of means.
func (k *call) planMeans(cmd *phrase.Plan, of phrase.PlanMeans) (*outcome, error) {
	factors := of.Categories()
	g, err := k.planGround(of.Y, factors)
	if err != nil {
		return nil, err
	}
	detect := of.Detecting
	delta, err := k.shareOrAmount(detect, g)
	if err != nil {
		return nil, err
	}
	sd, high, err := k.planSpread(g, cmd.Spread, of.Y.At)
	if err != nil {
		return nil, err
	}
	if g.blocks != nil && g.blocks.known {
		sd, high = g.blocks.left, g.blocks.highLeft
	}
	m := plan.Means{Levels: g.levels, Delta: delta, SD: sd, HighSD: high, Confidence: k.confidence(), Wanted: wanted(cmd), Blocks: g.blocks.model()}
	sizes, err := k.sizes(cmd, m, g.cells(), m.Step())
	if err != nil {
		return nil, err
	}
	unit, logged := g.response.unit(), g.response.logged()
	what := func(c frames.Column) page.Sentence { return say.Detecting(inSentence(c), delta, unit, logged) }
	told := say.Plan{What: what(g.response.column), Factors: g.called(), Wanted: m.Wanted,
		SD: sd, Unit: g.response.unit(), HighSD: high, Logged: g.response.logged(), Blocks: g.blocks.laid(g)}
	if told.Blocks != nil && m.Blocks.SD > 0 && g.blocks.anyWhole() && cmd.Blanks == nil {
		shared := m
		shared.Blocks = &plan.Blocks{SD: m.Blocks.SD, HighSD: m.Blocks.HighSD, Each: 1, Whole: make([]bool, len(factors))}
		if s, err := shared.Least(); err == nil && s.PerLevel < sizes[0].PerLevel {
			told.Blocks.Shared = s.PerLevel
		}
	}
	k.restOn(g, cmd.Spread != nil, detect.Percent && !g.response.logged())
	return k.bookPlan(cmd, g, sizes, told, planTableOf(g.response.unit(), 0, true),
		planned{response: g.response.column.Name, factors: g.names(), levels: g.named, perLevel: sizes[0].PerLevel, blocks: m.Blocks, model: m,
			of: g.response.column, aim: what})
}

// planShares plans for a change of the share of a failure mode.
func (k *call) planShares(cmd *phrase.Plan, of phrase.PlanModes) (*outcome, error) {
	mode, by := of.Mode, of.A
	columns, err := k.withBlocks([]string{mode.Column.Column, by.Column})
	if err != nil {
		return nil, err
	}
	s, err := k.sample(columns...)
	if err != nil {
		return nil, err
	}
	groups, err := k.groups(s, make([]float64, s.frame.Len()), by)
	if err != nil {
		return nil, err
	}
	m := plan.Shares{Levels: len(groups), From: of.From.Value, To: of.To.Value, Confidence: k.confidence(), Wanted: wanted(cmd)}
	sizes, err := k.sizes(cmd, m, len(groups), 1)
	if err != nil {
		return nil, err
	}
	load := k.s.RoleColumn(s.series, "load")
	what := func(c frames.Column) page.Sentence { return say.Shifting(c.Name+" is "+modeName(mode), m.From, m.To) }
	g := &ground{sample: s, response: s.mode(mode.Column.Column), factors: []phrase.ColumnRef{by}, levels: []int{len(groups)}, named: [][]string{levelNames(groups)}}
	if g.blocks, _, err = g.arranged(k.ctx); err != nil {
		return nil, err
	}
	g.blocks.count(g, sizes)
	told := say.Plan{What: what(g.response.column), Factors: g.called(), Wanted: m.Wanted, SD: math.NaN(), HighSD: math.NaN(), Blocks: g.blocks.single(g)}
	return k.bookPlan(cmd, g, sizes, told, planTableOf("", page.Fraction, len(groups) == 2),
		planned{response: load, factors: g.names(), levels: g.named, mode: mode.Column.Column, perLevel: sizes[0].PerLevel, blocks: g.blocks.singles(), model: m,
			of: g.response.column, aim: what})
}

// planLimit plans how close a characteristic value comes.
func (k *call) planLimit(cmd *phrase.Plan, of phrase.PlanLimit) (*outcome, error) {
	factors := of.Categories()
	g, err := k.planGround(of.Y, factors)
	if err != nil {
		return nil, err
	}
	if g.response.function != "" {
		return nil, &page.Problem{Code: "not-a-load", At: of.Y.At, Message: "a characteristic value is of " + g.response.column.Name + " itself"}
	}
	sd, high, err := k.planSpread(g, cmd.Spread, of.Y.At)
	if err != nil {
		return nil, err
	}
	if g.blocks != nil && g.blocks.known {
		sd, high = g.blocks.all, g.blocks.highAll
	}
	within := of.Within.Value
	m := plan.Limit{Levels: g.cells(), Mean: g.base, SD: sd, HighSD: high, Within: within, Exceeded: 0.95, Confidence: 0.75, Wanted: wanted(cmd)}
	sizes, err := k.sizes(cmd, m, m.Levels, 1)
	if err != nil {
		return nil, err
	}
	g.blocks.count(g, sizes)
	what := func(c frames.Column) page.Sentence { return say.Pinning(inSentence(c), within) }
	told := say.Plan{What: what(g.response.column), Factors: g.called(), Wanted: m.Wanted, SD: sd, Unit: g.response.unit(), HighSD: high, Blocks: g.blocks.single(g)}
	k.restOn(g, cmd.Spread != nil, true)
	return k.bookPlan(cmd, g, sizes, told, planTableOf(g.response.unit(), 0, false),
		planned{response: g.response.column.Name, factors: g.names(), levels: g.named, perLevel: sizes[0].PerLevel, blocks: g.blocks.singles(), model: m,
			of: g.response.column, aim: what})
}

// wanted is the chance the command asks for.
func wanted(cmd *phrase.Plan) float64 {
	if a := cmd.Chance; a != nil {
		return a.Value
	}
	return 0.80
}

// sizes is the plan's own size, and some smaller and larger ones, all multiples of step; in a
// rerun with specimens back its own alone.
func (k *call) sizes(cmd *phrase.Plan, m sizer, cells, step int) ([]plan.Size, error) {
	var own plan.Size
	var err error
	if n := cmd.Blanks; n != nil {
		most := n.Value / cells / step * step
		if own, err = m.At(most); most < 2 {
			return nil, &page.Problem{Code: "out-of-range", At: n.At, Message: "so few blanks make less than two specimens of each kind"}
		}
	} else {
		own, err = m.Least()
	}
	if err != nil {
		return nil, planProblem(cmd.Subject, err)
	}
	out := []plan.Size{own}
	if k.back != nil {
		return out, nil
	}
	n := own.PerLevel / step
	for _, steps := range []int{n / 2, (3*n + 3) / 4, (5*n + 3) / 4, (3*n + 1) / 2, 2 * n} {
		other := steps * step
		if other < 2 || slices.ContainsFunc(out, func(s plan.Size) bool { return s.PerLevel == other }) {
			continue
		}
		s, err := m.At(other)
		var e *plan.Error
		if errors.As(err, &e) && e.Code == "too-few-specimens" {
			continue
		}
		if err != nil {
			return nil, planProblem(cmd.Subject, err)
		}
		out = append(out, s)
	}
	return out, nil
}

// planProblem puts an error of a plan into words.
func planProblem(subject phrase.PlanSubject, err error) error {
	var e *plan.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: e.Code}
	switch e.Code {
	case "out-of-reach":
		p.Message = "that takes more than a workshop can make: over " + strconv.Itoa(plan.Most) + " specimens of each kind"
		p.Hint = "look for a larger difference, or take a smaller chance"
	case "too-many-specimens":
		p.Message = "a plan for a share looks no further than 800 specimens a level"
		p.Hint = "name fewer blanks; at that number nearly any difference would show"
	case "no-difference":
		p.Message = "there is no difference to look for"
		switch of := subject.(type) {
		case phrase.PlanModes:
			p.At, p.Hint = of.To.At, "name two shares that differ"
		case phrase.PlanLimit:
			p.Message = "the load scatters so much that the one 95 % of joints exceed is not over zero, and a percentage of it means nothing"
			p.At, p.Hint = of.Within.At, "give a smaller spread, such as spread 12%"
		}
	case "share":
		p.Code, p.Message = "out-of-range", "chances, shares and confidence lie between 0% and 100%"
	case "too-few-levels":
		p.Message, p.At = "there is one level only, so nothing to compare", factorPlace(subject)
	case "too-few-specimens":
		p.Message = "so few specimens say nothing"
	default:
		p.Message = e.Code
	}
	return p
}

// factorPlace is where the first factor of a plan was typed, or 0.
func factorPlace(subject phrase.PlanSubject) int {
	if grouped, ok := subject.(phrase.Grouped); ok && len(grouped.Categories()) > 0 {
		return grouped.Categories()[0].At
	}
	return 0
}
