package doubting

import (
	"slices"
	"sync"

	"breakbook/frames"
	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// inquire lays out the analysis for its checks.
func inquire(k *session.Call, o *session.Outcome, by Bench) (*inquiry, error) {
	q := &inquiry{k: k, by: by}
	q.plainAnswers = sync.OnceValue(q.unremedied)
	switch cmd := k.Command.Do.(type) {
	case *phrase.Fit, *phrase.Drove:
		f, ok := fitted.Of(*o.Keeps)
		if !ok {
			return nil, k.Unhandled()
		}
		typed, asked := cmd.(*phrase.Fit)
		if !asked { // the fit behind what drove a response
			if typed, ok = f.Command.Do.(*phrase.Fit); !ok {
				return nil, k.Unhandled()
			}
		}
		copied := *typed
		copied.As = nil
		q.fit, q.typed, q.factors = f, &copied, f.Columns()
		if c := o.Keeps.Command; c != nil {
			own, is := c.Do.(*phrase.Fit)
			q.drawnIn = is && own.Past != nil && !slices.ContainsFunc(own.Terms.List, ofSeries)
		}
		if !asked { // but for boards and days, which are only allowed for
			q.factors = slices.DeleteFunc(q.factors, func(c string) bool { return len(q.keysOf(c)) == 0 })
		}
		return q, nil
	case *phrase.Compare:
		switch of := cmd.Subject.(type) {
		case phrase.ByLevels:
			return q, q.plainly(of.Y, of.A.Column)
		case phrase.LevelsOfFit:
			q.factors = []string{of.A.Column}
			return q, q.named(of.Fit)
		case phrase.WithFigure:
			if of.A != nil {
				return q, q.plainly(of.Y, of.A.Column)
			}
			return q, q.plainly(of.Y)
		}
	case *phrase.Average:
		by := lists.Mapped(cmd.Categories(), func(c phrase.ColumnRef) string { return c.Column })
		return q, q.plainly(cmd.Y, by...)
	case *phrase.Predict:
		for _, g := range cmd.Given.List { // what a difference is told between
			if len(g.Values) > 1 {
				q.factors = append(q.factors, g.Column.Column)
			}
		}
		return q, q.named(cmd.Fit)
	case *phrase.Adjusted:
		q.factors = []string{cmd.A.Column}
		return q, q.named(cmd.Fit)
	case *phrase.Anova:
		return q, q.parted(cmd)
	case *phrase.Same:
		return q, q.plainly(cmd.Y, cmd.A.Column)
	case *phrase.Characteristic:
		switch of := cmd.Subject.(type) {
		case phrase.LimitsByLevels:
			return q, q.plainly(of.Y, of.A.Column)
		case phrase.LimitsOfFit: // of joints and not of differences: what is questioned are the specimens
			return q, q.named(of.Fit)
		}
	case *phrase.Plan:
		return q, q.planned(cmd, o)
	case *phrase.Until, *phrase.Odds:
		return q, q.ofMode()
	case *phrase.Agree:
		switch of := cmd.Subject.(type) {
		case phrase.AgreeEffect:
			return q, q.plainly(session.Plainly(k.Analysis.Response.Column.Name), of.A.Column, cmd.Series.Column)
		case phrase.AgreeMeasure:
			return q, q.plainly(of.Y, of.A.Column, cmd.Series.Column)
		}
	}
	return nil, k.Unhandled()
}

// plainly fits the response on the categories that it is compared by; of series that are taken
// together no difference is told.
func (q *inquiry) plainly(y phrase.Response, by ...string) (err error) {
	q.factors = by
	if q.k.Entry.Kind == "agree" {
		q.factors = by[:1]
	}
	q.typed = &phrase.Fit{Clauses: q.k.Scope(), OnTerms: phrase.OnTerms{Y: y, Terms: phrase.TermsOf(by)}}
	if len(by) == 0 {
		return nil // a fit without a term is none
	}
	for _, t := range fitted.CovariatesOf(q.k.Analysis.Sample.Whole, y) {
		if slices.Contains(q.k.Analysis.Columns, t.Factors[0].Column.Column) { // its slope was estimated too
			q.typed.Terms.List = append(q.typed.Terms.List, t)
		}
	}
	q.fit, err = q.fitted(q.typed)
	return err
}

// parted takes the fit that an anova parts, or makes it: its answers are those of the fit.
func (q *inquiry) parted(cmd *phrase.Anova) (err error) {
	switch of := cmd.Subject.(type) {
	case phrase.OfFit:
		err = q.named(of.Fit)
	case phrase.AnovaOnTerms:
		q.typed = &phrase.Fit{Clauses: q.k.Scope(), OnTerms: of.OnTerms, FitOptions: of.FitOptions}
		q.fit, err = q.fitted(q.typed)
	}
	if q.fit != nil {
		q.factors = q.fit.Columns()
	}
	return err
}

// named takes the fit that the command asks.
func (q *inquiry) named(n phrase.Name) error {
	r, _ := q.k.Session.Result(n.Text)
	f, ok := fitted.Of(r)
	if !ok {
		return q.k.Unhandled()
	}
	q.fit = f
	cmd, ok := f.Command.Do.(*phrase.Fit)
	if !ok {
		return nil // an anova fitted it: no line here fits it another way
	}
	q.typed = new(*cmd)
	q.typed.As, q.typed.From = nil, &phrase.Name{Text: r.Series}
	if r.Series == q.k.Session.Current() {
		q.typed.From = nil
	}
	return nil
}

// on is the analysis once more, on another fit: the commands that a person would type. What has no such
// command of its own on a fit is compared.
func (q *inquiry) on(f *phrase.Fit, name string) []any {
	named := *f
	named.As = &phrase.Name{Text: q.freeName(name)}
	fitName := phrase.Name{Text: named.As.Text}
	own := q.k.Command.Clauses()
	whole := phrase.Clauses{Confidence: own.Confidence, Worth: own.Worth, Per: own.Per}
	compared := func(a phrase.ColumnRef, c phrase.Clauses, against *phrase.LevelRef) []any {
		return []any{&named, &phrase.Compare{Clauses: c, Subject: phrase.LevelsOfFit{A: a, Fit: fitName},
			Against: against}}
	}
	switch cmd := q.k.Command.Do.(type) {
	case *phrase.Compare:
		again := *cmd
		again.Clauses, again.Ranked, again.Reshuffled, again.Times = whole, false, false, nil
		again.UnevenSpread = again.UnevenSpread && named.Blocks == nil && !named.UnevenSpread
		if _, figure := cmd.Subject.(phrase.WithFigure); figure {
			return nil
		}
		of, _ := phrase.Facet[phrase.Grouped](q.k.Command)
		again.Subject = phrase.LevelsOfFit{A: of.Categories()[0], Fit: fitName}
		return []any{&named, &again}
	case *phrase.Average:
		if cmd.B != nil {
			return nil
		}
		return compared(cmd.A, whole, nil)
	case *phrase.Same:
		return compared(cmd.A, phrase.Clauses{Worth: &cmd.Within}, cmd.Against)
	case *phrase.Characteristic:
		of, ok := cmd.Subject.(phrase.LimitsByLevels)
		if !ok {
			return nil
		}
		return compared(of.A, phrase.Clauses{Worth: whole.Worth}, nil) // the confidence is that of the limits
	case *phrase.Agree:
		switch of := cmd.Subject.(type) {
		case phrase.AgreeEffect:
			return compared(of.A, whole, &of.Against)
		case phrase.AgreeMeasure:
			return compared(of.A, whole, &of.Against)
		}
		return nil
	case *phrase.Predict:
		again := *cmd
		again.Clauses, again.Fit = whole, fitName
		return []any{&named, &again}
	case *phrase.Adjusted:
		again := *cmd
		again.Clauses, again.Fit = whole, fitName
		return []any{&named, &again}
	case *phrase.Plan:
		return planOn(cmd, &named, fitName)
	}
	return []any{f}
}

// withWorth is a fit whose answers are by the size worth having that the command named.
func (q *inquiry) withWorth(f *phrase.Fit) *phrase.Fit {
	with := *f
	with.Worth = q.worth()
	return &with
}

// worth is the size worth having that the command named, or its margin; nil for the series' own, which a price
// leaves as it is.
func (q *inquiry) worth() *phrase.Amount {
	if cmd, ok := q.k.Command.Do.(*phrase.Same); ok {
		return &cmd.Within
	}
	if own := q.k.Command.Clauses(); own.Per == nil {
		return own.Worth
	}
	return nil
}

// words are an answer in the words of the command; "" where an interval alone is the answer.
func (q *inquiry) words(g say.Gap) string {
	if g.Alone {
		return ""
	}
	if _, ok := q.k.Command.Do.(*phrase.Same); ok {
		return map[verdict.Answer]compare.Sameness{verdict.NoDifferenceWorth: compare.Same,
			verdict.DiffersLessThanWorth: compare.Same, verdict.Differs: compare.Different}[g.Answer].Key()
	}
	return g.Answer.Key()
}

// otherMethod reports whether the command tests by a method that its remedies, which are fits and their
// comparisons, do not use.
func (q *inquiry) otherMethod() bool {
	return q.ranked() || slices.Contains([]string{"same", "characteristic", "agree"}, q.k.Entry.Kind)
}

// ranked reports whether the command compares ranks, which no fit does.
func (q *inquiry) ranked() bool {
	cmd, compared := q.k.Command.Do.(*phrase.Compare)
	return compared && cmd.Ranked
}

// unremedied are the answers of the remedies' way with nothing remedied, so that what the way alone changes
// is not laid to a remedy; nil where the command judges as its remedies do.
func (q *inquiry) unremedied() []session.Answer {
	if !q.otherMethod() || q.typed == nil {
		return nil
	}
	list := q.on(q.typed, "plain")
	if list == nil {
		return nil
	}
	all, _ := q.run(list, toCompare) // none where it cannot be run
	return all
}

// inTheirWords turns the answers of a remedy into those that the command gives: the same within a
// margin is what makes no difference worth having, and different is what lies wholly outside it.
func (q *inquiry) inTheirWords(all []session.Answer) []session.Answer {
	if q.k.Entry.Kind != "same" {
		return all
	}
	margin := q.k.Analysis.Answers[0].Gap.Worth.Value
	out := slices.Clone(all)
	for i, a := range out {
		g := &out[i].Gap
		switch {
		case a.Gap.Answer == verdict.NoDifferenceWorth || a.Gap.Answer == verdict.DiffersLessThanWorth:
			g.Answer = verdict.NoDifferenceWorth
		case g.Range.Low > margin || g.Range.High < -margin:
			g.Answer = verdict.Differs
		default:
			g.Answer = verdict.CannotTell
		}
	}
	return out
}

// ofSeries reports whether a term is about which series a specimen is of.
func ofSeries(t phrase.Term) bool {
	return slices.ContainsFunc(t.Factors, func(f phrase.Factor) bool { return f.Column.Column == frames.SeriesColumn })
}
