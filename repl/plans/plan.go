package plans

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/plans/failing"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// detecting is the aim of a plan for means; of a logarithm the difference is a ratio less one.
func detecting(measure string, delta float64, unit string, logged bool) page.Sentence {
	size := page.Difference(delta, unit)
	if logged {
		size = page.Share(math.Expm1(delta))
	}
	return page.Say("to show a true difference of ", size, " in "+measure)
}

// highSpread is the confidence of the upper limit of an sd that a plan is held against.
const highSpread = 0.80

// PlanFor plans a series.
func PlanFor(k *session.Call, cmd *phrase.Plan) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.PlanMeans:
		return planMeans(k, cmd, of)
	case phrase.PlanModes:
		return planShares(k, cmd, of)
	case phrase.PlanLimit:
		return planLimit(k, cmd, of)
	}
	return nil, k.Unhandled()
}

// planMeans plans for a difference of means.
func planMeans(k *session.Call, cmd *phrase.Plan, of phrase.PlanMeans) (*session.Outcome, error) {
	if of.Fit != nil {
		if r, ok := k.Session.Result(of.Fit.Text); ok && r.Kind == "strength" {
			return planBreaks(k, cmd, of)
		}
	}
	factors := of.Categories()
	var g *pilot
	var err error
	if of.Fit != nil {
		g, err = pilotOf(k, cmd, of)
	} else {
		g, err = readPilot(k, of.Y, factors)
	}
	if err != nil {
		return nil, err
	}
	for i, n := range g.levels {
		if n < 2 {
			return nil, failing.OneLevel(factors[i])
		}
	}
	delta, percent, err := targetDifference(k, g, of)
	if err != nil {
		return nil, err
	}
	sd, high, err := planSpread(k, g, cmd.Spread, of.Y.At)
	if err != nil {
		return nil, err
	}
	if g.blocks != nil && g.blocks.known {
		sd, high = g.blocks.residualSD, g.blocks.highResidualSD
	}
	m := plan.Means{Levels: g.levels, Delta: delta, SD: sd, HighSD: high, Confidence: k.Confidence(),
		Wanted: wanted(cmd), Blocks: g.blocks.model(), Others: g.others}
	unit, logged := g.response.Unit(), g.response.Logged()
	what := func(c frames.Column) page.Sentence { return detecting(session.InSentence(c), delta, unit, logged) }
	if unevenly(of) {
		restOn(g, cmd.Spread != nil, percent)
		return planUneven(k, cmd, of, &uneven{pilot: g, means: m, what: what})
	}
	var model stepper = m
	if of.Stages != nil || of.Evenly {
		if model, err = inStages(cmd, of, m); err != nil {
			return nil, err
		}
	}
	sizes, err := sizes(k, cmd, model, g.cells(), model.Step())
	if err != nil {
		return nil, err
	}
	finding := say.Plan{Wanted: m.Wanted, Stages: numberOf(of), SD: sd, Unit: unit, HighSD: high, Logged: logged,
		Blocks: g.blocks.layout(g)}
	if asked := askedFor(cmd, g.cells()); asked > sizes[0].PerLevel {
		finding.Asked, finding.Step = asked, model.Step()
	}
	if finding.Blocks != nil && m.Blocks.SD > 0 && g.blocks.anyWhole() && cmd.Blanks == nil && of.Stages == nil {
		shared := m
		shared.Blocks = &plan.Blocks{SD: m.Blocks.SD, HighSD: m.Blocks.HighSD, Each: 1,
			Whole: make([]bool, len(factors))}
		if s, err := shared.Least(); err == nil && s.PerLevel < sizes[0].PerLevel {
			finding.Blocks.Shared = s.PerLevel
		}
	}
	restOn(g, cmd.Spread != nil, percent)
	out, err := bookPlan(k, cmd, g, sizes, finding, planTableOf(true),
		session.Plan{Response: g.response.Column.Name, Blocks: m.Blocks, Model: model, Aim: what})
	if err != nil || k.Back != nil {
		return out, err
	}
	if staged, ok := model.(plan.Stages); ok {
		return out, tellStages(k, staged, sizes[0])
	}
	if of.With != nil {
		if err := wouldSay(k, g, m, sizes[0]); err != nil {
			return nil, err
		}
	}
	if of.Fit != nil && of.With == nil && cmd.Blanks == nil {
		plain, err := g.without(k, of, m)
		if err != nil {
			return nil, err
		}
		if plain != nil {
			k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, plain)
		}
	}
	return out, nil
}

