package doubting

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/doubts"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// outside is a property outside the fit, tried in it.
type outside struct {
	column string
	own    float64 // the probability of its own term; NaN where it cannot be tested
	factor string  // of the fit, that it changed together with the most
	along  float64 // the probability of that by chance; NaN where there is none
	again  []any   // the commands that ask once more with it
}

// leftOut tries each property outside the fit: one whose own term is clear and that moves an estimate by
// more than half its interval, or far enough for another answer, should have been in it. So should one that
// clearly changed together with a factor asked about, where another answer comes with it: specimens too
// few to show what it does by itself are no evidence that it does nothing, so whether it has to be allowed
// for is judged by how far the estimate moves (Mickey & Greenland 1989, American Journal of Epidemiology 129).
func (q *inquiry) leftOut() error {
	if !q.testable() || len(q.factors) == 0 && q.k.Entry.Kind != "predict" {
		return nil
	}
	var all []outside
	for _, c := range q.candidates() {
		if t, ok := q.tried(phrase.TermOf(c), c); ok {
			all = append(all, outside{column: c, own: t.p, again: q.on(t.typed, "with_"+c)})
		}
	}
	q.holdLeftOut(all)
	return nil
}

// modeLeftOut tries each property outside a fit of a mode, as leftOut does.
func (q *inquiry) modeLeftOut() error {
	var all []outside
	for _, c := range q.candidates() {
		if l := q.withColumn(c); l != nil {
			all = append(all, outside{column: c, own: q.mode.Added(q.k.Context, l),
				again: []any{withTerms(q.k.Command.Do, and(phrase.TermOf(c)))}})
		}
	}
	q.holdLeftOut(all)
	return nil
}

// holdLeftOut tells the properties that are clear and move an answer, the clearest first: their own terms
// before what only changed together with a factor.
func (q *inquiry) holdLeftOut(all []outside) {
	own, along := make([]float64, len(all)), make([]float64, len(all))
	for i, o := range all {
		all[i].factor, along[i] = q.alongWith(o.column)
		own[i] = o.own
	}
	own, along = doubts.Holm(own), doubts.Holm(along)
	var clear, beside []outside
	for i, o := range all {
		switch o.own, o.along = own[i], along[i]; {
		case o.own < doubts.Clear:
			clear = append(clear, o)
		case o.along < doubts.Clear:
			beside = append(beside, o)
		}
	}
	slices.SortStableFunc(clear, func(a, b outside) int { return cmp.Compare(a.own, b.own) })
	slices.SortStableFunc(beside, func(a, b outside) int { return cmp.Compare(a.along, b.along) })
	for _, o := range clear {
		byMove := farEnough
		if o.along < doubts.Clear {
			byMove = func(was, now say.Gap) bool { return farEnough(was, now) || byTenth(was, now) }
		}
		q.holdIfMoved(o, byMove, nil, page.Say(o.column+" is not in the fit, and with it the answer moves (",
			page.Chance(o.own), " for "+o.column+"). With it: "))
	}
	for _, o := range beside {
		ofFactor := func(key string) bool { return q.k.Entry.Kind == "predict" || concerns(key, o.factor) }
		q.holdIfMoved(o, byTenth, ofFactor, page.Say(o.column+" is not in the fit, but it changed together with "+
			o.factor+" (", page.Chance(o.along), "), and with it the answer moves. With it: "))
	}
}

// holdIfMoved asks once more with a property, and tells of the answers that it moves.
func (q *inquiry) holdIfMoved(o outside, byMove func(was, now say.Gap) bool, of func(key string) bool,
	text page.Sentence) {
	keys, then, err := q.changed(o.again, byMove, of)
	if err != nil || len(keys) == 0 {
		return
	}
	text = append(say.After(text, then.Finding), page.Word(ifNotChanged(o.column, q.factors)))
	q.addDoubt(page.Doubt{Code: "left-out", About: o.column, Text: text, AnswerThen: q.words(then.Gap),
		Try: line(o.again), Of: keys})
}

// alongWith is the factor asked about that a column changed together with the most, and the probability of
// that by chance, allowed for how many factors there are (Bonferroni's inequality); NaN where there is none.
func (q *inquiry) alongWith(column string) (factor string, p float64) {
	p = math.NaN()
	tried := 0.0
	for _, f := range q.factors {
		if one := q.k.Analysis.Sample.TogetherByChance(q.k.Context, f, column); !math.IsNaN(one) {
			if tried++; !(p <= one) {
				factor, p = f, one
			}
		}
	}
	return factor, min(1, tried*p)
}

// ifNotChanged is the condition under which a property should be allowed for.
func ifNotChanged(column string, factors []string) string {
	if len(factors) != 1 {
		return " That holds if " + column + " was fixed before the test."
	}
	return " That holds if " + column + " was not itself changed by " + factors[0] + "."
}
