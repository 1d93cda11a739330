package judging

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"

	"breakbook/models/compare"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/plan"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// judging is a series held to the plan that it was made by.
type judging struct {
	plan     string
	from     string           // the series that the plan was worked out from
	of       phrase.PlanMeans // the plan's own words
	kept     *session.Plan
	model    plan.Stages
	fit      *fitted.Fit
	levels   *fitted.Levels
	n        []int // specimens of each level
	toCome   int   // rows of its sheet that are not broken yet
	p        float64
	df1, df2 float64
	look     *plan.Look
	worth    session.Smallest
	pairs    []comparedPair
}

// comparedPair is a difference of two levels with the interval of this look.
type comparedPair struct {
	first, second int
	estimate      float64
	repeated      verdict.Range
	answer        verdict.Answer
}

// SoFar holds a series to the plan that it was made by: whether it may end, and what is left to make.
func SoFar(k *session.Call, cmd *phrase.Judge) (*session.Outcome, error) {
	j, err := planOf(k, cmd)
	if err != nil {
		return nil, err
	}
	if err = j.measure(k); err == nil {
		err = j.weigh(k)
	}
	if err != nil {
		return nil, placedAt(err, cmd.Plan.At)
	}
	j.tell(k)
	out := session.Tested(j.fit.Sample, j.fit.Y, j.fit.Known(), j.answers())
	return out.Keeping(session.Result{Columns: j.kept.Factors,
		Look: &session.PlanLook{Plan: j.plan, Share: j.look.Share, P: j.p, Last: j.look.Last}}), nil
}

// placedAt is a problem with the place in this line, where it carries one of the plan's line.
func placedAt(err error, at int) error {
	var p *page.Problem
	if !errors.As(err, &p) || p.At == 0 {
		return err
	}
	here := *p
	here.At = at
	return &here
}

// planOf finds the plan, and what it is about.
func planOf(k *session.Call, cmd *phrase.Judge) (*judging, error) {
	r, _ := k.Session.Result(cmd.Plan.Text)
	j := &judging{plan: r.Name, from: r.Series, kept: r.Plan}
	not := page.Refuse(page.CodeNotInStages, cmd.Plan.At, "only a plan to show a difference between the "+
		"levels of one factor can be judged so far", "show "+cmd.Plan.Text)
	if r.Plan == nil || r.Command == nil {
		return nil, not
	}
	switch m := r.Plan.Model.(type) {
	case plan.Stages:
		j.model = m
	case plan.Means:
		j.model = plan.Stages{Means: m, Number: 1}
	default:
		return nil, not
	}
	planned, ok := r.Command.Do.(*phrase.Plan)
	if !ok || len(j.model.Levels) != 1 {
		return nil, not
	}
	if j.of, ok = planned.Subject.(phrase.PlanMeans); !ok {
		return nil, not
	}
	return j, nil
}

// measure fits the series as the plan takes it to be fitted: the plan's factor, or the terms of the fit that
// it rests on, and the blocks that it counts with.
func (j *judging) measure(k *session.Call) error {
	factor := j.of.A
	s, err := k.Sample(j.of.Y.Column.Column, factor.Column)
	if err != nil {
		return err
	}
	if err := j.levelled(k, s); err != nil {
		return err
	}
	on := phrase.OnTerms{Y: j.of.Y, Terms: phrase.Terms{List: []phrase.Term{plainTerm(factor)}}}
	var options phrase.FitOptions
	if j.of.Fit != nil {
		r, _ := k.Session.Result(j.of.Fit.Text)
		earlier, ok := fitted.Of(r)
		if !ok {
			return k.Session.NoFit(*j.of.Fit)
		}
		switch c := earlier.FittedBy().Copy().Do.(type) {
		case *phrase.Fit:
			on, options = c.OnTerms, c.FitOptions
		case *phrase.Anova:
			if of, is := c.Subject.(phrase.AnovaOnTerms); is {
				on, options = of.OnTerms, of.FitOptions
			}
		}
	}
	if options.Blocks == nil {
		if err := j.inBlocks(k, &on, &options); err != nil {
			return err
		}
	}
	if j.fit, err = fitted.OnTerms(k, on, options, false); err != nil {
		return unfitted(k, on, options, err)
	}
	if err := j.levelled(k, j.fit.Sample); err != nil {
		return err
	}
	variable := slices.Index(j.fit.Columns(), factor.Column)
	partners, err := fitted.PartnersOf(k, j.fit, variable, j.model.Confidence)
	if err == nil && len(partners.Settings) > 0 {
		partners, err = fitted.PartnersOf(k, j.fit, variable, j.model.Confidence, partners.Names()...)
	}
	if err != nil {
		return err
	}
	var can bool
	if j.levels, can = j.fit.LevelsOf(k.Context, variable, partners); !can {
		return j.notEstimable()
	}
	waits, _ := session.ToCome(j.fit.Sample.Whole)
	for _, w := range waits {
		if w {
			j.toCome++
		}
	}
	return nil
}

