package plans

import (
	"errors"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/plan"
	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// fewestToPlan is the number of breaks of the mode under which a level is left out, as the fit does.
const fewestToPlan = 3

// breaksPilot is what a plan of the strength of one failure mode is calculated from.
type breaksPilot struct {
	*pilot
	name    string
	mode    phrase.Is
	columns []string // that the strength was fitted on
	model   plan.Breaks
	ended   []bool
	cut     int // specimens that ended otherwise
}

// carryingMore is the aim of a plan for the strength of one failure mode.
func carryingMore(measure string, mode string, share float64) page.Sentence {
	return page.Say("to show that one level would carry ", page.Num{Value: share, Style: page.Fraction},
		" more "+measure+" than another before "+mode)
}

// planBreaks plans for a difference in the strength of one failure mode, by an earlier fit of it.
func planBreaks(k *session.Call, cmd *phrase.Plan, of phrase.PlanMeans) (*session.Outcome, error) {
	if err := plainBreaks(cmd, of); err != nil {
		return nil, err
	}
	b, err := readBreaks(k, of)
	if err != nil {
		return nil, err
	}
	share, err := b.share(k, of)
	if err != nil {
		return nil, err
	}
	b.model.Delta, b.model.Confidence, b.model.Wanted = math.Log1p(share), k.Confidence(), wanted(cmd)
	seed := k.Session.Settings().Seed
	n := 0
	if cmd.Blanks != nil {
		n = cmd.Blanks.Value / b.model.Levels
	} else if with := cmd.PerLevel(); with != nil {
		n = with.Value
	}
	switch {
	case n >= 2:
		b.model, err = b.model.Tried(k.Context, n, seed)
	case cmd.Blanks == nil && cmd.PerLevel() == nil:
		b.model, err = b.model.TriedLeast(k.Context, seed)
	}
	if err != nil {
		return nil, b.problem(of, err)
	}
	sizes, err := sizes(k, cmd, b.model, b.model.Levels, 1)
	if err != nil {
		return nil, err
	}
	for i := range sizes {
		sizes[i].Detectable = math.Expm1(sizes[i].Detectable)
	}
	what := func(c frames.Column) page.Sentence { return carryingMore(session.InSentence(c), b.called(), share) }
	b.blocks.count(b.pilot, sizes)
	finding := say.Plan{What: what(b.response.Medians()), Factors: b.pilot.called(), Wanted: b.model.Wanted, SD: math.NaN(),
		HighSD: math.NaN(), Blocks: b.blocks.single(b.pilot)}
	out, err := bookPlan(k, cmd, b.pilot, sizes, finding, planTableOf(b.model.Levels == 2),
		session.Plan{Response: b.response.Column.Name, Factors: b.pilot.names(), Levels: b.named,
			PerLevel: sizes[0].PerLevel, Blocks: b.blocks.singles(), Model: b.model, Of: b.response.Column, Aim: what})
	if err != nil || k.Back != nil {
		return out, err
	}
	out.Analysis.Columns = append(out.Analysis.Columns, append(b.columns, b.mode.Column.Column)...)
	told, seen, err := b.beside(sizes[0])
	if err != nil {
		return nil, err
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, told...)
	k.Entry.Values = append(k.Entry.Values, page.ValuesOf(breaksPlanFigures{seen}, nil)...)
	return out, nil
}

// breaksPlanFigures are the figures of a plan of the strength of one failure mode.
type breaksPlanFigures struct {
	Seen float64 `id:"share_seen" style:"fraction" label:"expected share that fails so"`
}

// plainBreaks refuses what a plan of the strength of one failure mode cannot be asked.
func plainBreaks(cmd *phrase.Plan, of phrase.PlanMeans) error {
	at, what := 0, ""
	switch {
	case of.B != nil:
		at, what = of.B.At, "for two factors together"
	case of.Costing != nil:
		at, what = of.Costing.At, "by what its levels cost"
	case of.With != nil && of.With.All == nil:
		at, what = of.With.At, "with a number for each level"
	case cmd.Spread != nil:
		at, what = cmd.Spread.At, "with another spread than its own"
	default:
		return nil
	}
	return &page.Problem{Code: "two-ways", At: at, Message: "a plan of " + of.Fit.Text +
		", the strength of one failure mode, cannot be made " + what, Hint: "leave that out"}
}

// readBreaks fits the earlier strength anew and reads the levels, and what else ends the tests.
func readBreaks(k *session.Call, of phrase.PlanMeans) (*breaksPilot, error) {
	sub, c, err := earlier(k, *of.Fit)
	if err != nil {
		return nil, err
	}
	fit, ok := c.Do.(*phrase.Until)
	if !ok {
		return nil, &page.Problem{Code: "wrong-kind", At: of.Fit.At, Message: of.Fit.Text + " is not a strength"}
	}
	b := &breaksPilot{name: of.Fit.Text, mode: fit.Mode}
	if of.Y.Column.Column != fit.Y.Column.Column || of.Y.Function != "" {
		return nil, &page.Problem{Code: "other-response", At: of.Y.At, Message: b.name + " is about " + fit.Y.Column.Column,
			Hint: "plan " + phrase.Spelled(fit.Y.Column.Column) + " by " + phrase.Spelled(of.A.Column) + " of " + b.name}
	}
	var terms phrase.Terms
	if fit.Terms != nil {
		terms = *fit.Terms
	}
	f := session.FormulaOf(terms)
	if b.columns = f.Columns; !slices.Contains(f.Columns, of.A.Column) {
		return nil, &page.Problem{Code: "not-in-fit", At: of.A.At, Message: of.A.Column + " is not in " + b.name,
			Hint: "plan of a strength with " + of.A.Column + " among its terms"}
	}
	s, r, err := sub.Measured(fit.Y, append(slices.Clone(f.Columns), fit.Mode.Column.Column)...)
	if err != nil {
		return nil, err
	}
	if r, err = b.enough(k, sub, s, r, of); err != nil {
		return nil, err
	}
	counts := s.Counts
	k.Entry.Specimens, k.Taken = &counts, s
	b.pilot = &pilot{sample: s, response: r, factors: []phrase.ColumnRef{of.A}}
	groups, err := k.Groups(s, r.Values, of.A)
	if err != nil {
		return nil, err
	}
	if len(groups) < 2 {
		return nil, oneLevel(of.A)
	}
	b.levels, b.named = []int{len(groups)}, [][]string{levelNames(groups)}
	b.model.Levels, b.model.Level = len(groups), make([]int, s.Frame.Len())
	for l, one := range groups {
		for _, row := range one.Rows {
			b.model.Level[row] = l
		}
	}
	v, err := s.Variables(k.Context, f.Columns)
	if err != nil {
		return nil, err
	}
	if err := b.fit(k, design.Model{Variables: v, Terms: f.Terms}, fit.Scatter, of); err != nil {
		return nil, err
	}
	b.blocks, _, err = b.arranged(k.Context)
	return b, err
}

// enough leaves out the levels of the factor at which hardly any specimen failed so, as the fit does.
func (b *breaksPilot) enough(k, sub *session.Call, s *session.Sample, r *session.Response,
	of phrase.PlanMeans) (*session.Response, error) {
	ended, err := session.Where(k.Context, s.Frame, b.mode)
	if err != nil {
		return nil, err
	}
	codes, err := s.Frame.Codes(k.Context, of.A.Column)
	if err != nil {
		return nil, session.WithPlace(err, of.A.At)
	}
	breaks := map[int]int{}
	for i, c := range codes {
		if ended[i] {
			breaks[c]++
		}
	}
	keep, all := make([]bool, len(codes)), true
	for i, c := range codes {
		keep[i] = breaks[c] >= fewestToPlan
		all = all && keep[i]
	}
	if !all {
		s.Only(k.Context, keep)
		if r, err = sub.ReadResponse(s, phrase.Response{Column: phrase.ColumnRef{Column: r.Column.Name}}); err != nil {
			return nil, err
		}
		if ended, err = session.Where(k.Context, s.Frame, b.mode); err != nil {
			return nil, err
		}
	}
	b.ended = ended
	for _, is := range ended {
		if !is {
			b.cut++
		}
	}
	return r, nil
}

// fit fits the strength of the mode, and beside it that of whatever else ends a test, and takes their places apart.
func (b *breaksPilot) fit(k *session.Call, m design.Model, scatter phrase.Scatter, of phrase.PlanMeans) error {
	own := slices.IndexFunc(m.Variables, func(v design.Variable) bool { return v.Name == of.A.Column })
	logs := make([]float64, len(b.response.Values))
	for i, x := range b.response.Values {
		logs[i] = math.Log(x)
	}
	f, err := linear.Solve(k.Context, logs, m)
	if err != nil {
		return err
	}
	data := strength.Sample{Load: b.response.Values, Ended: b.ended}
	var others, levels []int // of the columns fitted
	for j, c := range f.Coefficients {
		if c.Dependent {
			continue
		}
		data.Columns = append(data.Columns, f.Matrix.Columns[j])
		t := f.Matrix.Labels[j].Term
		with := t >= 0 && slices.ContainsFunc(m.Terms[t].Factors, func(p design.Factor) bool { return p.Variable == own })
		switch {
		case with && len(m.Terms[t].Factors) > 1:
			return &page.Problem{Code: "combined", At: of.A.At, Message: "in " + b.name + " " + of.A.Column +
				" is combined with another term, so its levels have no one strength to plan for",
				Hint: "plan of a strength without the combined term"}
		case with:
			levels = append(levels, len(data.Columns)-1)
		case t >= 0:
			others = append(others, len(data.Columns)-1)
		}
	}
	if scatter.Lognormal {
		b.model.Distribution = strength.Lognormal
	}
	fit, err := strength.Solve(k.Context, data, b.model.Distribution)
	if err != nil {
		return &page.Problem{Code: "no-peak", At: of.Fit.At, Message: b.name + " could not be fitted to these specimens",
			Hint: "fit it again and look"}
	}
	b.model.Spread, b.model.Effect = fit.Spread, make([]float64, b.model.Levels)
	b.model.Place = places(fit, data.Columns)
	b.apart(fit, data.Columns, levels, b.model.Place, b.model.Effect)
	for _, j := range others {
		b.model.Others = append(b.model.Others, data.Columns[j])
	}
	return b.otherwise(k, data, levels, others)
}

// apart takes the effects of the levels out of the places of a fit.
func (b *breaksPilot) apart(fit *strength.Fit, columns [][]float64, levels []int, place, effect []float64) {
	for i, l := range b.model.Level {
		sum := 0.0
		for _, j := range levels {
			sum += fit.Coefficients[j] * columns[j][i]
		}
		effect[l] = sum
		place[i] -= sum
	}
}

// places are the linear values of a fit.
func places(fit *strength.Fit, columns [][]float64) []float64 {
	out := make([]float64, len(columns[0]))
	for j, c := range columns {
		for i, x := range c {
			out[i] += fit.Coefficients[j] * x
		}
	}
	return out
}

// otherwise fits the strength of what else ends a test, on the same columns where there are enough such breaks,
// else one for all specimens; of fewer than three nothing is made.
func (b *breaksPilot) otherwise(k *session.Call, data strength.Sample, levels, others []int) error {
	if b.cut < fewestToPlan {
		return nil
	}
	rest := strength.Sample{Load: data.Load, Ended: make([]bool, len(data.Ended))}
	for i, is := range data.Ended {
		rest.Ended[i] = !is
	}
	tries := [][][]float64{data.Columns, {data.Columns[0]}}
	if len(others) > 0 {
		without := [][]float64{data.Columns[0]}
		for _, j := range others {
			without = append(without, data.Columns[j])
		}
		tries = slices.Insert(tries, 1, without)
	}
	for _, columns := range tries {
		rest.Columns = columns
		fit, err := strength.Solve(k.Context, rest, b.model.Distribution)
		var e *strength.Error
		if errors.As(err, &e) {
			continue
		}
		if err != nil {
			return err
		}
		place := places(fit, columns)
		// Where a level has no such break its place runs away upwards, beyond any test.
		if slices.ContainsFunc(place, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }) {
			continue
		}
		b.model.OtherPlace, b.model.OtherSpread, b.model.OtherEffect = place, fit.Spread, make([]float64, b.model.Levels)
		if len(columns) == len(data.Columns) {
			b.apart(fit, columns, levels, b.model.OtherPlace, b.model.OtherEffect)
		}
		return nil
	}
	return nil
}

