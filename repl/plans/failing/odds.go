package failing

import (
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/odds"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// mostInflation is how many times the other terms swell the variance from which on a plan that is out of reach is for
// their sake: R² of 0.9, the bound that variance inflation is commonly judged by (common practice, no source).
const mostInflation = 10

// Pilot is the specimens of an earlier fit.
type Pilot struct {
	Name     string   // of the earlier result
	Columns  []string // that it was fitted on
	Sample   *session.Sample
	Response *session.Response
	Named    []string // the levels of the factor
}

// Odds is what a plan of earlier odds is calculated from.
type Odds struct {
	Pilot
	Model plan.Odds
}

// earlier is the call that fits an earlier result anew, on the specimens of its series that take part now.
func earlier(k *session.Call, n phrase.Name) (*session.Call, *phrase.Command, error) {
	r, ok := k.Session.Result(n.Text)
	if !ok || r.Command == nil {
		return nil, nil, page.Refuse(page.CodeUnknownResult, n.At, "there is no result named "+n.Text, "show results")
	}
	if own := k.Command.Clauses().For; own != nil {
		return nil, nil, page.Refuse(page.CodeTwoSamples, own.Place(), n.Text+
			" has its own specimens, and a plan of it goes by those", "leave the condition out, or fit again with it")
	}
	c := r.Command.Copy()
	c.Clauses().From = &phrase.Name{Text: r.Series}
	k.Entry.Series = r.Series
	return &session.Call{Context: k.Context, Session: k.Session, Command: c, Entry: &page.Entry{}, Back: k.Back,
		Handlers: k.Handlers}, c, nil
}

// levels reads the level of every specimen, and names them.
func (p *Pilot) levels(k *session.Call, by phrase.ColumnRef) (of []int, err error) {
	groups, err := k.Groups(p.Sample, make([]float64, p.Sample.Frame.Len()), by)
	if err != nil {
		return nil, err
	}
	if len(groups) < 2 {
		return nil, OneLevel(by)
	}
	p.Named, of = session.LevelCodes(groups, p.Sample.Frame.Len())
	return of, nil
}

// OneLevel is the problem of a factor with nothing to compare.
func OneLevel(by phrase.ColumnRef) *page.Problem {
	return page.Refuse(page.CodeTooFewLevels, by.At,
		by.Column+" has only one level among the specimens used, so there is nothing to compare", "")
}

// laidOut are the columns that a fit of a response on terms leaves independent, and which of them are of the factor
// and which of other terms; combined is the problem of a factor that is combined with another.
func (p *Pilot) laidOut(k *session.Call, y []float64, f session.Formula, by phrase.ColumnRef,
	combined func() error) (columns [][]float64, levels, others []int, err error) {
	v, err := p.Sample.Variables(k.Context, f.Columns)
	if err != nil {
		return nil, nil, nil, err
	}
	fit, err := linear.Solve(k.Context, y, design.Model{Variables: v, Terms: f.Terms})
	if err != nil {
		return nil, nil, nil, err
	}
	own := slices.Index(f.Columns, by.Column)
	at, columns := fit.Independent()
	for i, j := range at {
		term := fit.Matrix.Labels[j].Term
		if term < 0 {
			continue
		}
		factors := f.Terms[term].Factors
		switch of := slices.ContainsFunc(factors, func(x design.Factor) bool { return x.Variable == own }); {
		case of && len(factors) > 1:
			return nil, nil, nil, combined()
		case of:
			levels = append(levels, i)
		default:
			others = append(others, i)
		}
	}
	return columns, levels, others, nil
}

// unfit is the problem of an earlier result that these specimens cannot be fitted to.
func (p *Pilot) unfit(at int) *page.Problem {
	return page.Refuse(page.CodeNoPeak, at, p.Name+" could not be fitted to these specimens", "fit it again and look")
}

// picked are some of the columns.
func picked(columns [][]float64, at []int) (out [][]float64) {
	for _, j := range at {
		out = append(out, columns[j])
	}
	return out
}

// ReadOdds fits the earlier odds anew and reads the levels, the other terms and what they add.
func ReadOdds(k *session.Call, of phrase.PlanModes) (*Odds, error) {
	sub, c, err := earlier(k, *of.Odds)
	if err != nil {
		return nil, err
	}
	name := of.Odds.Text
	fit, ok := c.Do.(*phrase.Odds)
	if !ok {
		return nil, page.Refuse(page.CodeWrongKind, of.Odds.At, name+" is not a fit of odds", "")
	}
	one, ok := fit.Subject.(phrase.OneMode)
	if !ok || one.Mode.Column.Column != of.Mode.Column.Column ||
		session.ModeName(one.Mode) != session.ModeName(of.Mode) {
		return nil, page.Refuse(page.CodeOtherResponse, of.Mode.At, name+" is not about how often "+
			of.Mode.Column.Column+" is "+session.ModeName(of.Mode), "fit those odds first: "+
			phrase.Line(&phrase.Odds{
				Subject: phrase.OneMode{Mode: of.Mode}, Terms: fit.Terms}))
	}
	b := session.FormulaOf(fit.Terms)
	if !slices.Contains(b.Columns, of.A.Column) {
		return nil, page.Refuse(page.CodeNotInFit, of.A.At, of.A.Column+" is not in "+name,
			"plan of odds with "+of.A.Column+" among their terms")
	}
	s, err := sub.Broken(one.Mode.Column, session.NamedLevels(one.Mode), b.Columns...)
	if err != nil {
		return nil, err
	}
	k.Entry.Specimens, k.Taken = new(s.Counts), s
	ended, err := session.Where(k.Context, s.Frame, one.Mode)
	if err != nil {
		return nil, err
	}
	o := &Odds{Pilot: Pilot{Name: name, Columns: b.Columns, Sample: s, Response: s.Mode(of.Mode.Column.Column)}}
	if err := o.fit(k, b, ended, of); err != nil {
		return nil, err
	}
	o.Model.Level, err = o.levels(k, of.A)
	o.Model.Levels = len(o.Named)
	return o, err
}

// fit fits the odds and takes apart what the other terms add to them.
func (o *Odds) fit(k *session.Call, f session.Formula, ended []bool, of phrase.PlanModes) error {
	y := make([]float64, len(ended))
	data := odds.Sample{Mode: make([]int, len(ended)), Modes: 2}
	for i, is := range ended {
		if is {
			data.Mode[i] = 1
		}
		y[i] = float64(data.Mode[i])
	}
	var others []int
	var err error
	if data.Columns, _, others, err = o.laidOut(k, y, f, of.A, func() error {
		return page.Refuse(page.CodeCombined, of.A.At, "in "+o.Name+" "+of.A.Column+
			" is combined with another term, so there is no one share of a level to plan for",
			"plan of odds without the combined term")
	}); err != nil {
		return err
	}
	fit, err := odds.Solve(k.Context, data)
	if err != nil {
		return o.unfit(of.Odds.At)
	}
	o.Model.Offset, o.Model.Others = make([]float64, len(ended)), picked(data.Columns, others)
	for _, j := range others {
		for i, x := range data.Columns[j] {
			o.Model.Offset[i] += fit.Coefficients[0][j] * x
		}
	}
	return nil
}

// Problem puts an error of a plan of odds into words; one that is no matter of the odds comes back as it is.
func (o *Odds) Problem(of phrase.PlanModes, err error) error {
	together := plan.Because(err, "confounded")
	if plan.Because(err, "out-of-reach") {
		inflation, err := o.Model.Inflation()
		together = err == nil && inflation >= mostInflation
	}
	if !together {
		return err
	}
	return page.Refuse(page.Code(err.Error()), of.A.At, "with the other terms of "+o.Name+
		" as they are here, the levels of "+of.A.Column+
		" cannot be distinguished by any number of specimens that a workshop makes",
		"plan of odds without the terms that change with "+of.A.Column)
}

// Shown sets what the sizes would show, the first of them too small for the change planned for, by series drawn with
// the change that it does show.
func (o *Odds) Shown(ctx context.Context, sizes []plan.Size, seed uint64) error {
	larger, ok, err := o.Model.Shown(ctx, sizes[0].PerLevel, seed)
	if err != nil {
		return err
	}
	if !ok {
		sizes[0].Detectable = math.NaN()
		return nil
	}
	for i := range sizes {
		at, err := larger.At(sizes[i].PerLevel)
		if err != nil {
			return err
		}
		sizes[i].Detectable = at.Detectable
	}
	return nil
}

// Beside tells what the other terms do to the plan: the variance, the number with them balanced, and that of counts
// alone. The plan has n of each level.
func (o *Odds) Beside(cmd *phrase.Plan, n int, inflation float64) ([]page.Sentence, error) {
	s := page.Say("That is with the other terms of "+o.Name+" as they are beside each level here",
		page.If(inflation >= 1.05, ": with them in the fit, the variance of the difference between the levels is ",
			page.Num{Value: inflation, Style: page.Ratio}, " times that without"))
	if len(o.Model.Others) == 0 {
		s = page.Say(o.Name + " has no other terms")
	}
	if cmd.Blanks == nil && len(o.Model.Others) > 0 {
		balanced := o.Model
		balanced.Balanced = true
		if b, err := balanced.Least(); err == nil && b.PerLevel < n {
			s = page.Say(s, "; with every level made alike in them, ", b.PerLevel, " of each would do")
		}
	}
	s = append(s, page.Word("."))
	if cmd.Blanks != nil {
		return []page.Sentence{s}, nil
	}
	plain, err := plan.Shares{Levels: o.Model.Levels, From: o.Model.From, To: o.Model.To,
		Confidence: o.Model.Confidence, Wanted: o.Model.Wanted}.Least()
	var e *plan.Error
	if errors.As(err, &e) {
		return []page.Sentence{s,
			page.Say("By counts alone, without the fit, it would take more than a workshop can make.")}, nil
	}
	return []page.Sentence{s, page.Say("By counts alone, without the fit, it would be ", plain.PerLevel, " of each, ",
		plain.N, " in all.")}, err
}
