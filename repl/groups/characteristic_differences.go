package groups

import (
	"cmp"
	"slices"

	limit "breakbook/models/limits"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// differences compares the levels by what the share exceeds: each with each that has a limit.
func (t *limitTeller) differences(r *session.Response) ([]session.Answer, error) {
	with := lists.Count(t.list, func(l levelLimit) bool { return l.None == limit.Given && l.N >= limit.Fewest })
	if with > limit.MostCompared {
		t.k.Entry.Find(page.Say("Over ", limit.MostCompared,
			" levels are not compared each with each; keep some of them with `for`."))
		return nil, nil
	}
	if t.o.Method == limit.Ranked || with < 2 {
		return nil, nil
	}
	w, err := t.k.WorthOf(r)
	if err != nil {
		return nil, err
	}
	settings := t.k.Session.Settings()
	c := limit.Comparing{Confidence: settings.Confidence, Worth: w.Value, Seed: settings.Seed, Progress: t.k.Progress()}
	limits := lists.Mapped(t.list, func(l levelLimit) limit.Limit { return l.Limit })
	all, err := limit.Differences(t.k.Context, limits, t.o, c)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	var rows []limitDifferenceRow
	for _, d := range all {
		rows = append(rows, limitDifferenceRow{t.list[d.First].level, t.list[d.Second].level, d.Value, d.Low, d.High,
			d.Answer.Key()})
	}
	blocks := ""
	if t.blocks.ref != nil {
		blocks = "; where levels share only some values of " + t.blocks.ref.Name() + ", the interval is rather too wide"
	}
	t.k.Entry.Tables = append(t.k.Entry.Tables, page.Filled(page.Table{ID: "differences",
		Title: page.Say("Levels compared by what ", t.share(), " of joints exceed"), Note: page.Say("difference: what ",
			t.share(), " of joints exceed, as estimated, second less first; low and high: ", page.Share(c.Confidence),
			" interval", page.If(len(all) > 1, ", adjusted for comparing all pairs (Bonferroni)"), blocks)}, rows,
		page.Names{"y": t.unit}))
	return t.answers(all, c.Confidence, w.Said), nil
}

// answers are the differences, the clearest first, which is told with the answer of all of them.
func (t *limitTeller) answers(all []limit.Difference, confidence float64, worth say.Worth) []session.Answer {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b limit.Difference) int { return cmp.Compare(b.Clear, a.Clear) })
	answers := make([]verdict.Answer, len(all))
	var out []session.Answer
	for i, d := range sorted {
		answers[i] = d.Answer
		out = append(out, session.Answer{Key: t.key(d), Finding: t.difference(d, d.Answer, len(all), confidence, worth),
			Gap: say.Gap{Value: d.Value, Range: verdict.Range{Low: d.Low, High: d.High}, Answer: d.Answer,
				Worth: worth}})
	}
	lead := sorted[0]
	answer := lead.Answer
	if say.Overall(answers) == verdict.CannotTell {
		answer = verdict.CannotTell
	}
	t.k.Entry.Find(t.difference(lead, answer, len(all), confidence, worth))
	return out
}

// key names a difference as the other analyses do.
func (t *limitTeller) key(d limit.Difference) string {
	return t.by + ": " + t.list[d.First].level + ", " + t.list[d.Second].level
}

// difference tells one of the differences with an answer.
func (t *limitTeller) difference(d limit.Difference, answer verdict.Answer, of int, confidence float64,
	worth say.Worth) page.Sentence {
	with, than, value, low, high := t.list[d.Second], t.list[d.First], d.Value, d.Low, d.High
	if value < 0 {
		with, than, value, low, high = than, with, -value, -high, -low
	}
	unit := page.DifferenceUnit(t.unit)
	num := func(x float64) page.Num { return page.Num{Value: x, Unit: unit, Resolution: (high - low) / 2} }
	interval := page.Say(page.Span{Low: low, High: high, Unit: unit})
	if low < 0 && high > 0 {
		less := num(-low)
		if unit == page.PercentagePoints { // said once
			less.Unit = ""
		}
		interval = page.Say("from ", less, " less to ", num(high), " more")
	}
	v := page.Verdict{Words: answer.Key(), Of: t.key(d)}
	if answer != verdict.CannotTell {
		v.More = say.More(say.Gap{Answer: answer, Worth: worth, Confidence: confidence,
			Range: verdict.Range{Low: low, High: high}})
	}
	return page.Say("What ", t.share(), " of joints exceed is about ", num(value),
		" more with ", with.called, " than with "+than.level+" (", page.Share(confidence), " interval ", interval,
		page.If(of > 1, ", adjusted for comparing all pairs"), "): ", v, ".")
}