// share is the difference that the plan is for, as a share of the weaker level.
func (b *breaksPilot) share(k *session.Call, of phrase.PlanMeans) (float64, error) {
	a := of.Detecting
	if a == nil {
		w, err := k.WorthAsked()
		if err != nil || w.Amount == 0 {
			return w.Share, err
		}
		v, err := k.WorthIn(w, b.response.Unit())
		return v / b.middle(), err
	}
	switch {
	case !(a.Value > 0):
		return 0, &page.Problem{Code: "out-of-range", At: a.At, Message: "an amount over zero is needed here", Hint: "10%"}
	case a.Percent:
		return a.Value, nil
	}
	v, err := session.InUnit(a.Value, a.Unit, b.response.Unit(), a.At)
	return v / b.middle(), err
}

// middle is the median strength in the mode at the mean place of all specimens.
func (b *breaksPilot) middle() float64 {
	sum := 0.0
	for i, p := range b.model.Place {
		sum += (p + b.model.Effect[b.model.Level[i]]) / float64(len(b.model.Place))
	}
	return math.Exp(sum + b.model.Spread*b.model.Distribution.Standard(0.5))
}

// called is the mode in a sentence: "failure is glue".
func (b *breaksPilot) called() string {
	return b.mode.Column.Column + " is " + session.ModeName(b.mode)
}

