package doubting

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/verdict"
	"breakbook/repl/modes"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// ofMode lays out an analysis of one way of breaking, or of the odds of several, for its checks: they
// are made by its own likelihood, and its remedies are the same command with other terms.
func (q *inquiry) ofMode() error {
	own, err := q.likelihood(q.k.Command.Do)
	if err != nil {
		return err
	}
	q.mode, q.fit, q.more = own, own.Place, map[string]*modes.Likelihood{}
	q.factors = q.fit.Columns()
	return nil
}

// likelihood fits what a command about a mode asks for, quietly.
func (q *inquiry) likelihood(do any) (*modes.Likelihood, error) {
	return modes.LikelihoodOf(q.quietly(q.k.Session, unnamed(do)))
}

// unnamed is a copy of a command that gives its result no name of its own.
func unnamed(do any) any {
	c := (&phrase.Command{Do: do}).Copy()
	c.Clauses().As = nil
	return c.Do
}

// withTerms is a command about a mode with the terms that a function makes of its own.
func withTerms(do any, of func([]phrase.Term) []phrase.Term) any {
	do = unnamed(do)
	switch cmd := do.(type) {
	case *phrase.Until:
		var own []phrase.Term
		if cmd.Terms != nil {
			own = cmd.Terms.List
		}
		cmd.Terms = &phrase.Terms{List: of(slices.Clone(own))}
		if len(cmd.Terms.List) == 0 {
			cmd.Terms = nil
		}
	case *phrase.Odds:
		cmd.Terms = phrase.Terms{List: of(slices.Clone(cmd.Terms.List))}
	}
	return do
}

// withColumn is the fit of a mode with a column more, made once; nil where there is none.
func (q *inquiry) withColumn(column string) *modes.Likelihood {
	l, made := q.more[column]
	if !made {
		var err error
		if l, err = q.likelihood(withTerms(q.k.Command.Do, and(phrase.TermOf(column)))); err != nil {
			l = nil
		}
		q.more[column] = l
	}
	return l
}

// and adds terms.
func and(more ...phrase.Term) func([]phrase.Term) []phrase.Term {
	return func(own []phrase.Term) []phrase.Term { return append(own, more...) }
}

// modeCombination tries each factor of a fit of a mode together with each other column, in the fit or a
// property outside it: where the two together are clear, the answers within the levels of the other, or
// within the halves of a number, are asked for one by one.
func (q *inquiry) modeCombination() error {
	var all []trial
	for _, factor := range q.factors {
		for _, c := range append(slices.Clone(q.factors), q.candidates()...) {
			column, ok := q.fit.Sample.Frame.Column(c)
			if !ok || c == factor || len(column.Levels) > mostSplit || len(column.Levels) == 0 &&
				column.Kind != frames.Number ||
				combined(q.fit.Model(), slices.Index(q.fit.Columns(), factor), slices.Index(q.fit.Columns(), c)) {
				continue
			}
			base := q.mode
			if !slices.Contains(q.factors, c) {
				if base = q.withColumn(c); base == nil {
					continue
				}
			}
			with := withTerms(q.k.Command.Do, and(phrase.TermOf(factor, c)))
			if l, err := q.likelihood(with); err == nil {
				all = append(all, trial{about: []string{factor, c}, p: base.Added(q.k.Context, l)})
			}
		}
	}
	for _, t := range clear(all) {
		if err := q.holdTurned(t.about[0], t.about[1], t.p); err != nil {
			return err
		}
	}
	return nil
}

// mostSplit is the number of levels up to which a mode is asked about level by level.
const mostSplit = 6

// split is the levels that a mode is asked about one by one: a category's, or the halves of a number, which
// a command makes first, on the session after it.
func (q *inquiry) split(about string) (on *session.Session, by phrase.ColumnRef, levels []string, first []any,
	err error) {
	column, _ := q.fit.Sample.Frame.Column(about)
	if len(column.Levels) > 0 {
		return q.k.Session, phrase.ColumnRef{Column: about}, column.Levels, nil, nil
	}
	if from := q.k.Scope().From; from != nil && from.Text != q.k.Session.Current() {
		return nil, by, nil, nil, errNoLine // columns are made in the series in use
	}
	by.Column = q.freeColumn(about + "_half")
	halves := &phrase.Band{Clauses: phrase.Clauses{As: &phrase.Name{Text: by.Column}},
		Column: phrase.ColumnRef{Column: about}, Subject: phrase.BandInto{N: phrase.Count{Value: 2}}}
	if _, on, err = q.carry([]any{halves}, toTell); err != nil {
		return nil, by, nil, nil, err
	}
	f, ok := on.Frame(on.Current())
	if !ok {
		return nil, by, nil, nil, errNoLine
	}
	column, _ = f.Column(by.Column)
	return on, by, column.Levels, []any{halves}, nil
}

