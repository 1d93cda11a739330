package groups

import (
	"slices"

	limit "breakbook/models/limits"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// differences compares the levels by what the share exceeds: each with each that has a limit.
func (t *limitTeller) differences(r *session.Response, groups []session.Group) error {
	with := 0
	for _, l := range t.list {
		if l.None == limit.Given && l.N >= limit.Fewest {
			with++
		}
	}
	if with > limit.MostCompared {
		t.k.Entry.Findings = append(t.k.Entry.Findings,
			page.Say("Over ", limit.MostCompared, " levels are not compared each with each; keep some of them with `for`."))
		return nil
	}
	if t.o.Method == limit.Ranked || with < 2 {
		return nil
	}
	w, err := t.k.WorthOf(r)
	if err != nil {
		return err
	}
	settings := t.k.Session.Settings()
	c := limit.Comparing{Confidence: settings.Confidence, Worth: w.Value, Seed: settings.Seed, Progress: t.k.Progress()}
	var limits []limit.Limit
	for _, l := range t.list {
		limits = append(limits, l.Limit)
	}
	all, err := limit.Differences(t.k.Context, limits, t.o, c)
	if err != nil || len(all) == 0 {
		return err
	}
	var rows []limitDifferenceRow
	for _, d := range all {
		rows = append(rows, limitDifferenceRow{t.list[d.First].level, t.list[d.Second].level, d.Value, d.Low, d.High,
			d.Answer.Key()})
	}
	note := page.Say("difference: what ", t.share(), " of joints exceed, as estimated, second less first; low and high: ",
		page.Num{Value: c.Confidence, Style: page.Fraction}, " interval")
	if len(all) > 1 {
		note = append(note, page.Word(", adjusted for comparing all pairs (Bonferroni)"))
	}
	if t.blocks.ref != nil {
		note = append(note, page.Word("; where levels share only some values of "+t.blocks.ref.Name()+", the interval is "+
			"rather too wide"))
	}
	table := page.Table{ID: "differences", Title: page.Say("Levels compared by what ", t.share(), " of joints exceed"),
		Note: note}
	t.k.Entry.Tables = append(t.k.Entry.Tables, page.Filled(table, rows, page.Names{"y": t.unit}))
	t.k.Entry.Findings = append(t.k.Entry.Findings, t.clearest(all, c.Confidence, w.Said))
	return nil
}

// clearest tells the difference that is clearest, with the answer of all of them.
func (t *limitTeller) clearest(all []limit.Difference, confidence float64, worth say.Worth) page.Sentence {
	d := slices.MaxFunc(all, func(a, b limit.Difference) int {
		if a.Clear < b.Clear {
			return -1
		}
		return 1
	})
	with, than, value, low, high := t.list[d.Second], t.list[d.First], d.Value, d.Low, d.High
	if value < 0 {
		with, than, value, low, high = than, with, -value, -high, -low
	}
	answers := make([]verdict.Answer, len(all))
	for i, one := range all {
		answers[i] = one.Answer
	}
	half := (high - low) / 2
	s := page.Say("What ", t.share(), " of joints exceed is about ", page.Num{Value: value, Unit: t.unit,
		Resolution: half},
		" more with "+with.called+" than with "+than.level+" (", page.Num{Value: confidence, Style: page.Fraction},
		" interval ")
	if low < 0 && high > 0 {
		s = append(s, page.Say("from ", page.Num{Value: -low, Unit: t.unit, Resolution: half}, " less to ",
			page.Num{Value: high, Unit: t.unit, Resolution: half}, " more")...)
	} else {
		s = append(s, page.Span{Low: low, High: high, Unit: t.unit})
	}
	if len(all) > 1 {
		s = append(s, page.Word(", adjusted for comparing all pairs"))
	}
	s = append(s, page.Word("): "))
	if d.Answer == verdict.CannotTell || say.Overall(answers) == verdict.CannotTell {
		return append(s, page.Word("cannot tell."))
	}
	return append(s, say.Answer(d.Answer, worth, say.Enough{})...)
}
