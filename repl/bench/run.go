package bench

import (
	"context"
	"reflect"

	"breakbook/models/parallel"
	"breakbook/repl/bench/doubting"
	"breakbook/repl/fits"
	"breakbook/repl/groups"
	"breakbook/repl/modes"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/pictures"
	"breakbook/repl/plans"
	"breakbook/repl/plans/blanks"
	"breakbook/repl/plans/judging"
	"breakbook/repl/series"
	"breakbook/repl/series/specimens"
	"breakbook/repl/session"
)

// handling is a handler with the struct of the command it carries out.
type handling struct {
	of  reflect.Type
	run session.Handler
}

// on makes a handler of a function that takes its command's own struct.
func on[C any](run func(*session.Call, *C) (*session.Outcome, error)) handling {
	return handling{reflect.TypeFor[*C](), func(k *session.Call) (*session.Outcome, error) {
		cmd, ok := k.Command.Do.(*C)
		if !ok {
			return nil, k.Unhandled()
		}
		return run(k, cmd)
	}}
}

// handlers has one function for each struct that the phrase table fills.
var handlers = byStruct(
	on(series.Open), on(series.ShowSeries), on(series.ShowResults), on(series.SwitchTo), on(series.Look),
	on(series.Rows), on(series.Mark), on(series.Unit), on(series.Treat), on(series.Levels), on(series.Merge),
	on(series.Rename), on(series.Convert), on(series.WorkOut), on(series.Band), on(series.Adjust),
	on(specimens.SetAside), on(specimens.BringBack), on(specimens.CheckSeries), on(specimens.Correct),
	on(specimens.ShowAside),
	on(series.Pool), on(series.PutBeside), on(series.PutBelow), on(series.CloseSeries), on(series.Forget),
	on(series.ReadCurves), on(series.Write), on(series.Calibrate),
	on(groups.Average), on(modes.CountModes), on(modes.Modes), on(groups.Check), on(fits.Fit), on(modes.Until),
	on(modes.OddsOf), on(fits.Anova), on(fits.Adjusted), on(fits.Drove), on(modes.Drove), on(groups.Comparison),
	on(fits.ShareOut), on(fits.Predict), on(fits.Rivals), on(groups.Agreement), on(groups.Characteristic),
	on(groups.Same),
	on(plans.PlanFor), on(judging.SoFar), on(plans.Sheet), on(blanks.Allot), on(blanks.Suggest), on(blanks.Separate),
	on(pictures.DrawCurves), on(pictures.DrawBy), on(modes.DrawModes), on(pictures.DrawAgainst),
	on(pictures.DrawResiduals), on(pictures.DrawEffects), on(pictures.DrawAdjusted), on(drawAll), on(pictures.SketchBy),
	on(pictures.SketchAgainst), on(fits.DrawShares), on(pictures.DrawGaps), on(modes.DrawUntil), on(plans.DrawChance),
	on(showResult), on(showCaution), on(prose), on(save), on(replay), on(report), on(again), on(againAll), on(undo),
	on(confidence), on(worth), on(setChalkPoint), on(seed), on(digits), on(askHelp), on(quit),
	asking[phrase.Resume](page.Resume), asking[phrase.ForgetJournal](page.ForgetJournal),
	asking[phrase.Learn](page.Learn), asking[phrase.Demo](page.Demo),
)

func byStruct(list ...handling) map[reflect.Type]session.Handler {
	out := map[reflect.Type]session.Handler{}
	for _, h := range list {
		out[h.of] = h.run
	}
	return out
}

// handlerOf is what carries out a command.
func handlerOf(k *session.Call, c *phrase.Command) session.Handler {
	if run, ok := k.Handlers[reflect.TypeOf(c.Do)]; ok {
		return func(k *session.Call) (*session.Outcome, error) {
			o, err := run(k)
			if err == nil {
				doubting.Note(k)
			}
			return o, err
		}
	}
	return func(k *session.Call) (*session.Outcome, error) { return nil, k.Unhandled() }
}

// carry carries out the command of a call.
func carry(k *session.Call) (*session.Outcome, error) { return handlerOf(k, k.Command)(k) }

// unbooked are the kinds of entry that stay out of the book: they ask about it or
// change it and would be noise in a replay or a report.
var unbooked = map[string]bool{"undo": true, "help": true, "save": true, "quit": true, "replay": true, "resume": true,
	"learn": true, "demo": true, "forget journal": true}

// Run carries out one command. The error, when there is one, is a *page.Problem, and
// the session is then the one that was given.
func Run(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
	return runBy(ctx, s, c, handlers)
}

// runBy is Run with what carries out each command.
func runBy(ctx context.Context, s *session.Session, c *phrase.Command,
	handlers map[reflect.Type]session.Handler) (*session.Session, page.Entry, error) {
	e := page.Entry{Number: s.Next(), Input: c.Input, Kind: c.Entry.Kind}
	k := &session.Call{Context: ctx, Session: s, Command: c, Entry: &e, Handlers: handlers}
	_, err := k.WorthAsked()
	if err == nil {
		err = k.NoResultAsFactor()
	}
	if err == nil {
		err = k.ChangeInFit()
	}
	var next *session.Session
	if err == nil {
		next, err = caught(k, handlerOf(k, c))
	}
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		p := k.Problem(withUnbrokenSaid(k, withMissingSaid(k, err)))
		e.Problem = p
		return s, e, p
	}
	booked := !unbooked[e.Kind] && !e.Whole
	if booked {
		next = next.Cautioned(&e)
	}
	return next.Booked(e, s, booked), e, nil
}

// caught performs the command; where its context ends within a loop that looks at it, that is
// the error.
func caught(k *session.Call, run session.Handler) (next *session.Session, err error) {
	defer parallel.Catch(&err)
	return perform(k, run)
}

// apply is the session that an outcome leaves: what it keeps is named, what it asked is counted.
func apply(k *session.Call, o *session.Outcome) (*session.Session, error) {
	if o == nil {
		return k.Session, nil
	}
	n := k.Session
	if o.Next != nil {
		n = o.Next
	}
	if a := o.Analysis; a != nil {
		if o.Tests {
			n = n.WithQuestion(k.Entry.Series, a.Response)
			k.Entry.Response = session.QuestionKey(k.Entry.Series, a.Response)
			k.Entry.LeftOut = a.Sample.LeftOut()
		}
		if mixes(k, a.Sample, a.Response, a.Columns) {
			n = n.WithNotice(k.Entry.Series, session.MixedModes)
		}
		if values := correctedIn(a.Sample); len(values) > 0 {
			n = n.WithNotice(k.Entry.Series, correctedKey(len(values)))
		}
	}
	if o.Keeps == nil {
		return n, nil
	}
	if o.Also != nil { // the other result, under the next name of its kind
		also := *o.Also
		also.Series, also.Specimens = k.Entry.Series, k.Entry.Specimens
		n, _ = n.Keeping(also, also.Command.Entry.Result)
	}
	r := *o.Keeps
	if as := named(k).Clauses().As; as != nil {
		if n.NameTaken(as.Text) {
			return nil, page.Refuse(page.CodeNameTaken, as.At, "the name "+as.Text+" is already taken",
				"choose another after `as`")
		}
		r.Name = as.Text
	}
	r.Kind, r.Series = k.Entry.Kind, k.Entry.Series
	r.Specimens = k.Entry.Specimens
	if r.Command == nil { // else one that makes it anew from what it was made of
		r.Command = k.Command
	}
	n, r = n.Keeping(r, k.Command.Entry.Result)
	k.Entry.Name = r.Name
	return n, nil
}
