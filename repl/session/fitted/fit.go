package fitted

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames/units"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// Of is the fit that a result keeps; ok is false where it keeps none.
func Of(r session.Result) (f *Fit, ok bool) {
	f, ok = r.Fit.(*Fit)
	return f, ok
}

// Named is an earlier fit; in a quiet rerun, and where a command is carried out again,
// on the specimens that take part now. A place that was found in it is held, and the entry says so.
func Named(k *session.Call, n phrase.Name) (*Fit, error) {
	f, err := Open(k, n)
	if err == nil && f.Change != nil {
		k.Entry.Warn(f.FixedPlaceNote("this answer"))
	}
	return f, err
}

// Open is Named for what leaves the place open that was found in the fit.
func Open(k *session.Call, n phrase.Name) (*Fit, error) {
	r, _ := k.Session.Result(n.Text)
	f, ok := Of(r)
	if !ok {
		return nil, k.Session.NoFit(n)
	}
	if k.Back != nil || k.Asked != nil { // on the specimens of its series that take part now
		c, earlier := f.Command.Copy(), f.Command
		c.Clauses().From = &phrase.Name{Text: r.Series}
		var err error
		again := &session.Call{Context: k.Context, Session: k.Session, Command: c, Entry: &page.Entry{}}
		if f, err = OfCommand(again); err != nil {
			return nil, err
		}
		f.Command = earlier
	}
	if err := f.otherUnits(k.Session, r, n); err != nil {
		return nil, err
	}
	k.Entry.Series = r.Series
	k.Entry.Specimens = new(f.Sample.Counts)
	return f, nil
}

// otherUnits refuses a fit with a column that is in another unit now: the sizes worth having, and all else that is read
// off the series, would be in that.
func (f *Fit) otherUnits(s *session.Session, r session.Result, n phrase.Name) error {
	was := map[string]string{f.Y.Column.Name: f.Y.Column.Unit.String()}
	for _, v := range f.Model().Variables {
		was[v.Name] = v.Unit
	}
	for _, name := range append([]string{f.Y.Column.Name}, f.Columns()...) {
		c, ok := s.Column(r.Series, name)
		if is := c.Unit.String(); ok && is != "" && was[name] != "" && is != was[name] {
			return page.Refuse(page.CodeOtherUnit, n.At, n.Text+" has "+name+" in "+was[name]+", and it is in "+is+
				" here", phrase.Try("again "+n.Text))
		}
	}
	return nil
}

// family is the words for the levels of one of the fit's variables, by their names.
func (f *Fit) family(variable int, names []string, cells []LevelWithin, partners Partners) *Family {
	v := f.Model().Variables[variable]
	fam := &Family{Response: f.Y, Measure: f.Y.Measure(), Unit: f.Y.Unit(), Factor: v.Name, LevelUnit: v.Unit,
		Logged: f.Y.Logged(), Probability: math.NaN(), OwnDF: f.Method.Uneven}
	fam.Block, _ = f.Between(variable)
	fam.Partners, fam.Names = partners, names
	for _, c := range cells {
		fam.setting = append(fam.setting, c.Within)
	}
	return fam
}

// Fit is a fit with what is needed to ask it things later. The embedded fit holds its
// figures, in whatever way it was fitted; by answers about its coefficients.
type Fit struct {
	*linear.Fit
	Estimator  linear.Estimator
	Method     Method
	ZeroWeight int // specimens left out because their weight is 0
	Sample     *session.Sample
	Y          *session.Response
	Command    *phrase.Command // that fitted it, to fit it again on other specimens
	Change     *Change         // of step(x) or kink(x), whose place was found; nil without one
}

// Combination and the others go to what the model was fitted by.
func (f *Fit) Combination(ctx context.Context, w []float64) (linear.Estimate, bool) {
	return f.Estimator.Combination(ctx, w)
}

func (f *Fit) Covariance(w [][]float64) [][]float64 { return f.Estimator.Covariance(w) }