// unfitted words what keeps the fit of the plan from these specimens: its terms are in no part of the typed line.
func unfitted(k *session.Call, on phrase.OnTerms, options phrase.FitOptions, err error) error {
	if k.Context.Err() != nil {
		return err
	}
	fit := *k
	fit.Command = phrase.CommandOf(&phrase.Fit{OnTerms: on, FitOptions: options})
	p := *fit.Problem(err)
	p.At, p.Hint = 0, "break more of each level"
	return &p
}

// notEstimable is the problem of levels that these specimens do not tell apart.
func (j *judging) notEstimable() *page.Problem {
	return page.Refuse(page.CodeNotEstimable, 0, "these specimens do not tell the levels of "+j.of.A.Column+
		" apart yet", "break more of each level")
}

// plainTerm is a column as a term of its own.
func plainTerm(c phrase.ColumnRef) phrase.Term {
	return phrase.Term{Factors: []phrase.Factor{{Column: c, Power: 1}}}
}

// fewestBlocks is how many blocks it takes for their scatter to be estimated; fewer are taken as levels where each
// holds all levels of the factor. Common practice, no source.
const fewestBlocks = 5

// inBlocks allows for the plan's blocks where the series has them.
func (j *judging) inBlocks(k *session.Call, on *phrase.OnTerms, options *phrase.FitOptions) error {
	name := j.kept.Block
	_, f, err := k.Frame()
	if err != nil {
		return err
	}
	if _, there := f.Column(name); !there {
		return nil
	}
	s, err := k.Sample(on.Y.Column.Column, j.of.A.Column, name)
	if err != nil {
		return err
	}
	ref := phrase.ColumnRef{Column: name}
	n := s.Distinct(k.Context, name)
	switch whole := j.kept.Blocks != nil && slices.Contains(j.kept.Blocks.Whole, true); {
	case n < 2 || n == s.Frame.Len():
	case n < fewestBlocks && !whole:
		on.Terms.List = append(slices.Clone(on.Terms.List), plainTerm(ref))
	default:
		options.Blocks = &phrase.Blocks{List: []phrase.BlockRef{{Column: ref}}}
	}
	return nil
}

// levelled holds the levels of specimens to the plan's, and counts them.
func (j *judging) levelled(k *session.Call, s *session.Sample) error {
	groups, err := k.Groups(s, make([]float64, s.Frame.Len()), j.of.A)
	if err != nil {
		return err
	}
	planned := j.kept.Levels[0]
	j.n = nil
	for _, level := range planned {
		at := slices.IndexFunc(groups, func(g session.Group) bool { return g.Level == level })
		if at < 0 {
			return page.Refuse(page.CodeTooFewLevels, 0, "no specimen of "+j.of.A.Column+" "+level+
				" is there yet, so "+j.plan+" cannot be judged", "break some of each level first")
		}
		j.n = append(j.n, len(groups[at].Values))
	}
	if len(groups) > len(planned) {
		var among phrase.Condition = session.IsOf(j.of.A.Column, planned[0])
		for _, level := range planned[1:] {
			among = phrase.Or{Left: among, Right: session.IsOf(j.of.A.Column, level)}
		}
		again := &phrase.Judge{Plan: phrase.Name{Text: j.plan}}
		again.Clauses.For = among
		return page.Refuse(page.CodeOtherLevels, 0, "this series has levels of "+j.of.A.Column+" that "+j.plan+
			" is not for", phrase.Line(again))
	}
	return nil
}

// share is how much of the plan is there: the harmonic mean of the levels' specimens, which is what a
// difference between two of them goes by, over those planned.
func (j *judging) share() float64 {
	sum := 0.0
	for _, n := range j.n {
		sum += 1 / float64(n)
	}
	return float64(len(j.n)) / sum / float64(j.kept.PerLevel)
}

// weigh finds p, the marks of this look, and the intervals that go with them.
func (j *judging) weigh(k *session.Call) error {
	var taken []plan.Taken
	for _, earlier := range j.earlier(k) {
		taken = append(taken, plan.Taken{Share: earlier.Share, Last: earlier.Last})
	}
	sheet := j.fit.Sample.Whole.Reading()
	closed := j.toCome == 0 && sheet != nil && sheet.ToFill
	var err error
	if j.look, err = j.model.LookAt(j.kept.PerLevel, j.share(), taken, closed); err != nil {
		return page.Refuse(page.CodeNotInStages, 0, j.plan+
			" has no more than one specimen per level, and cannot be judged", "")
	}
	if j.worth, err = k.WorthOf(j.fit.Y); err != nil {
		return err
	}
	overall, err := j.overall(k)
	if err != nil {
		return err
	}
	j.p, j.df1, j.df2 = overall.P, overall.DF1, overall.DF2
	p, twice := j.look.PDiffers, j.look.PTwice
	if !(p > 0) { // the plan has ended, and this look is told as if it were the only one
		p, twice = 1-j.model.Confidence, 2*(1-j.model.Confidence)
	}
	wide, narrow := j.critical(p), j.critical(twice)
	for a := range j.levels.Levels {
		for b := a + 1; b < len(j.levels.Levels); b++ {
			w := make([]float64, len(j.levels.Levels[a].Weights))
			for i := range w {
				w[i] = j.levels.Levels[b].Weights[i] - j.levels.Levels[a].Weights[i]
			}
			e, ok := j.fit.Combination(k.Context, w)
			if !ok {
				return j.notEstimable()
			}
			around := func(c float64) verdict.Range {
				return verdict.Range{Low: e.Value - c*e.SE, High: e.Value + c*e.SE}
			}
			j.pairs = append(j.pairs, comparedPair{a, b, e.Value, around(wide),
				verdict.Decide(around(wide), around(narrow), j.worth.Value)})
		}
	}
	return nil
}

