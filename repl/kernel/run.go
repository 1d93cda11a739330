package kernel

import (
	"context"

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
	all map[string]handler // what carries out each entry of the phrase table

	analysis *analysis // what an analysis command was about; nil for the others
	back     []bool    // in a quiet rerun: the specimens of the series that are back

	asked *phrase.Command // the command typed, while it has an earlier one carried out again
}

// handler runs one command: it fills in the entry and returns the next session
// (nil: nothing changed but the book).
type handler func(*call) (*Session, error)

// handlers has one function for each entry of the phrase table, by its Name.
var handlers = map[string]handler{
	"open":           open,
	"show series":    showSeries,
	"show results":   showResults,
	"switch":         switchTo,
	"look":           look,
	"rows":           rows,
	"mark":           mark,
	"unit":           unit,
	"treat":          treat,
	"levels":         levels,
	"merge":          merge,
	"rename":         rename,
	"convert":        convert,
	"work out":       workOut,
	"band into":      bandInto,
	"band at":        bandAt,
	"set aside":      setAside,
	"bring back":     bringBack,
	"show aside":     showAside,
	"pool":           pool,
	"line up":        lineUp,
	"close":          closeSeries,
	"forget":         forget,
	"read curves":    readCurves,
	"write":          write,
	"calibrate":      calibrate,
	"draw curves":    drawCurves,
	"average":        average,
	"count":          countModes,
	"modes":          modes,
	"check":          checkBy,
	"check of":       checkOf,
	"fit":            fit,
	"until":          until,
	"odds":           oddsOf,
	"odds all":       oddsAll,
	"anova of":       anovaOf,
	"anova":          anova,
	"adjusted":       adjusted,
	"compare":        compareRaw,
	"compare of":     compareOf,
	"compare with":   compareFigure,
	"share out of":   shareOutOf,
	"share out mode": shareOutMode,
	"share out":      shareOut,
	"predict":        predict,
	"rivals":         rivals,
	"agree":          agree,
	"agree effect":   agreeEffect,
	"agree measure":  agreeEffect,
	"characteristic": characteristic,
	"same":           same,
	"plan":           planMeans,
	"plan mode":      planShares,
	"plan limit":     planLimit,
	"sheet":          sheet,
	"allot":          allot,
	"suggest":        suggest,
	"draw by":        drawBy,
	"draw modes":     drawModes,
	"draw against":   drawAgainst,
	"draw residuals": drawResiduals,
	"draw effects":   drawEffects,
	"draw adjusted":  drawAdjusted,
	"draw all":       drawAll,
	"sketch by":      sketchBy,
	"sketch against": sketchAgainst,
	"draw shares":    drawShares,
	"draw until":     drawUntil,
	"draw chance":    drawChance,
	"note":           prose,
	"heading":        prose,
	"save":           save,
	"replay":         replay,
	"resume":         resume,
	"forget journal": forgetJournal,
	"report":         report,
	"again":          again,
	"undo":           undo,
	"ranges":         ranges,
	"worth":          worth,
	"chalk point":    setChalkPoint,
	"seed":           seed,
	"digits":         digits,
	"help":           help,
	"quit":           quit,
}

// unbooked are the kinds of entry that stay out of the book: they ask about it or
// change it and would be noise in a replay or a report.
var unbooked = map[string]bool{"undo": true, "help": true, "save": true, "quit": true, "replay": true, "resume": true,
	"forget journal": true}

// Run carries out one command. The error, when there is one, is a *page.Problem, and
// the session is then the one that was given.
func Run(ctx context.Context, s *Session, c *phrase.Command) (*Session, page.Entry, error) {
	e := page.Entry{Number: s.next, Input: c.Input, Kind: c.Entry.Kind}
	k := &call{ctx: ctx, s: s, c: c, e: &e, all: handlers}
	run, ok := handlers[c.Entry.Name]
	if !ok {
		return s, e, &page.Problem{Code: "unknown-command", Message: "nothing carries out " + c.Entry.Name}
	}
	_, err := k.worthAsked()
	var next *Session
	if err == nil {
		next, err = k.caught(run)
	}
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		p := k.problem(err)
		e.Problem = p
		return s, e, p
	}
	if next == nil {
		next = s
	}
	n := next.clone()
	n.next = s.next + 1
	if !unbooked[e.Kind] {
		n.entries = n.entries.with(e)
		n.before = s
	}
	return n, e, nil
}

// caught performs the command; where its context ends within a loop that looks at it, that is
// the error.
func (k *call) caught(run handler) (next *Session, err error) {
	defer parallel.Catch(&err)
	return k.perform(run)
}

// column and the other getters read a slot that the phrase table promises.
func (k *call) column(slot string) phrase.ColumnRef {
	r, _ := k.c.Slots[slot].(phrase.ColumnRef)
	return r
}

func (k *call) has(slot string) bool { return k.c.Slots[slot] != nil }

func (k *call) choice(slot string) string {
	w, _ := k.c.Slots[slot].(phrase.Choice)
	return w.Word
}

func (k *call) text(slot string) string {
	t, _ := k.c.Slots[slot].(phrase.Text)
	return t.Text
}

func (k *call) file(slot string) phrase.File {
	f, _ := k.c.Slots[slot].(phrase.File)
	return f
}

// frame is the series the command is about: the one named by `from`, else the current one.
func (k *call) frame() (string, *frames.Frame, error) {
	name := k.s.current
	at := 0
	if k.c.Clauses.From != nil {
		name, at = k.c.Clauses.From.Text, k.c.Clauses.From.At
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
	if c := k.c.Clauses.Confidence; c != nil {
		return c.Value
	}
	return k.s.settings.Confidence
}

// book names the result and adds it to the session.
func (k *call) book(s *Session, r result) (*Session, error) {
	n := s.clone()
	if as := k.named().Clauses.As; as != nil {
		if k.back == nil && s.taken(as.Text) { // a rerun with specimens back is not kept
			return nil, &page.Problem{Code: "name-taken", At: as.At,
				Message: "the name " + as.Text + " is already taken", Hint: "choose another after `as`"}
		}
		r.name = as.Text
	} else {
		r.name = s.nameFor(k.c.Entry.Result)
		n.named[k.c.Entry.Result]++
	}
	r.kind = k.e.Kind
	r.series = k.e.Series
	r.command, r.specimens = k.c, k.e.Specimens
	k.e.Name = r.name
	n.results = n.results.with(r)
	return n, nil
}