// planShares plans for a change of the share of a failure mode.
func planShares(k *session.Call, cmd *phrase.Plan, of phrase.PlanModes) (*session.Outcome, error) {
	if of.Odds != nil {
		return planOdds(k, cmd, of)
	}
	mode, by := of.Mode, of.A
	columns, err := k.WithBlocks([]string{mode.Column.Column, by.Column})
	if err != nil {
		return nil, err
	}
	s, err := k.Sample(columns...)
	if err != nil {
		return nil, err
	}
	groups, err := k.Groups(s, make([]float64, s.Frame.Len()), by)
	if err != nil {
		return nil, err
	}
	m := plan.Shares{Levels: len(groups), From: of.From.Value, To: of.To.Value, Confidence: k.Confidence(),
		Wanted: wanted(cmd)}
	sizes, err := sizes(k, cmd, m, len(groups), 1)
	if err != nil {
		return nil, err
	}
	g := &pilot{sample: s, response: s.Mode(mode.Column.Column), factors: []phrase.ColumnRef{by},
		levels: []int{len(groups)}, named: [][]string{levelNames(groups)}}
	if g.blocks, _, err = g.arranged(k.Context); err != nil {
		return nil, err
	}
	out, err := bookShares(k, cmd, of, g, sizes, m)
	if err == nil && k.Back == nil && sizes[0].Chance < m.Wanted {
		k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, wouldShow(m.From, m.To, m.Wanted, sizes[0]))
	}
	return out, err
}

// wouldShow tells which change of a share a size would show with the chance wanted, too small for the one planned for.
func wouldShow(from, to, wanted float64, size plan.Size) page.Sentence {
	end, change := "all", size.Detectable
	if to < from {
		end, change = "none", -change
	}
	if change != change {
		return page.Say("With ", size.PerLevel, " of each, not even a share that goes from ", page.Share(from),
			" to "+end+" would be shown with a chance of ", page.Share(wanted), ".")
	}
	return page.Say("With ", size.PerLevel, " of each, the share would have to go from ", page.Share(from),
		" to about ", page.Share(from+change), " for the chance to be ", page.Share(wanted), ".")
}

// bookShares keeps a plan for a change of the share of a failure mode.
func bookShares(k *session.Call, cmd *phrase.Plan, of phrase.PlanModes, g *pilot, sizes []plan.Size,
	m session.Sizer) (*session.Outcome, error) {
	what := func(c frames.Column) page.Sentence {
		return page.Say("to show that the share in which "+c.Name+" is "+session.ModeName(of.Mode)+" goes from ",
			page.Share(of.From.Value), " at one level to ", page.Share(of.To.Value), " at another")
	}
	return bookCounted(k, cmd, g, sizes, withoutSD(cmd), planTableOf(g.cells() == 2),
		session.Plan{Response: k.Session.RoleColumn(g.sample.Series, "load"), Mode: of.Mode.Column.Column, Model: m,
			Aim: what})
}

// withoutSD is the finding of a plan that no spread is behind.
func withoutSD(cmd *phrase.Plan) say.Plan {
	return say.Plan{Wanted: wanted(cmd), SD: math.NaN(), HighSD: math.NaN()}
}

