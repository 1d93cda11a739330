package plans

import (
	"errors"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/odds"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// oddsPilot is what a plan of earlier odds is calculated from.
type oddsPilot struct {
	*pilot
	name      string
	columns   []string // that the odds were fitted on
	model     plan.Odds
	inflation float64
}

// earlier is the call that fits an earlier result anew, on the specimens of its series that take part now.
func earlier(k *session.Call, n phrase.Name) (*session.Call, *phrase.Command, error) {
	r, ok := k.Session.Result(n.Text)
	if !ok || r.Command == nil {
		return nil, nil, &page.Problem{Code: "unknown-result", At: n.At, Message: "there is no result named " + n.Text,
			Hint: "show results"}
	}
	if own := k.Command.Clauses().For; own != nil {
		return nil, nil, &page.Problem{Code: "two-samples", At: own.Place(), Message: n.Text +
			" has its own specimens, and a plan of it goes by those", Hint: "leave the condition out, or fit again with it"}
	}
	c := r.Command.Copy()
	if r.Command.Entry.Kind != "again" && c.Clauses() != nil {
		c.Clauses().From = &phrase.Name{Text: r.Series}
	}
	k.Entry.Series = r.Series
	return &session.Call{Context: k.Context, Session: k.Session, Command: c, Entry: &page.Entry{}, Back: k.Back,
		Handlers: k.Handlers}, c, nil
}

// planOdds plans for a change of the share of a failure mode, judged by a fit of its odds with its other terms.
func planOdds(k *session.Call, cmd *phrase.Plan, of phrase.PlanModes) (*session.Outcome, error) {
	o, err := readOdds(k, of)
	if err != nil {
		return nil, err
	}
	o.model.From, o.model.To, o.model.Confidence, o.model.Wanted = of.From.Value, of.To.Value, k.Confidence(), wanted(cmd)
	seed := k.Session.Settings().Seed
	if cmd.Blanks == nil {
		o.model, err = o.model.TriedLeast(k.Context, seed)
	} else if n := cmd.Blanks.Value / o.model.Levels; n >= 2 {
		o.model, err = o.model.Tried(k.Context, n, seed)
	}
	if err != nil {
		return nil, o.problem(of, err)
	}
	sizes, err := sizes(k, cmd, o.model, o.model.Levels, 1)
	if err != nil {
		return nil, err
	}
	if o.inflation, err = o.model.Inflation(); err != nil {
		return nil, o.problem(of, err)
	}
	load := k.Session.RoleColumn(o.sample.Series, "load")
	what := func(c frames.Column) page.Sentence {
		return shifting(c.Name+" is "+session.ModeName(of.Mode), o.model.From, o.model.To)
	}
	o.blocks.count(o.pilot, sizes)
	finding := say.Plan{What: what(o.response.Medians()), Factors: o.called(), Wanted: o.model.Wanted, SD: math.NaN(),
		HighSD: math.NaN(), Blocks: o.blocks.single(o.pilot)}
	out, err := bookPlan(k, cmd, o.pilot, sizes, finding, planTableOf(o.model.Levels == 2),
		session.Plan{Response: load, Factors: o.pilot.names(), Levels: o.named, Mode: of.Mode.Column.Column,
			PerLevel: sizes[0].PerLevel, Blocks: o.blocks.singles(), Model: o.model,
			Of: o.response.Column, Aim: what})
	if err != nil || k.Back != nil {
		return out, err
	}
	out.Analysis.Columns = append(out.Analysis.Columns, o.columns...)
	told, err := o.beside(cmd, sizes[0].PerLevel)
	if err != nil {
		return nil, err
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, told...)
	k.Entry.Values = append(k.Entry.Values, page.ValuesOf(oddsPlanFigures{o.inflation}, nil)...)
	return out, nil
}

// oddsPlanFigures are the figures of a plan of earlier odds.
type oddsPlanFigures struct {
	Inflation float64 `id:"inflation" style:"ratio" label:"variance beside that without the other terms"`
}

// readOdds fits the earlier odds anew and reads the levels, the other terms and what they add.
func readOdds(k *session.Call, of phrase.PlanModes) (*oddsPilot, error) {
	sub, c, err := earlier(k, *of.Odds)
	if err != nil {
		return nil, err
	}
	name := of.Odds.Text
	fit, ok := c.Do.(*phrase.Odds)
	if !ok {
		return nil, &page.Problem{Code: "wrong-kind", At: of.Odds.At, Message: name + " is not a fit of odds"}
	}
	one, ok := fit.Subject.(phrase.OneMode)
	if !ok || one.Mode.Column.Column != of.Mode.Column.Column ||
		session.ModeName(one.Mode) != session.ModeName(of.Mode) {
		return nil, &page.Problem{Code: "other-response", At: of.Mode.At, Message: name + " is not about how often " +
			of.Mode.Column.Column + " is " + session.ModeName(of.Mode), Hint: "fit those odds first: " + phrase.Line(&phrase.Odds{
			Subject: phrase.OneMode{Mode: of.Mode}, Terms: fit.Terms})}
	}
	b := session.FormulaOf(fit.Terms)
	if !slices.Contains(b.Columns, of.A.Column) {
		return nil, &page.Problem{Code: "not-in-fit", At: of.A.At, Message: of.A.Column + " is not in " + name,
			Hint: "plan of odds with " + of.A.Column + " among their terms"}
	}
	s, err := sub.Sample(append(slices.Clone(b.Columns), of.Mode.Column.Column)...)
	if err != nil {
		return nil, err
	}
	counts := s.Counts
	k.Entry.Specimens, k.Taken = &counts, s
	ended, err := session.Where(k.Context, s.Frame, one.Mode)
	if err != nil {
		return nil, err
	}
	v, err := s.Variables(k.Context, b.Columns)
	if err != nil {
		return nil, err
	}
	g := &pilot{sample: s, response: s.Mode(of.Mode.Column.Column), factors: []phrase.ColumnRef{of.A}}
	o := &oddsPilot{pilot: g, name: name, columns: b.Columns}
	if err := o.fit(k, design.Model{Variables: v, Terms: b.Terms}, ended, of); err != nil {
		return nil, err
	}
	groups, err := k.Groups(s, make([]float64, s.Frame.Len()), of.A)
	if err != nil {
		return nil, err
	}
	if len(groups) < 2 {
		return nil, oneLevel(of.A)
	}
	o.model.Levels, o.model.Level = len(groups), make([]int, s.Frame.Len())
	for l, one := range groups {
		for _, row := range one.Rows {
			o.model.Level[row] = l
		}
	}
	g.levels, g.named = []int{len(groups)}, [][]string{levelNames(groups)}
	g.blocks, _, err = g.arranged(k.Context)
	return o, err
}

// fit fits the odds and takes apart what the other terms add to them.
func (o *oddsPilot) fit(k *session.Call, m design.Model, ended []bool, of phrase.PlanModes) error {
	own := slices.IndexFunc(m.Variables, func(v design.Variable) bool { return v.Name == of.A.Column })
	y := make([]float64, len(ended))
	data := odds.Sample{Mode: make([]int, len(ended)), Modes: 2}
	for i, is := range ended {
		if is {
			y[i], data.Mode[i] = 1, 1
		}
	}
	f, err := linear.Solve(k.Context, y, m)
	if err != nil {
		return err
	}
	var others []int // of the columns fitted, those of other terms
	for j, c := range f.Coefficients {
		if c.Dependent {
			continue
		}
		data.Columns = append(data.Columns, f.Matrix.Columns[j])
		if t := f.Matrix.Labels[j].Term; t >= 0 {
			with := slices.ContainsFunc(m.Terms[t].Factors, func(p design.Factor) bool { return p.Variable == own })
			if with && len(m.Terms[t].Factors) > 1 {
				return &page.Problem{Code: "combined", At: of.A.At, Message: "in " + o.name + " " + of.A.Column +
					" is combined with another term, so there is no one share of a level to plan for",
					Hint: "plan of odds without the combined term"}
			}
			if !with {
				others = append(others, len(data.Columns)-1)
			}
		}
	}
	fit, err := odds.Solve(k.Context, data)
	if err != nil {
		return &page.Problem{Code: "no-peak", At: of.Odds.At, Message: o.name + " could not be fitted to these specimens",
			Hint: "fit it again and look"}
	}
	o.model.Offset = make([]float64, len(ended))
	for _, j := range others {
		o.model.Others = append(o.model.Others, data.Columns[j])
		for i, x := range data.Columns[j] {
			o.model.Offset[i] += fit.Coefficients[0][j] * x
		}
	}
	return nil
}

// problem puts an error of a plan of odds into words.
func (o *oddsPilot) problem(of phrase.PlanModes, err error) error {
	var e *plan.Error
	if errors.As(err, &e) && e.Code == "confounded" {
		return &page.Problem{Code: e.Code, At: of.A.At, Message: "with the other terms of " + o.name + " as they are here, the " +
			"levels of " + of.A.Column + " cannot be distinguished by any number of specimens",
			Hint: "plan of odds without the terms that change with " + of.A.Column}
	}
	return planProblem(of, err)
}

// beside tells what the other terms do to the plan: the variance, the number with them balanced, and that of counts
// alone. The plan has n of each level.
func (o *oddsPilot) beside(cmd *phrase.Plan, n int) ([]page.Sentence, error) {
	var out []page.Sentence
	s := page.Say("That is with the other terms of " + o.name + " as they are beside each level here")
	if len(o.model.Others) == 0 {
		s = page.Say(o.name + " has no other terms")
	} else if o.inflation >= 1.05 {
		s = append(s, page.Say(": with them in the fit, the variance of the difference between the levels is ",
			page.Num{Value: o.inflation, Style: page.Ratio}, " times that without")...)
	}
	if cmd.Blanks == nil && len(o.model.Others) > 0 {
		balanced := o.model
		balanced.Balanced = true
		if b, err := balanced.Least(); err == nil && b.PerLevel < n {
			s = append(s, page.Say("; with every level made alike in them, ", b.PerLevel, " of each would do")...)
		}
	}
	out = append(out, append(s, page.Word(".")))
	if cmd.Blanks != nil {
		return out, nil
	}
	plain, err := plan.Shares{Levels: o.model.Levels, From: o.model.From, To: o.model.To, Confidence: o.model.Confidence,
		Wanted: o.model.Wanted}.Least()
	var e *plan.Error
	switch {
	case errors.As(err, &e):
		out = append(out, page.Say("By counts alone, without the fit, it would take more than a workshop can make."))
	case err != nil:
		return nil, err
	default:
		out = append(out, page.Say("By counts alone, without the fit, it would be ", plain.PerLevel, " of each, ", plain.N,
			" in all."))
	}
	return out, nil
}