// holdTurned tells what a factor does with each level of another column, where an answer is another there.
func (q *inquiry) holdTurned(factor, about string, p float64) error {
	on, by, levels, list, err := q.split(about)
	if err != nil {
		return err
	}
	alone := withTerms(q.k.Command.Do, func(own []phrase.Term) []phrase.Term {
		return slices.DeleteFunc(own, func(one phrase.Term) bool {
			return slices.ContainsFunc(one.Factors, func(f phrase.Factor) bool { return f.Column.Column == about })
		})
	})
	text := page.Say("what "+factor+" does depends on "+about+" (", page.Chance(p), " for the two together).")
	var answers []verdict.Answer
	changed := false
	for _, level := range levels {
		k := q.quietly(on, alone)
		sub := k.ForLevel(k.Session, by, level, "")
		sub.Context, sub.Back, sub.WorthFrom = k.Context, k.Back, k.WorthFrom
		o, err := q.by.Carry(sub)
		if err != nil || o == nil || o.Analysis == nil {
			continue // too few broke so there
		}
		for _, a := range o.Analysis.Answers {
			was := slices.IndexFunc(q.k.Analysis.Answers, func(w session.Answer) bool { return w.Key == a.Key })
			if was < 0 || !concerns(a.Key, factor) {
				continue
			}
			changed = changed || opposed(q.k.Analysis.Answers[was].Gap, a.Gap)
			text = say.After(append(text, page.Word(" With "+about+" "+level+": ")), a.Finding)
			answers = append(answers, a.Gap.Answer)
			break
		}
	}
	if !changed {
		return nil
	}
	(&phrase.Command{Do: alone}).Clauses().Each = &by
	q.addDoubt(page.Doubt{Code: "combination", About: factor + " with " + about, Text: text,
		AnswerThen: say.Overall(answers).Key(), Try: line(append(list, alone)), Of: q.keysOf(factor)})
	return nil
}

// distribution takes the other of the two distributions of a strength: where these breaks do not clearly
// speak against it (its AICc less than 2 higher: Burnham & Anderson 2002, Model Selection and Multimodel
// Inference, 2.6) and it does not bear out an answer that settles the question, that is in doubt.
func (q *inquiry) distribution() error {
	cmd, ok := q.k.Command.Do.(*phrase.Until)
	if !ok {
		return nil
	}
	other := *cmd
	other.Scatter = phrase.Scatter{Weibull: cmd.Scatter.Lognormal, Lognormal: !cmd.Scatter.Lognormal}
	do := unnamed(&other)
	l, err := q.likelihood(do)
	if err != nil {
		return err
	}
	higher := 2 * (q.mode.Log - l.Log) // AICc: the two have as many parameters
	if !(higher < 2) {
		return nil
	}
	settled := func(was, _ say.Gap) bool { return was.Answer != verdict.CannotTell }
	keys, then, err := q.changed([]any{do}, settled, nil)
	if err != nil || len(keys) == 0 {
		return err
	}
	suits := "as well as"
	if higher <= -2 {
		suits = "better than"
	}
	text := page.Say("the answer depends on the " + q.mode.Scatter + " distribution. With the " + l.Scatter +
		" one, which suits these breaks " + suits + " that: ")
	q.addDoubt(page.Doubt{Code: "distribution", About: "distribution", Text: say.After(text, then.Finding),
		AnswerThen: then.Gap.Answer.Key(), Try: phrase.Line(do), Of: keys})
	return nil
}

