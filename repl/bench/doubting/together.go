package doubting

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// combination tries each pair of the fit's plain terms together, and each factor that is asked about with
// each property outside the fit: a combined term that is clear and as large as worth having means
// that neither has one effect. With a property outside, an answer has to change as well.
func (q *inquiry) combination() error {
	if !q.testable() {
		return nil
	}
	for _, t := range clearest(append(q.pairsInside(), q.pairsOutside()...)) {
		now, err := q.run([]any{q.withWorth(t.typed)}, toTell)
		if err != nil {
			continue
		}
		joint := slices.IndexFunc(now, func(a session.Answer) bool {
			first, second, ok := strings.Cut(a.Key, " × ")
			return ok && (concerns(first, t.about[0]) && concerns(second, t.about[1]) ||
				concerns(first, t.about[1]) && concerns(second, t.about[0]))
		})
		if joint < 0 || !worthHaving(now[joint]) {
			continue
		}
		factor, other := t.about[0], t.about[1]
		if slices.Contains(q.factors, other) && !slices.Contains(q.factors, factor) {
			factor, other = other, factor
		}
		shown := within(now, factor, other, "")
		keys := append(q.keysOf(t.about[0]), q.keysOf(t.about[1])...)
		if !slices.Contains(q.fit.Columns(), other) && (q.typed.Differ == nil || other != frames.SeriesColumn) {
			of, changed := q.turned(now, factor, other)
			if !changed {
				continue
			}
			shown, keys = within(now, factor, other, of), q.keysOf(factor)
		}
		if len(shown) == 0 {
			shown = now[joint : joint+1]
		}
		if q.k.Entry.Kind == "predict" {
			keys = q.keysOf("")
		}
		text := page.Say("what "+factor+" does depends on "+other+" (", page.Chance(t.p), " for the two together).")
		var answers []verdict.Answer
		for _, a := range shown {
			text = append(append(text, page.Word(" ")), a.Finding...)
			answers = append(answers, a.Gap.Answer)
		}
		list := q.on(t.typed, "with_both")
		if list == nil {
			list = []any{t.typed}
		}
		q.addDoubt(page.Doubt{Code: "combination", About: t.about[0] + " with " + t.about[1], Text: text,
			AnswerThen: q.words(say.Gap{Answer: say.Overall(answers)}), Try: line(list), Of: keys})
	}
	return nil
}

// pairsInside are the trials of the fit's own plain terms, two and two.
func (q *inquiry) pairsInside() []trial {
	m := q.fit.Model()
	var all []trial
	for i, a := range m.Terms {
		for _, b := range m.Terms[:i] {
			if !plainTerm(a) || !plainTerm(b) {
				continue
			}
			v, w := b.Factors[0].Variable, a.Factors[0].Variable
			if v == w || combined(m, v, w) {
				continue
			}
			first, second := m.Variables[v].Name, m.Variables[w].Name
			if one, ok := q.tried(phrase.TermOf(first, second), first, second); ok {
				all = append(all, one)
			}
		}
	}
	if q.typed.Differ == nil {
		return all
	}
	for _, t := range m.Terms { // series whose levels are random differ in what a factor does as well
		if name := m.Variables[t.Factors[0].Variable].Name; plainTerm(t) {
			if one, ok := q.tried(phrase.TermOf(name, frames.SeriesColumn), name, frames.SeriesColumn); ok {
				all = append(all, one)
			}
		}
	}
	return all
}

// pairsOutside are the trials of each factor asked about with each property outside the fit, which
// comes in with it.
func (q *inquiry) pairsOutside() []trial {
	m := q.fit.Model()
	var all []trial
	outside := q.candidates()
	for _, t := range m.Terms {
		if !plainTerm(t) || !slices.Contains(q.factors, m.Variables[t.Factors[0].Variable].Name) {
			continue
		}
		factor := m.Variables[t.Factors[0].Variable].Name
		for _, c := range outside {
			if one, ok := q.tried(phrase.TermOf(factor, c), factor, c); ok {
				all = append(all, one)
			}
		}
	}
	return all
}

// plainTerm reports whether a term is a column as it is.
func plainTerm(t design.Term) bool {
	return len(t.Factors) == 1 && t.Factors[0].Function == design.Identity
}

// turned reports whether an answer about a factor is another within a setting of the other column:
// there it differs where no such difference was told, or makes no difference worth having, or one of
// the other sign, where one was. of is the difference it is about.
func (q *inquiry) turned(now []session.Answer, factor, other string) (of string, changed bool) {
	for _, a := range now {
		key, setting, ok := strings.Cut(a.Key, "; ")
		if !ok || !concerns(key, factor) || !concerns(setting, other) {
			continue
		}
		for _, was := range q.k.Analysis.Answers {
			if was.Key == key && opposed(was.Gap, a.Gap) {
				return key, true
			}
		}
		if q.k.Entry.Kind == "predict" && opposed(q.k.Analysis.Answers[0].Gap, a.Gap) {
			return key, true
		}
	}
	return "", false
}

// opposed reports whether two answers contradict each other, or the second tells a difference that
// the first does not.
func opposed(was, now say.Gap) bool {
	before, after := differing(was.Answer), differing(now.Answer)
	switch {
	case after && before:
		return was.Value*now.Value < 0
	case before:
		return now.Answer == verdict.NoDifferenceWorth
	}
	return now.Answer == verdict.Differs
}

func differing(a verdict.Answer) bool {
	return a == verdict.Differs || a == verdict.DiffersLessThanWorth
}

// within are what a factor does within each setting of the other: of the difference with a key, or
// where that is "" the clearest of each setting.
func within(all []session.Answer, factor, other, of string) []session.Answer {
	var out []session.Answer
	seen := map[string]bool{}
	for _, a := range all {
		key, setting, ok := strings.Cut(a.Key, "; ")
		if ok && concerns(key, factor) && concerns(setting, other) && !seen[setting] && (of == "" || key == of) {
			seen[setting] = true
			out = append(out, a)
		}
	}
	return out
}

// worthHaving reports whether a difference is as large as is worth having.
func worthHaving(a session.Answer) bool {
	w := a.Gap.Worth.Value
	return w > 0 && math.Abs(a.Gap.Value) >= w
}

// combined reports whether a model holds a combined term of two variables.
func combined(m design.Model, v, w int) bool {
	return slices.ContainsFunc(m.Terms, func(t design.Term) bool {
		has := func(x int) bool {
			return slices.ContainsFunc(t.Factors, func(f design.Factor) bool { return f.Variable == x })
		}
		return len(t.Factors) > 1 && has(v) && has(w)
	})
}