// planLimit plans how close a characteristic value comes.
func planLimit(k *session.Call, cmd *phrase.Plan, of phrase.PlanLimit) (*session.Outcome, error) {
	factors := of.Categories()
	g, err := readPilot(k, of.Y, factors)
	if err != nil {
		return nil, err
	}
	if !g.response.Plain() {
		return nil, page.Refuse(page.CodeNotALoad, of.Y.At, "a characteristic value is of "+g.response.Column.Name+
			" itself", "")
	}
	sd, high, err := planSpread(k, g, cmd.Spread, of.Y.At)
	if err != nil {
		return nil, err
	}
	if g.blocks != nil && g.blocks.known {
		sd, high = g.blocks.all, g.blocks.highAll
	}
	within := of.Within.Value
	m := plan.Limit{Levels: g.cells(), Mean: g.base, SD: sd, HighSD: high, Within: within, Exceeded: 0.95,
		Confidence: 0.75, Wanted: wanted(cmd)}
	sizes, err := sizes(k, cmd, m, m.Levels, 1)
	if err != nil {
		return nil, err
	}
	restOn(g, cmd.Spread != nil, true)
	finding := say.Plan{Wanted: m.Wanted, SD: sd, Unit: g.response.Unit(), HighSD: high}
	what := func(c frames.Column) page.Sentence {
		return page.Say("to have the "+session.InSentence(c)+
			" that 95 % of joints exceed, said with 75 % confidence, come out at most ", page.Share(within),
			" below the true one")
	}
	return bookCounted(k, cmd, g, sizes, finding, planTableOf(false),
		session.Plan{Response: g.response.Column.Name, Model: m, Aim: what})
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
func sizes(k *session.Call, cmd *phrase.Plan, m session.Sizer, cells, step int) ([]plan.Size, error) {
	var own plan.Size
	var err error
	if n := cmd.PerLevel(); n != nil {
		if cmd.Blanks != nil {
			return nil, page.Refuse(page.CodeTwoNumbers, n.At,
				"the specimens of each level are given, or the blanks there are, but not both", "leave one of them out")
		}
		most := n.Value / step * step
		if own, err = m.At(most); plan.Because(err, "too-few-specimens") {
			return nil, tooFewWith(m, n, most, step)
		}
	} else if n := cmd.Blanks; n != nil {
		most := askedFor(cmd, cells) / step * step
		if own, err = m.At(most); most < 2 {
			return nil, page.Refuse(page.CodeOutOfRange, n.At,
				"so few blanks make less than two specimens of each kind", "")
		}
		if plan.Because(err, "too-few-specimens") {
			return nil, page.Refuse(page.CodeTooFewSpecimens, n.At, "so few specimens say nothing", "")
		}
	} else {
		own, err = m.Least()
	}
	if err != nil {
		return nil, planProblem(cmd.Subject, err)
	}
	out := []plan.Size{own}
	if k.Back != nil {
		return out, nil
	}
	n := own.PerLevel / step
	for _, steps := range []int{n / 2, (3*n + 3) / 4, (5*n + 3) / 4, (3*n + 1) / 2, 2 * n} {
		other := steps * step
		if other < 2 || slices.ContainsFunc(out, func(s plan.Size) bool { return s.PerLevel == other }) {
			continue
		}
		s, err := m.At(other)
		if plan.Because(err, "too-few-specimens") {
			continue
		}
		if err != nil {
			return nil, planProblem(cmd.Subject, err)
		}
		out = append(out, s)
	}
	return out, nil
}

// askedFor is the number of specimens of each combination that a plan is asked about, itself or by the blanks there
// are; 0: it finds one.
func askedFor(cmd *phrase.Plan, cells int) int {
	switch n := cmd.PerLevel(); {
	case n != nil:
		return n.Value
	case cmd.Blanks != nil:
		return cmd.Blanks.Value / cells
	}
	return 0
}

// tooFewWith says that so many specimens of each level leave nothing to judge by, and which number would.
func tooFewWith(m session.Sizer, n *phrase.Count, from, step int) *page.Problem {
	p := page.Refuse(page.CodeOutOfRange, n.At, "so few specimens of each level leave nothing to judge them by", "")
	for more := (from + step - 1) / step * step; more <= from+100; more += step {
		if _, err := m.At(more); err == nil {
			p.Hint = "with " + strconv.Itoa(more)
			break
		}
	}
	return p
}

// mostCounted is the most specimens of each level that a plan by counts alone finds, whose exact sums grow with the
// square of it.
const mostCounted = 395

// planProblem puts an error of a plan into words.
func planProblem(subject phrase.PlanSubject, err error) error {
	var e *plan.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: page.Code(e.Code)}
	switch e.Code {
	case "out-of-reach":
		most := plan.Most
		p.Hint = "look for a larger difference, or take a smaller chance"
		switch of := subject.(type) {
		case phrase.PlanModes:
			if of.Odds == nil {
				most = mostCounted
			}
		case phrase.PlanLimit:
			p.Hint = "name a wider margin, or take a smaller chance"
		}
		p.Message = "that takes more than a workshop can make: over " + strconv.Itoa(most) + " specimens of each kind"
	case "too-many-specimens":
		p.Message = "a plan for a share looks no further than 800 specimens per level"
		p.Hint = "name fewer blanks; at that number nearly any difference would show"
	case "no-difference":
		p.Message = "there is no difference to look for"
		switch of := subject.(type) {
		case phrase.PlanModes:
			p.At, p.Hint = of.To.At, "name two shares that differ"
		case phrase.PlanLimit:
			p.Message = "the load scatters so much that the one 95 % of joints exceed is not over zero, " +
				"and a percentage of it means nothing"
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