func (f *Fit) Anova(ctx context.Context, a linear.Adjustment) (*linear.Anova, error) {
	return f.Estimator.Anova(ctx, a)
}

// OfCommand fits what the command asks to have fitted, whatever else it asks.
func OfCommand(k *session.Call) (*Fit, error) {
	switch cmd := k.Command.Do.(type) {
	case *phrase.Fit:
		if k.WorthFrom == nil || len(k.Back) > 0 {
			return OnTerms(k, cmd.OnTerms, cmd.FitOptions, cmd.Resistant)
		}
		return again(k, cmd)
	case *phrase.Anova:
		if on, ok := cmd.Subject.(phrase.AnovaOnTerms); ok {
			return OnTerms(k, on.OnTerms, on.FitOptions, false)
		}
	}
	return nil, k.Unhandled()
}

// again is what a quiet rerun fits, or fitted before by the same line but for its name.
func again(k *session.Call, cmd *phrase.Fit) (*Fit, error) {
	_, frame, err := k.Frame()
	if err != nil {
		return nil, err
	}
	plain := *cmd
	plain.As = nil
	line := phrase.Line(&plain)
	if made, ok := k.Session.Refit(frame, line); ok {
		f := made.(*Fit)
		k.NoteSample(f.Sample)
		return f, nil
	}
	f, err := OnTerms(k, cmd.OnTerms, cmd.FitOptions, cmd.Resistant)
	if err == nil {
		k.Session.KeepRefit(frame, line, f)
	}
	return f, err
}