// modeBlocks asks the same of least squares, which know of boards: of the logarithm of the load, or of
// whether a joint broke so as 1 or 0, with the boards and without. Where these part, or the boards
// make the interval longer by a quarter, and the answer with boards is another than was told, it is in doubt.
func (q *inquiry) modeBlocks() error {
	all := q.ignored()
	if len(all) == 0 || q.allIn("one-block") {
		return nil
	}
	held := q.heldIn("one-block")
	finest := finest(all)
	for _, factor := range q.factors {
		plain, ending := q.bySquares(factor, nil)
		with, _ := q.bySquares(factor,
			&phrase.Blocks{List: []phrase.BlockRef{finest.Ref}})
		if plain == nil {
			if err := q.alikeInBlocks(finest, factor); err != nil {
				return err
			}
			continue
		}
		before, err := q.run(plain, toCompare)
		if err != nil {
			continue
		}
		now, err := q.run(with, toTell)
		if err != nil {
			if err := q.alikeInBlocks(finest, factor); err != nil {
				return err
			}
			continue
		}
		q.known = true
		var keys []string
		var then session.Answer
		for i, a := range now {
			was := slices.IndexFunc(q.k.Analysis.Answers, func(w session.Answer) bool { return w.Key == a.Key+ending })
			if was < 0 || i >= len(before) || before[i].Key != a.Key || slices.Contains(held, a.Key+ending) ||
				a.Gap.Answer == q.k.Analysis.Answers[was].Gap.Answer {
				continue
			}
			longer := (a.Gap.Range.High - a.Gap.Range.Low) / (before[i].Gap.Range.High - before[i].Gap.Range.Low)
			if a.Gap.Answer != before[i].Gap.Answer || longer > 1.25 {
				keys, then = append(keys, a.Key+ending), a
			}
		}
		if len(keys) > 0 {
			text := page.Say("specimens of one "+finest.Column+" are alike; allowing for ", finest.N,
				" values of "+finest.Column+" by least squares: ")
			q.addDoubt(page.Doubt{Code: "blocks", About: finest.Column, Text: say.After(text, then.Finding),
				AnswerThen: then.Gap.Answer.Key(), Try: line(with), Of: keys})
		}
	}
	return nil
}

// bySquares compares the levels of a category by least squares, in blocks where some are given: the
// commands that a person types, and what a key of the command's own answers has at its end beside theirs.
func (q *inquiry) bySquares(factor string, blocks *phrase.Blocks) (list []any, ending string) {
	if column, _ := q.fit.Sample.Frame.Column(factor); len(column.Levels) == 0 {
		return nil, ""
	}
	name := "by_squares"
	if blocks != nil {
		name = "by_" + blocks.List[0].Column.Column
	}
	fit := &phrase.Fit{Clauses: q.k.Scope(), FitOptions: phrase.FitOptions{Blocks: blocks}}
	fit.As = &phrase.Name{Text: q.freeName(name)}
	if s := q.k.Analysis.Sample; len(s.Unbroken) > 0 {
		fit.For = session.OnlyBroken(fit.For, s.Whole, q.k.Analysis.Response.Column.Name)
	}
	compared := &phrase.Compare{Clauses: phrase.Clauses{Confidence: q.k.Command.Clauses().Confidence,
		Worth: q.k.Command.Clauses().Worth},
		Subject: phrase.LevelsOfFit{A: phrase.ColumnRef{Column: factor}, Fit: *fit.As}}
	switch cmd := q.k.Command.Do.(type) {
	case *phrase.Until:
		if cmd.Terms == nil {
			return nil, ""
		}
		fit.Y, fit.Terms = cmd.Y, *cmd.Terms
		fit.Y.Function = "ln"
		return []any{fit, compared}, ""
	case *phrase.Odds:
		of, one := cmd.Subject.(phrase.OneMode)
		share, err := q.k.WorthAsked()
		if !one || err != nil || fit.From != nil && fit.From.Text != q.k.Session.Current() {
			return nil, ""
		}
		y := q.freeColumn("was_" + plainWord(strings.ReplaceAll(session.ModeName(of.Mode), " ", "_")))
		number := func(x float64) phrase.Expression { return phrase.Constant{Value: phrase.Amount{Value: x}} }
		fit.Y, fit.Terms = session.Plainly(y), cmd.Terms
		if size := math.Max(share.Share, share.Amount/100); size > 0 {
			compared.Worth = &phrase.Amount{Value: size}
		}
		return []any{&phrase.WorkOut{Name: phrase.Text{Text: y}, Expression: phrase.Choose{If: of.Mode, Then: number(1),
			Otherwise: number(0)}}, fit, compared}, "; " + session.ModeName(of.Mode)
	}
	return nil, ""
}
