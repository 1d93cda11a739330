package doubting

import (
	"maps"
	"slices"

	"gonum.org/v1/gonum/stat"

	"breakbook/frames"
	"breakbook/models/doubts"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// modeCeiling tells breaks of the mode that pile up at exactly the largest load, as where a machine ends: a
// strength takes them for loads at which the mode gave way, and they are only bounds. What broke otherwise
// there is taken for a bound already, and the chances of a mode rest on no load.
func (q *inquiry) modeCeiling() error {
	cmd, ok := q.k.Command.Do.(*phrase.Until)
	r := q.k.Analysis.Response
	if !ok || !r.IsLoad() {
		return nil
	}
	ended, err := session.Where(q.k.Context, q.k.Analysis.Sample.Frame, cmd.Mode)
	if err != nil {
		return err
	}
	var so []float64
	for i, is := range ended {
		if is {
			so = append(so, r.Values[i])
		}
	}
	most := slices.Max(r.Values)
	ties, p := doubts.Ties(so, q.fit.Sigma*stat.Mean(r.Values, nil)) // the scatter is of the logarithm
	if !pileUp(ties, len(r.Values), p) || slices.Max(so) < most {
		return nil
	}
	q.holdCeiling(q.tiedAtTop(ties, "and here they count as if they had broken so there."), q.heldAt(cmd, most), true)
	return nil
}

// ceiling tells loads that are only lower bounds: of specimens that did not break, as their failure says, else those
// that pile up at exactly the largest value, as where a machine ends.
func (q *inquiry) ceiling() error {
	r := q.k.Analysis.Response
	if q.fit == nil || !r.IsLoad() || !q.fit.Y.Plain() {
		return nil
	}
	if n, text, broke := q.unbroken(); n > 0 {
		q.holdCeiling(text, q.until(broke), many(n, len(r.Values)))
		return nil
	}
	ties, p := doubts.Ties(r.Values, q.fit.Sigma)
	if !pileUp(ties, len(r.Values), p) {
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

// pileUp reports whether so many of n loads at exactly the largest look like a ceiling: many, which chance would bring
// about less than once in a thousand series.
func pileUp(ties, n int, p float64) bool { return many(ties, n) && p < 0.001 }

// many reports whether lower bounds are told whatever comes of them: three at least, and a tenth of n loads.
func many(bounds, n int) bool { return bounds >= 3 && 10*bounds >= n }

// holdCeiling tells loads that are only lower bounds, and the answer where they are taken so by some commands; nil:
// there are none. Where it is not to be told always, it is where that is another answer.
func (q *inquiry) holdCeiling(text page.Sentence, asBounds []any, always bool) {
	d := page.Doubt{Code: "ceiling", About: q.k.Analysis.Response.Name(), Of: q.keysOf(""), Text: text}
	if asBounds != nil {
		if now, err := q.run(asBounds, toTell); err == nil {
			d.Try = line(asBounds)
			if then, other, ok := q.same(now); ok {
				d.Text = say.After(append(d.Text, page.Word(" As lower bounds: ")), then.Finding)
				d.AnswerThen = q.words(then.Gap)
				always = always || other
			}
		}
	}
	if always {
		q.addDoubt(d)
	}
}

// heldAt is the same question with a way of breaking of its own for what stands at a load: the commands that
// a person types. nil for a series that is not the one in use, in which no column can be worked out.
func (q *inquiry) heldAt(cmd *phrase.Until, load float64) []any {
	if from := q.k.Scope().From; from != nil && from.Text != q.k.Session.Current() {
		return nil
	}
	name, mode := q.freeColumn("gave_way"), session.ModeName(cmd.Mode)
	words := func(s string) phrase.Expression { return phrase.Words{Text: s} }
	again := unnamed(cmd).(*phrase.Until)
	again.Mode = phrase.Is{Column: phrase.ColumnRef{Column: name}, Values: []phrase.Value{{Text: mode}}}
	return []any{
		&phrase.WorkOut{Name: phrase.Text{Text: name}, Expression: phrase.Choose{
			If: phrase.Inequality{Column: phrase.ColumnRef{Column: cmd.Y.Column.Column}, Op: ">=",
				Value: phrase.Amount{Value: load}},
			Then:      words("held"),
			Otherwise: phrase.Choose{If: cmd.Mode, Then: words(mode), Otherwise: words("otherwise")}}},
		&phrase.Mark{Column: phrase.ColumnRef{Column: name}, Role: phrase.Choice{Word: "result"}},
		again,
	}
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
// bound. nil where the analysis has no terms or blocks, or nothing broke.
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
		q.typed.Blocks == nil && q.typed.Differ == nil && len(q.typed.Terms.List) > 0
}

// asBounds is the same question where the largest loads are lower bounds: the loads cut there, and the
// strength of what gave way before. nil where the analysis has no terms or blocks.
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