// problem puts an error of the plan into words.
func (b *breaksPilot) problem(of phrase.PlanMeans, err error) error {
	var e *plan.Error
	if errors.As(err, &e) && e.Code == "confounded" {
		return &page.Problem{Code: e.Code, At: of.A.At, Message: "with the other terms of " + b.name + " as they are here, the " +
			"levels of " + of.A.Column + " cannot be distinguished by any number of specimens",
			Hint: "plan of a strength without the terms that change with " + of.A.Column}
	}
	return planProblem(of, err)
}

// beside tells how many of the specimens are expected to fail so, and what the plan assumes.
func (b *breaksPilot) beside(own plan.Size) ([]page.Sentence, float64, error) {
	seen, first, second, err := b.model.Seen()
	if err != nil {
		return nil, 0, err
	}
	s := page.Say("About ", page.Num{Value: seen, Style: page.Fraction}, " of the specimens are expected to show it: "+b.called()+
		" in them, and the loads of the others are only lower bounds.")
	if b.model.OtherPlace == nil {
		s = page.Say("All specimens are taken to fail so: " + b.called() + ".")
	}
	out := []page.Sentence{s, page.Say("That is with the terms of " + b.name + " as they are beside each level here, and a " +
		"specimen's strength in one mode independent of its strength in the others.")}
	if b.model.Levels > 2 {
		out = append(out, page.Say("It is for the pair told least: "+b.pilot.names()[0]+" "+b.named[0][first]+
			" against "+b.named[0][second]+", taken to be like it but stronger."))
	}
	return out, seen, nil
}