// OnTerms fits a response on terms, in the ways wished.
func OnTerms(k *session.Call, on phrase.OnTerms, options phrase.FitOptions, resistant bool) (*Fit, error) {
	y, terms := on.Y, on.Terms
	b := session.FormulaOf(terms)
	if i := slices.Index(b.Columns, y.Column.Column); i >= 0 {
		return nil, page.Refuse(page.CodeResponseAmongTerms, terms.At, y.Column.Column+" cannot explain itself",
			"leave it out of the terms")
	}
	w, err := methodOf(options, resistant)
	if err == nil {
		err = w.bySeries(k)
	}
	if err == nil {
		err = w.check(y, b.Columns)
	}
	if err == nil {
		err = w.oneChange(terms, options.ThroughZero)
	}
	if err != nil {
		return nil, err
	}
	s, r, err := k.Measured(y, append(slices.Clone(b.Columns), w.columns()...)...)
	if err != nil {
		return nil, err
	}
	if err := w.knownSpread(k, r); err != nil {
		return nil, err
	}
	m := design.Model{Terms: b.Terms, ThroughZero: options.ThroughZero}
	zero := 0
	if w.Weight.Column != "" {
		if m.Weights, zero, err = weigh(k, s, w.Weight); err != nil {
			return nil, err
		}
		if r, err = k.ReadResponse(s, y); err != nil {
			return nil, err
		}
	}
	if m.Variables, err = s.Variables(k.Context, b.Columns); err != nil {
		return nil, err
	}
	change, err := seek(k, r.Values, &m)
	if err != nil {
		return nil, err
	}
	f, by, err := w.fit(k.Context, s, r.Values, m)
	if err != nil {
		return nil, err
	}
	out := &Fit{Fit: f, Estimator: by, Method: w, ZeroWeight: zero, Sample: s, Y: r, Command: k.Command, Change: change}
	if change != nil {
		if f.ExplainedUnseen, err = out.unseen(k.Context); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// With is the fit with more terms, of its own variables, on the same specimens.
func (f *Fit) With(ctx context.Context, terms ...design.Term) (*Fit, error) {
	m := f.Model()
	m.Terms = append(slices.Clone(m.Terms), terms...)
	more, by, err := f.Method.fit(ctx, f.Sample, f.Y.Values, m)
	if err != nil {
		return nil, err
	}
	out := *f
	out.Fit, out.Estimator = more, by
	return &out, nil
}

// ForFewBlocks is the same fit with intervals and tests that hold for few blocks too (mixed.SolveFew); the fit itself
// where it has no blocks.
func (f *Fit) ForFewBlocks(ctx context.Context) (*Fit, error) {
	if f.Method.Blocks == nil {
		return f, nil
	}
	few := *f
	few.Method.Few = true
	return few.With(ctx)
}

// FittedBy is the command that fitted it.
func (f *Fit) FittedBy() *phrase.Command { return f.Command }

func (f *Fit) Model() design.Model { return f.Matrix.Model }

// Columns are the columns of the terms.
func (f *Fit) Columns() []string {
	return lists.Mapped(f.Model().Variables, func(v design.Variable) string { return v.Name })
}

// Known are all columns the fit knows of: of the terms, the weight and the blocks.
func (f *Fit) Known() []string { return append(f.Columns(), f.Method.columns()...) }

// Title says which specimen the baseline is.
func (f *Fit) Title() page.Sentence {
	s := page.Say(f.Y.Name() + " on " + f.TermList() + f.Method.Said())
	m := f.Model()
	if m.ThroughZero {
		return append(s, page.Word(", through zero"))
	}
	before := "; baseline: "
	for i, v := range m.Variables {
		if v.IsCategory() {
			s = append(s, page.Word(before+v.Name+" "+v.Levels[slices.Min(v.Codes)]))
		} else {
			s = append(s, page.Say(before+v.Name+" ", page.In(f.Matrix.Centre[i], v.Unit))...)
		}
		before = ", "
	}
	return s
}

func (f *Fit) TermList() string { return session.Listed(f.TermNames()) }

func (f *Fit) TermNames() []string {
	return lists.Made(len(f.Model().Terms), func(i int) string { return session.TermName(f.Model(), i) })
}

// EffectUnit is the unit of a coefficient: of the baseline the response's; of any other that of the response's
// differences, per the units of the number factors that enter as they are or as a power.
func (f *Fit) EffectUnit(l design.Label) string {
	u := f.Y.Unit()
	if l.Term < 0 {
		return u
	}
	u = page.DifferenceUnit(u)
	m := f.Model()
	per := units.Unit{}
	for _, factor := range m.Terms[l.Term].Factors {
		v := m.Variables[factor.Variable]
		power := map[design.Function]float64{design.Identity: 1, design.Kink: 1, design.Abs: 1, design.Squared: 2,
			design.PowerOf: factor.Power}[factor.Function]
		own, ok := units.Parse(v.Unit)
		if v.IsCategory() || power == 0 || !ok {
			continue
		}
		raised, err := own, error(nil)
		if power != 1 {
			raised, err = units.PowSteps(own, power)
		}
		if err == nil && !per.None() {
			raised, err = units.MulSteps(per, raised)
		}
		if err != nil {
			return u
		}
		per = raised
	}
	if per.None() {
		return u
	}
	own, _ := units.Parse(f.Y.Unit())
	return page.DifferenceUnit(units.Per(own, per))
}

// DependentCautions name the terms that cannot be distinguished from others, and the levels
// that no specimen combines.
func (f *Fit) DependentCautions() []page.Sentence {
	var out []page.Sentence
	for _, c := range f.Coefficients {
		if !c.Dependent {
			continue
		}
		name := session.RowName(f.Model(), c.Label)
		if len(c.On) == 0 {
			out = append(out, page.Say(name+" has no specimen of its own and was left out."))
			continue
		}
		on := lists.Mapped(c.On, func(j int) string { return session.RowName(f.Model(), f.Coefficients[j].Label) })
		out = append(out, page.Say(name+" cannot be distinguished from "+strings.Join(on, " and ")+
			": in these specimens they always changed together. It was left out."))
	}
	if len(f.Matrix.Empty) > 0 {
		never := lists.Mapped(f.Matrix.Empty, func(l design.Label) string { return session.RowName(f.Model(), l) })
		out = append(out, page.Say("No specimen combines "+strings.Join(never, "; nor ")+", so nothing is said of it."))
	}
	return out
}
