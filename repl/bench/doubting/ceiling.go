package doubting

import (
	"maps"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// ceiling tells loads that are only lower bounds: of specimens that did not break, as their failure says, else those
// that pile up at exactly the largest value, as where a machine ends.
func (q *inquiry) ceiling() error {
	r := q.k.Analysis.Response
	if q.fit == nil || !r.IsLoad() || !q.fit.Y.Plain() {
		return nil
	}
	if n, text, broke := q.unbroken(); n > 0 {
		q.holdCeiling(text, q.until(broke), doubts.Many(n, len(r.Values)))
		return nil
	}
	ties, p := doubts.Ties(r.Values, q.fit.Sigma)
	if !doubts.PileUp(ties, len(r.Values), p) {
		return nil
	}
	so := "so every mean and difference with them is only a bound."
	if q.k.Entry.Kind == "plan" {
		so = "so the spread is cut off there, and more may be needed than this says."
	}
	q.holdCeiling(q.tiedAtTop(ties, so), q.asBounds(r), true)
	return nil
}

// unbroken counts the specimens of which the column marked as failure says that nothing broke, and tells of them;
// broke is what the others are.
func (q *inquiry) unbroken() (n int, text page.Sentence, broke phrase.Is) {
	f := q.k.Analysis.Sample.Frame
	c, ok := f.RoleColumn(frames.Failure)
	if !ok {
		return 0, nil, broke
	}
	held := map[string]bool{}
	for row := range f.Len() {
		parallel.LookAt(q.k.Context, row)
		if level, ok := f.Cell(c.Name, row); ok && session.NothingBroke(level) {
			held[level] = true
			n++
		}
	}
	broke.Column = phrase.ColumnRef{Column: c.Name}
	for _, level := range c.Levels {
		if !session.NothingBroke(level) {
			broke.Values = append(broke.Values, phrase.Value{Text: level})
		}
	}
	r := q.k.Analysis.Response
	bound := " " + r.Measure() + " is only a lower bound, and here "
	return n, page.Say(n, " of ", len(r.Values), " specimens did not break ("+c.Name+": "+
		session.Listed(slices.Sorted(maps.Keys(held)))+"): "+say.Plural(n, "its"+bound+"it counts as if it",
		"their"+bound+"they count as if they")+" had broken there."), broke
}

// tiedAtTop tells so many loads that stand at exactly the largest, and what follows.
func (q *inquiry) tiedAtTop(ties int, so string) page.Sentence {
	r := q.k.Analysis.Response
	return page.Say(ties, " of ", len(r.Values), " values of "+r.Name()+" stand at exactly the largest (",
		page.In(slices.Max(r.Values), r.Unit()), "), as if the machine ended there: those joints carried "+
			"that or more, "+so)
}

// holdCeiling tells loads that are only lower bounds, and the answer where they are taken so by some commands; nil:
// there are none. Where it is not to be told always, it is where that is another answer.
func (q *inquiry) holdCeiling(text page.Sentence, asBounds []any, always bool) {
	d := page.Doubt{Code: "ceiling", About: q.k.Analysis.Response.Name(), Of: q.keysOf(""), Text: text}
	if asBounds != nil {
		now, err := q.run(asBounds, toTell)
		if err == nil {
			d.Try = line(asBounds)
			if then, other, ok := q.same(now); ok {
				d.Text = say.After(page.Say(d.Text, " As lower bounds", q.withoutBlocks(), ": "), then.Finding)
				d.AnswerThen = q.words(then.Gap)
				always = always || other
			}
		} else if counting, then, ok := q.counting(asBounds); ok {
			d.Try, d.AnswerThen = line(counting), q.words(then.Gap)
			d.Text = say.After(page.Say(d.Text, " Too few broke under it to tell what the others would carry. How "+
				"many reach it can be counted", q.withoutBlocks(), ": "), then.Finding)
		}
	}
	if always {
		q.addDoubt(d)
	}
}

// withoutBlocks says of a remedy that it does not allow for the blocks that the fit in question allows for; nothing
// where that has none.
func (q *inquiry) withoutBlocks() string {
	if q.typed.Blocks == nil {
		return ""
	}
	return ", without allowing for " + say.Listed(lists.Mapped(q.typed.Blocks.List, phrase.BlockRef.Name))
}

// counting bands the loads at the ceiling as the first of the commands asBounds does, and counts how many of each level
// reach it: of the category that the main answer is of, else the first.
func (q *inquiry) counting(asBounds []any) (list []any, then session.Answer, ok bool) {
	band, banded := asBounds[0].(*phrase.Band)
	if !banded {
		return nil, then, false
	}
	variables := slices.DeleteFunc(slices.Clone(q.fit.Model().Variables), func(v design.Variable) bool {
		return !v.IsCategory()
	})
	if len(variables) == 0 {
		return nil, then, false
	}
	v := variables[max(0, slices.IndexFunc(variables, func(v design.Variable) bool {
		return strings.HasPrefix(q.k.Analysis.Answers[0].Key, v.Name+": ")
	}))]
	list = []any{band, &phrase.CountModes{Clauses: q.k.Scope(), Mode: phrase.ColumnRef{Column: band.As.Text},
		A: phrase.ColumnRef{Column: v.Name}}}
	now, err := q.run(list, toTell)
	if err != nil || len(now) == 0 {
		return nil, then, false
	}
	return list, now[0], true
}

// same is the answer to the question that is answered otherwise now, else to the first of those
// asked both times.
func (q *inquiry) same(now []session.Answer) (then session.Answer, other, ok bool) {
	for _, was := range q.k.Analysis.Answers {
		i := slices.IndexFunc(now, func(a session.Answer) bool { return a.Key == was.Key })
		if i < 0 {
			continue
		}
		if other = now[i].Gap.Answer != was.Gap.Answer; other || !ok {
			then, ok = now[i], true
		}
		if other {
			break
		}
	}
	return then, other, ok
}

// until is the same question about the load at which specimens broke, whatever gave way: what did not break is a lower
// bound. nil where the analysis has no terms, or nothing broke.
func (q *inquiry) until(broke phrase.Is) []any {
	if !q.onTerms() || len(broke.Values) == 0 {
		return nil
	}
	return []any{&phrase.Until{Clauses: q.k.Scope(), Y: q.typed.Y, Terms: &q.typed.Terms, Mode: broke}}
}

// onTerms reports whether the analysis is of terms, and of specimens that stand for themselves; a plan by the strength
// of a way of breaking is for another aim.
func (q *inquiry) onTerms() bool {
	return q.k.Entry.Kind != "plan" && q.typed != nil &&
		q.typed.Differ == nil && len(q.typed.Terms.List) > 0
}

// asBounds is the same question where the largest loads are lower bounds: the loads cut there, and the
// strength of what gave way before. nil where the analysis has no terms.
func (q *inquiry) asBounds(r *session.Response) []any {
	if !q.onTerms() {
		return nil
	}
	most := slices.Max(r.Values)
	name := q.freeColumn(r.Column.Name + "_reached")
	column := phrase.ColumnRef{Column: r.Column.Name}
	return []any{
		&phrase.Band{Clauses: phrase.Clauses{As: &phrase.Name{Text: name}}, Column: column,
			Subject: phrase.BandAt{Cuts: phrase.Amounts{List: []phrase.Amount{{Value: most}}}}},
		&phrase.Until{Clauses: q.k.Scope(), Y: q.typed.Y, Terms: &q.typed.Terms,
			Mode: phrase.Is{Column: phrase.ColumnRef{Column: name},
				Values: []phrase.Value{{Text: frames.BandUnder(most)}}}},
	}
}
