package groups

import (
	"math"
	"slices"
	"strings"

	limit "breakbook/models/limits"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// limitTeller puts the limits of a command into words.
type limitTeller struct {
	k                   *session.Call
	o                   limit.Options
	measure, name, unit string // of the load
	by                  string // the column of the levels, or "inputs"
	blocks              blocking
	list                []levelLimit
	few                 []string        // levels of too few specimens
	line                phrase.ByLevels // of the command; of a fit its column is ""
	logged              string          // of a fit: the line that fits the logarithm
}

func (t *limitTeller) share() page.Num { return page.Share(t.o.Exceeded) }

// block is the column of blocks that the limits allow for; "" for none.
func (t *limitTeller) block() string {
	if t.blocks.ref == nil {
		return ""
	}
	return t.blocks.ref.Name()
}

func (t *limitTeller) ofFit() bool { return t.line.A.Column == "" }

// limits tells every limit, and why levels have none; it sets the lowest up as the main answer.
func (t *limitTeller) limits() []session.Answer {
	var s page.Sentence
	var lowest *levelLimit
	fewForRanks, each := false, "It is"
	for i, l := range t.list {
		if math.IsNaN(l.Value) {
			fewForRanks = fewForRanks || l.None == limit.FewForRanks && l.N >= limit.Fewest
			continue
		}
		value := page.In(l.Value, t.unit)
		from := page.Say(" (", l.N, " specimens", page.If(l.Blocks > 0, ", ", l.Blocks, " values of "+t.block()), ")")
		if lowest == nil {
			s = page.Say("With ", l.called, ", ", t.share(), " of such joints exceed ", value, " in "+t.measure, from)
		} else {
			s, each = page.Say(s, "; with ", l.called, ", ", value, from), "Each is"
		}
		if lowest == nil || l.Value < lowest.Value {
			lowest = &t.list[i]
		}
	}
	t.k.Entry.Find(page.If(lowest != nil, s, ". "+each+" set low enough, for the number of specimens it rests on, to "+
		"be said with ", page.Share(t.o.Confidence), " confidence."))
	if b := t.block(); b != "" && lowest != nil {
		note := "Specimens with the same " + b + " are alike; the limits allow for that."
		if !slices.ContainsFunc(t.list, func(l levelLimit) bool { return l.Blocks > 0 }) {
			note = "No two specimens of a level have the same " + b + ", so each counts by itself."
		}
		t.k.Entry.Find(page.Say(note))
	}
	t.k.Entry.Find(page.If(fewForRanks && lowest == nil, "There is no limit by ranks: what ", t.share(),
		" of joints exceed takes at least ", t.fewestRanked(), " specimens per level to say with ",
		page.Share(t.o.Confidence), " confidence, when nothing is assumed of how they scatter."))
	var shared []string
	var none page.Sentence // the first
	for _, l := range t.list {
		if s := t.none(l); s != nil {
			t.k.Entry.Find(s)
			if none == nil {
				none = s
			}
		}
		if l.None == limit.SharedRanks {
			shared = append(shared, l.level)
		}
	}
	if shared != nil {
		t.k.Entry.Find(page.Say("No limit by ranks for " + t.by + " " + strings.Join(shared, ", ") +
			": ranks take specimens as independent, and those with the same " + t.block() + " are not. To allow for " +
			"that, type: " + t.as(limit.Normal)))
	}
	return t.main(lowest, none)
}

// LowestLimit is the key of the lowest limit among the answers.
const LowestLimit = "lowest"

// main is the lowest limit, to be compared with that of a rerun; where a level has none, that is
// the answer, since the lowest is then not known.
func (t *limitTeller) main(lowest *levelLimit, none page.Sentence) []session.Answer {
	switch {
	case none != nil:
		nan := math.NaN()
		return []session.Answer{{Key: LowestLimit, Finding: none,
			Gap: say.Gap{Value: nan, Range: verdict.Range{Low: nan, High: nan}, Answer: verdict.CannotTell}}}
	case lowest == nil:
		return nil
	}
	finding := page.Say("the lowest "+t.measure+" that ", t.share(), " of joints exceed is ",
		page.In(lowest.Value, t.unit), ", with ", lowest.called, ".")
	return []session.Answer{{Key: LowestLimit, Finding: finding, Gap: say.Gap{Value: lowest.Value,
		Range: verdict.Range{Low: lowest.Value, High: lowest.Upper}, Answer: verdict.Differs}}}
}

// fewestRanked is how many specimens a limit by ranks takes.
func (t *limitTeller) fewestRanked() int { return limit.FewestRanked(t.o.Exceeded, t.o.Confidence) }

// none says why a level has no limit, and what to do; nil where it has one, or too few specimens.
func (t *limitTeller) none(l levelLimit) page.Sentence {
	switch l.None {
	case limit.BelowZero:
		since := page.Say("its ", l.N, " specimens have a mean of ", page.In(l.Mean, t.unit), " and an sd of ")
		if t.ofFit() {
			since = page.Say("the fit expects ", page.In(l.Mean, t.unit),
				" and specimens scatter about it by an sd of ")
		}
		more := page.Say(". More specimens would raise it.")
		if l.Blocks > 0 {
			more = page.Say(", from only ", l.Blocks, " values of "+t.block()+". Specimens from more values of "+
				t.block()+" would raise it.")
		}
		return page.Say("No limit for ", l.called, " by the normal curve: it would lie below zero, since ", since,
			page.Difference(l.SDUsed, t.unit), more,
			t.besideRoute(l, " By the log-normal, which stays above zero, it is "))
	case limit.OddShape:
		whose := "its values do"
		if t.ofFit() {
			whose = "the residuals of the fit do"
		}
		shape, route := " by the normal curve: "+whose+" not have that shape (", " Nor do their logarithms."
		if t.o.Method == limit.Lognormal {
			shape, route = " by the log-normal: the logarithms do not have the normal shape (", ""
		}
		to := page.Say(route, t.rankRoute(l))
		if l.logNormal != nil {
			to = t.besideRoute(l, " By the log-normal, which fits them better, it is ")
		}
		return page.Say("No limit for ", l.called, shape, page.Chance(l.ShapeP), ").", to)
	case limit.OneBlock:
		name := t.block()
		return page.Say("No limit for ", l.called, ": its ", l.N, " specimens all have the same "+name+
			", so nothing shows how much one "+name+" differs from another. Make some of another "+name+" too.")
	}
	return nil
}

// besideRoute gives the log-normal's limit and the line for it.
func (t *limitTeller) besideRoute(l levelLimit, lead string) page.Sentence {
	if l.logNormal == nil {
		return nil
	}
	line := t.logged
	if !t.ofFit() {
		line = t.as(limit.Lognormal)
	}
	return page.Say(lead, page.In(l.logNormal.Value, t.unit), "; to take that, type: "+line)
}

// with is the command's line with its levels asked about in another way.
func (t *limitTeller) with(change func(of *phrase.LimitsByLevels)) string {
	c := t.k.Command.Copy()
	if cmd, ok := c.Do.(*phrase.Characteristic); ok {
		if of, ok := cmd.Subject.(phrase.LimitsByLevels); ok {
			change(&of)
			cmd.Subject = of
		}
	}
	return session.WithoutName(c)
}

// as is the command's line with another method.
func (t *limitTeller) as(m limit.Method) string {
	return t.with(func(of *phrase.LimitsByLevels) {
		of.Normal, of.Lognormal, of.Ranked = false, m == limit.Lognormal, m == limit.Ranked
	})
}

// rankRoute is what is left where no shape fits.
func (t *limitTeller) rankRoute(l levelLimit) page.Sentence {
	if t.ofFit() {
		return page.Say(" Type check to see which specimens lie far off, or whether a term is missing.")
	}
	check := phrase.Line(&phrase.Check{Subject: t.line})
	least := t.fewestRanked()
	switch {
	case l.Blocks > 0:
		return page.Say(" To see which specimens lie far off, type: " + check)
	case l.N >= least:
		return page.Say(" By ranks, which assume no shape, type: " + t.as(limit.Ranked))
	}
	return page.Say(" Ranks, which assume no shape, need ", least,
		" specimens per level; to see which specimens lie far off, type: "+check)
}

// fewForLimit is the number of specimens under which a characteristic value carries a
// caution (fewer than ten are little trusted: common practice, no source).
const fewForLimit = 10

// cautions are the standing caution and those of single levels.
func (t *limitTeller) cautions() []page.Sentence {
	out := []page.Sentence{page.Say("These figures describe the joints of this series and are no design values: " +
		"what a joint may be trusted to carry is for local codes and licensed practice to decide.")}
	var thin, floored, none []string
	for _, l := range t.list {
		switch {
		case l.N < limit.Fewest:
			continue
		case l.None == limit.FewForRanks:
			none = append(none, l.level)
			continue
		case l.N < fewForLimit && l.None != limit.OneBlock:
			thin = append(thin, l.level)
		}
		if l.SDUsed > l.SD {
			floored = append(floored, l.level)
		}
	}
	under, whose := page.Say("Under ", fewForLimit, " specimens: "+strings.Join(thin, ", ")+"."),
		"The specimens of "+strings.Join(floored, ", ")+" scatter"
	if t.ofFit() {
		under, whose = page.Say("The fit has under ", fewForLimit, " specimens."), "The specimens scatter about the fit"
	}
	out = append(out, page.If(len(t.few) > 0, "No limit for "+strings.Join(t.few, ", ")+": it takes at least ",
		limit.Fewest, " specimens per level."), page.If(len(none) > 0 && len(none)+len(t.few) < len(t.list),
		"No limit by ranks for "+strings.Join(none, ", ")+": that takes at least ", t.fewestRanked(),
		" specimens per level."), page.If(len(thin) > 0, under, " The factor k allows for that, but it cannot "+
		"allow for loads that scatter otherwise than is assumed."), page.If(len(floored) > 0, whose+" by less than ",
		page.Share(limit.LeastSpread), "; that is taken as the smallest, since few specimens can be alike by luck."))
	if beside := slices.Concat(t.blocks.others, t.blocks.few); len(beside) > 0 {
		var others, few []string
		for _, other := range beside {
			others = append(others, other.Name())
		}
		for _, other := range t.blocks.few {
			few = append(few, other.Name())
		}
		line := t.with(func(of *phrase.LimitsByLevels) {
			of.Blocks = &phrase.Blocks{List: beside[:1]}
		})
		n := len(few)
		out = append(out, page.Say("The limits allow for "+t.block(), page.If(len(t.blocks.others) > 0,
			", which has the largest part in the scatter", page.If(n > 0, " of those with ", fewestBlocks,
				" values or more")), ", and not for "+strings.Join(others, " and ")+" as well", page.If(n > 0, ": of "+
			strings.Join(few, " and ")+" there are under ", fewestBlocks, " values, which do not clearly differ"), ".",
			page.If(!t.ofFit(), " To allow for "+others[0]+" instead, type: "+line)))
	}
	return out
}