// overall is the fit's test that all levels share one mean; where the factor is combined with others, that of the
// means averaged over those.
func (j *judging) overall(k *session.Call) (t compare.Overall, err error) {
	if len(j.levels.Family.Partners.Over) == 0 {
		a, err := j.fit.Anova(k.Context, linear.Marginal)
		if err != nil {
			return t, err
		}
		for _, s := range a.Sources {
			if of := j.fit.Model().Terms[s.Term]; len(of.Factors) == 1 && of.Factors[0].Variable == j.levels.Variable {
				return compare.Overall{F: s.F, DF1: s.DF, DF2: s.Against, P: s.P}, nil
			}
		}
	}
	t, ok := j.fit.Jointly(k.Context, j.levels.Contrasts())
	if !ok {
		return t, j.notEstimable()
	}
	return t, nil
}

// earlier are the looks at the plan so far, less the one that is made again.
func (j *judging) earlier(k *session.Call) []session.PlanLook {
	again := ""
	if k.Asked != nil {
		if c, ok := k.Asked.Do.(*phrase.Again); ok {
			again = c.Result.Text
		}
	}
	var out []session.PlanLook
	for _, known := range k.Session.Results() {
		r, ok := k.Session.Result(known.Name)
		if ok && r.Look != nil && r.Look.Plan == j.plan && r.Name != again {
			out = append(out, *r.Look)
		}
	}
	return out
}

// critical is how many standard errors an interval reaches that leaves out zero where p is below a boundary: of
// several levels Scheffé's (1953), by which some difference is clear of zero just where F is.
func (j *judging) critical(p float64) float64 {
	return math.Sqrt(j.df1 * dist.FPoint(p, j.df1, j.df2))
}

// largest is the pair whose interval is farthest off zero.
func (j *judging) largest() comparedPair {
	off := func(p comparedPair) float64 {
		return math.Abs(p.estimate) / (p.repeated.High - p.repeated.Low)
	}
	return slices.MaxFunc(j.pairs, func(a, b comparedPair) int { return cmp.Compare(off(a), off(b)) })
}

// gap is a pair in words, the larger level first.
func (j *judging) gap(p comparedPair) say.Gap {
	fam := j.levels.Family
	g := say.Gap{Measure: fam.Measure, Value: p.estimate, Range: p.repeated, Unit: fam.Unit,
		Confidence: j.model.Confidence, Probability: math.NaN(), Answer: p.answer, Worth: j.worth.Said,
		Family: j.widened(), Of: fam.Factor + ": " + fam.Names[p.first] + ", " + fam.Names[p.second]}
	high, low := p.second, p.first
	if p.estimate < 0 {
		high, low = low, high
		g.Value, g.Range = -g.Value, p.repeated.Turned()
	}
	level := func(i int) string { return strings.TrimSpace(fam.Names[i] + " " + fam.LevelUnit) }
	g.With, g.Than = page.Say(fam.Factor+" "+level(high)), page.Say(level(low))
	if len(j.pairs) == 1 {
		g.Probability = j.p
	}
	if fam.Logged {
		session.AsRatio(&g)
	}
	return g
}

// widened is what an interval is adjusted for.
func (j *judging) widened() string {
	many := len(j.look.Course) > 1 && j.look.PDiffers > 0
	switch {
	case many && len(j.pairs) > 1:
		return "which holds at every look and for all levels"
	case many:
		return "which holds at every look"
	case len(j.pairs) > 1:
		return "which holds for all levels"
	}
	return ""
}

// answers are the differences as a rerun with specimens back compares them, the largest first.
func (j *judging) answers() []session.Answer {
	first := j.largest()
	var out []session.Answer
	for _, p := range append([]comparedPair{first}, j.pairs...) {
		if p.first == first.first && p.second == first.second && len(out) > 0 {
			continue
		}
		g := j.gap(p)
		out = append(out, session.Answer{Key: g.Of, Finding: g.Answered(p.answer.Key()),
			Gap: say.Gap{Value: p.estimate, Range: p.repeated, Answer: p.answer}})
	}
	return out
}
