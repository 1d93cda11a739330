package fits

import (
	"math"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// The most factors that are told in a sentence each, and that are named in a list of one sentence.
const (
	mostDriving = 4
	mostListed  = 4
)

// findings tell what drove the response, the strongest first, then what made no difference worth having
// and what cannot be told, each in one sentence.
func (d *drivers) findings(all []*driven) []page.Sentence {
	driving, none, undecided := session.ByAnswer(all, func(t *driven) verdict.Answer { return t.Answer })
	out := []page.Sentence{d.lead(driving)}
	for _, t := range driving[:min(mostDriving, len(driving))] {
		out = append(out, t.sentences()...)
	}
	if rest := driving[min(mostDriving, len(driving)):]; len(rest) > 0 {
		out = append(out, listed(page.Say("It ", page.Verdict{Words: "differs"}, " with "), rest, nil))
	}
	if len(none) > 0 {
		out = append(out, listed(d.none(none), none, nil))
	}
	if len(undecided) > 0 {
		out = append(out, listed(page.Say(page.Verdict{Words: "Cannot tell"}, ": "), undecided, (*driven).settles))
	}
	out = append(out, d.unclearNotes(undecided)...)
	for _, t := range undecided {
		if t.DiffersAlone {
			out = append(out, page.Say("Taken alone, "+t.Said()+" would count as a difference (",
				page.Chance(t.P), "); among ", len(all), " factors asked about at once chance often shows one (",
				page.Chance(t.AdjustedP), ", adjusted for that)."))
			break
		}
	}
	return append(out, d.allowedNotes()...)
}

// none begins the list of factors that make no difference worth having. Where an interval that is told reaches
// further than that, it says that the shorter one decided.
func (d *drivers) none(all []*driven) page.Sentence {
	w := all[0].gaps[0].Worth
	size := page.Num{Value: w.Value, Unit: w.Unit, Style: w.Style, Resolution: w.Value}
	s := page.Say(page.Verdict{Words: "No difference worth having"})
	for _, t := range all {
		if r := t.gaps[0].Range; r.Low <= -w.Value || r.High >= w.Value {
			return page.Say(s, " (by their ", page.Share(2*d.k.Confidence()-1), " intervals none as large as ", size,
				"; here ", page.Share(d.k.Confidence()), " intervals): ")
		}
	}
	return page.Say(s, " (none as large as ", size, "): ")
}

// lead says what the response was found to follow, with the share of each.
func (d *drivers) lead(driving []*driven) page.Sentence {
	what := d.fit.Y.Measure()
	if d.wholeFit != nil && len(driving) == 0 {
		return page.Say("no factor was seen to drive "+what+" (", d.fit.N, " specimens).")
	}
	if len(driving) == 0 {
		return page.Say("No factor was seen to drive "+what+" (",
			d.fit.N, " specimens, ", len(d.all), say.Plural(len(d.all), " factor", " factors"), ").")
	}
	s := page.Say("What drove " + what + ": ")
	if d.wholeFit != nil {
		s = page.Say("what drove " + what + ": ")
	}
	for i, t := range driving {
		s = page.Say(s, page.If(i > 0, ", then "), t.Said(), page.If(!math.IsNaN(t.Share), " (", page.Share(t.Share),
			page.If(i == 0, " of the variation"), ")"))
	}
	return append(s, page.Word("."))
}

// sentences tell what one factor does; where others changed together with it, one of them did it.
func (t *driven) sentences() []page.Sentence {
	if len(t.With) == 0 {
		return t.lines
	}
	return lists.Mapped(t.lines, func(line page.Sentence) page.Sentence { return page.Say(t.Said()+", ", line) })
}

// listed names several factors with their intervals in one sentence.
func listed(s page.Sentence, all []*driven, more func(*driven) page.Sentence) page.Sentence {
	for i, t := range all {
		if i == mostListed && len(all) > mostListed+1 {
			s = page.Say(s, "; and ", len(all)-i, " more in the table")
			break
		}
		s = page.Say(s, page.If(i > 0, ", "), t.gaps[0].Brief(page.Say(t.Said(), page.If(t.levels,
			page.If(len(t.With) > 0, ","), " ", t.ends[0][0], " against ", t.ends[0][1]))))
		if more != nil {
			s = append(s, more(t)...)
		}
	}
	return append(s, page.Word("."))
}

// settles is how many specimens would probably settle what cannot be told of a factor.
func (t *driven) settles() page.Sentence {
	if len(t.With) > 0 || t.unclear != nil {
		return nil
	}
	return t.gaps[0].Settling()
}

// unclearNotes say of each combined term and bend that is not clear, but no chance, what cannot be said for it.
func (d *drivers) unclearNotes(undecided []*driven) []page.Sentence {
	var out []page.Sentence
	for _, u := range d.unclear {
		of := lists.Where(undecided, func(t *driven) bool { return t.unclear != nil && t.unclear.same(u) })
		if len(of) == 0 {
			continue
		}
		may := "what " + of[0].Said() + " does may depend on " + u.partner(of[0].Name)
		if len(u.term.Factors) < 2 {
			may = d.fit.Y.Measure() + " may follow a curve along " + of[0].Said()
		}
		out = append(out, page.Say("On average "+session.And(lists.Mapped(of, (*driven).Said))+" "+
			say.Plural(len(of), "makes", "make")+" no difference worth having, but "+may+" (", page.Chance(u.p),
			", adjusted for all ", d.tried, " combined terms and bends tried): more than "+
				"chance often shows, too little to be told as a finding."))
	}
	return out
}

// allowedNotes says what was allowed for, and what joined the fit.
func (d *drivers) allowedNotes() []page.Sentence {
	var out []page.Sentence
	var for_ []string
	if d.typed.Blocks != nil {
		for _, b := range d.typed.Blocks.List {
			for_ = append(for_, b.Name())
		}
	}
	for_ = append(for_, d.nuisance...)
	not := page.If(len(d.noBlocks) > 0, strings.Join(d.noBlocks, ", ")+
		", which cannot be distinguished from the factors")
	switch {
	case len(for_) > 0:
		out = append(out, page.Say("Allowed for: "+strings.Join(for_, ", "), page.If(not != nil, "; not for ", not),
			"."))
	case not != nil:
		out = append(out, page.Say("Not allowed for: ", not, "."))
	}
	if len(d.unknown) > 0 {
		out = append(out, page.Say("Not allowed for: "+strings.Join(d.unknown, ", ")+", which not every series has."))
	}
	few := slices.DeleteFunc(slices.Clone(d.all), func(one *session.Factor) bool { return len(one.Few) == 0 })
	if len(few) > 0 {
		levels := page.Say("Taken as levels: ", page.Joined(few, ", ", func(one *session.Factor) page.Sentence {
			return page.Say(one.Name+" (", one.FewSaid(), ")")
		}), ".")
		if len(out) == 0 {
			return []page.Sentence{levels}
		}
		out[0] = append(append(out[0], page.Word(" ")), levels...)
	}
	return out
}

func (d *drivers) factorTable(all []*driven) page.Table {
	mean := 0.0
	for _, y := range d.fit.Y.Values {
		mean += y / float64(len(d.fit.Y.Values))
	}
	var rows []session.FactorRow
	for _, t := range all {
		g := t.gaps[0]
		q := func(x float64) page.Quantity { return page.Quantity{Value: x} }
		percent := 100 * g.Value / mean
		if d.fit.Y.Logged() {
			percent = 100 * g.Value
		}
		rows = append(rows, session.FactorRow{Factor: t.All(), Answer: t.Answer.Key(), Size: q(g.Value),
			Low: q(g.Range.Low), High: q(g.Range.High), Percent: percent, Share: t.Share, P: t.AdjustedP})
	}
	bent := ""
	if slices.ContainsFunc(d.all, func(one *session.Factor) bool {
		return len(one.Few) == 0 && d.bends(slices.Index(d.fit.Columns(), one.Name))
	}) {
		bent = ", or between the middle and an end of these where it bends"
	}
	s := page.Say("size: the clearest pair of levels, or from the 10th to the 90th percentile of a number"+bent,
		"; low and high: ", page.Share(d.k.Confidence()),
		" interval; share: of the variation, averaged over every order of entry; p: adjusted for ", len(all),
		say.Plural(len(all), " factor", " factors")+" (Holm)",
		page.If(d.tried > 0, " and for the combined terms and bends tried"))
	return page.Filled(page.Table{ID: "factors", Title: page.Say("What drove "+d.fit.Y.Measure()+", with ",
		page.Share(d.k.Confidence()), " intervals"), Note: s, Second: true}, rows, page.Names{"y": d.fit.Y.Unit()})
}

// drawn is what a picture of the factors shows.
func (d *drivers) drawn(all []*driven) *session.Gaps {
	out := &session.Gaps{Of: d.fit.Y.Column, Confidence: d.k.Confidence(), Drove: true,
		Calls: session.MeasureBy(d.fit.Y.Function)}
	for _, t := range all {
		for i, g := range t.gaps {
			row := session.GapRow{Factors: t.Names(), With: t.ends[i][0], Than: t.ends[i][1]}
			if len(t.gaps) > 1 {
				_, row.Where, _ = strings.Cut(g.Of, "; ")
			} else {
				g.Answer = t.Answer
			}
			out.Add(row, g)
		}
	}
	return out
}
