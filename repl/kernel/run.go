package kernel

import (
	"context"
	"reflect"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// call is one command at work: the session as it was and the entry being filled in.
type call struct {
	ctx context.Context
	s   *Session
	c   *phrase.Command
	e   *page.Entry
	all map[reflect.Type]handler // what carries out each command, by its struct

	analysis *analysis // what an analysis command was about; nil for the others
	back     []bool    // in a quiet rerun: the specimens of the series that are back

	asked *phrase.Command // the command typed, while it has an earlier one carried out again
}

// handler runs one command: it fills in the entry and returns the next session
// (nil: nothing changed but the book).
type handler func(*call) (*outcome, error)

// handling is a handler with the struct of the command it carries out.
type handling struct {
	of  reflect.Type
	run handler
}

// on makes a handler of a function that takes its command's own struct.
func on[C any](run func(*call, *C) (*outcome, error)) handling {
	return handling{reflect.TypeFor[*C](), func(k *call) (*outcome, error) {
		cmd, ok := k.c.Do.(*C)
		if !ok {
			return nil, k.unhandled()
		}
		return run(k, cmd)
	}}
}

// unhandled is for a command that nothing carries out: a slip in the program.
func (k *call) unhandled() *page.Problem {
	return &page.Problem{Code: "unknown-command", Message: "nothing carries out " + k.c.Entry.Name}
}

// handlers has one function for each struct that the phrase table fills.
var handlers = byStruct(
	on(open), on(showSeries), on(showResults), on(switchTo), on(look), on(rows), on(mark), on(unit), on(treat),
	on(levels), on(merge), on(rename), on(convert), on(workOut), on(band), on(setAside), on(bringBack),
	on(showAside), on(pool), on(lineUp), on(closeSeries), on(forget), on(readCurves), on(write), on(calibrate),
	on(average), on(countModes), on(modes), on(check), on(fit), on(until), on(oddsOf), on(anova), on(adjusted),
	on(comparison), on(shareOut), on(predict), on(rivals), on(agreement), on(characteristic), on(same),
	on(planFor), on(sheet), on(allot), on(suggest),
	on(drawCurves), on(drawBy), on(drawModes), on(drawAgainst), on(drawResiduals), on(drawEffects),
	on(drawAdjusted), on(drawAll), on(sketchBy), on(sketchAgainst), on(drawShares), on(drawUntil),
	on(drawChance),
	on(prose), on(save), on(replay), on(resume), on(forgetJournal), on(report), on(again), on(undo), on(ranges), on(worth), on(setChalkPoint),
	on(seed), on(digits), on(askHelp), on(quit),
)

func byStruct(list ...handling) map[reflect.Type]handler {
	out := map[reflect.Type]handler{}
	for _, h := range list {
		out[h.of] = h.run
	}
	return out
}

// handlerOf is what carries out a command.
func (k *call) handlerOf(c *phrase.Command) handler {
	if run, ok := k.all[reflect.TypeOf(c.Do)]; ok {
		return run
	}
	return func(k *call) (*outcome, error) { return nil, k.unhandled() }
}

// unbooked are the kinds of entry that stay out of the book: they ask about it or
// change it and would be noise in a replay or a report.
var unbooked = map[string]bool{"undo": true, "help": true, "save": true, "quit": true, "replay": true, "resume": true,
	"forget journal": true}

// Run carries out one command. The error, when there is one, is a *page.Problem, and
// the session is then the one that was given.
func Run(ctx context.Context, s *Session, c *phrase.Command) (*Session, page.Entry, error) {
	e := page.Entry{Number: s.Next(), Input: c.Input, Kind: c.Entry.Kind}
	k := &call{ctx: ctx, s: s, c: c, e: &e, all: handlers}
	_, err := k.worthAsked()
	var next *Session
	if err == nil {
		next, err = k.caught(k.handlerOf(c))
	}
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		p := k.problem(err)
		e.Problem = p
		return s, e, p
	}
	return next.booked(e, s, !unbooked[e.Kind]), e, nil
}

// caught performs the command; where its context ends within a loop that looks at it, that is
// the error.
func (k *call) caught(run handler) (next *Session, err error) {
	defer parallel.Catch(&err)
	return k.perform(run)
}

// frame is the series the command is about: the one named by `from`, else the current one.
func (k *call) frame() (string, *frames.Frame, error) {
	name := k.s.Current()
	at := 0
	if k.c.Clauses().From != nil {
		name, at = k.c.Clauses().From.Text, k.c.Clauses().From.At
	}
	f, ok := k.s.frame(name)
	if !ok {
		return "", nil, &page.Problem{Code: "no-series", Message: "no series is open", At: at, Hint: "open FILE.csv"}
	}
	k.e.Series = name
	return name, f, nil
}

// confidence is that of the ranges: the clause's, else the session's.
func (k *call) confidence() float64 {
	if c := k.c.Clauses().Confidence; c != nil {
		return c.Value
	}
	return k.s.Settings().Confidence
}

// apply is the session that an outcome leaves: what it keeps is named, what it asked is counted.
func (k *call) apply(o *outcome) (*Session, error) {
	if o == nil {
		return k.s, nil
	}
	n := k.s
	if o.next != nil {
		n = o.next
	}
	if a := o.analysis; a != nil {
		if o.tests {
			n = n.asked(k.e.Series, a.response)
		}
		if k.mixes(a.sample, a.response, a.columns) {
			n = n.toldOfModes(k.e.Series)
		}
	}
	if o.keeps == nil {
		return n, nil
	}
	r := *o.keeps
	if as := k.named().Clauses().As; as != nil {
		if n.taken(as.Text) {
			return nil, &page.Problem{Code: "name-taken", At: as.At,
				Message: "the name " + as.Text + " is already taken", Hint: "choose another after `as`"}
		}
		r.name = as.Text
	}
	r.kind, r.series = k.e.Kind, k.e.Series
	r.command, r.specimens = k.c, k.e.Specimens
	n, r = n.keeping(r, k.c.Entry.Result)
	k.e.Name = r.name
	return n, nil
}
