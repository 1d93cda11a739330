package doubting

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/together"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

type trial struct {
	about []string    // the columns of the new term
	typed *phrase.Fit // nil where it is of a mode
	p     float64     // of the new term
}

// tried fits the typed fit with a term more; ok is false where it cannot be fitted or tested. A plain
// term that the new one brings along is not typed beside it.
func (q *inquiry) tried(t phrase.Term, about ...string) (trial, bool) {
	with := *q.typed
	if slices.Contains(about, frames.SeriesColumn) {
		with = *q.typed.SeriesFixed()
	}
	with.Terms.List = slices.DeleteFunc(slices.Clone(with.Terms.List), func(one phrase.Term) bool {
		return len(about) > 1 && len(one.Factors) == 1 && !one.Curved && slices.ContainsFunc(t.Factors,
			func(f phrase.Factor) bool {
				of := one.Factors[0]
				return of.Column.Column == f.Column.Column && of.Function == "" && of.Power == 1
			})
	})
	with.Terms.List = append(with.Terms.List, t)
	out := trial{about: about, typed: &with, p: math.NaN()}
	if f, ok := q.toTest(&with); ok {
		out.p = q.ofTerm(f, about)
	}
	return out, !math.IsNaN(out.p)
}

// ofTerm is the probability of the term of a fit that is made of these columns; NaN where it cannot be tested.
func (q *inquiry) ofTerm(f *fitted.Fit, columns []string) float64 {
	a, err := f.Anova(q.k.Context, linear.Marginal)
	if err != nil {
		return math.NaN()
	}
	term := termOf(f.Model(), columns)
	for _, s := range a.Sources {
		if s.Term == term {
			return s.P
		}
	}
	return math.NaN()
}

// toTest is a fit whose terms can be tested; ok is false where it leaves too little to judge by.
func (q *inquiry) toTest(typed *phrase.Fit) (f *fitted.Fit, ok bool) {
	f, err := q.fitted(typed)
	return f, err == nil && f.Sigma > 0 && f.DF >= leastDF
}

// termOf is the term of a model that is made of these columns and nothing else; -1 where there is none.
func termOf(m design.Model, columns []string) int {
	return slices.IndexFunc(m.Terms, func(t design.Term) bool {
		return len(t.Factors) == len(columns) && !slices.ContainsFunc(t.Factors, func(f design.Factor) bool {
			return f.Function != design.Identity || !slices.Contains(columns, m.Variables[f.Variable].Name)
		})
	})
}

// clear keeps the trials whose new term is clear, Holm's correction over all.
func clear(all []trial) []trial {
	p := lists.Mapped(all, func(t trial) float64 { return t.p })
	var out []trial
	for i, x := range doubts.Holm(p) {
		if all[i].p = x; x < doubts.Clear {
			out = append(out, all[i])
		}
	}
	return out
}

// clearest are the trials whose new term is clear, the clearest first.
func clearest(all []trial) []trial {
	return slices.SortedStableFunc(slices.Values(clear(all)), func(a, b trial) int { return cmp.Compare(a.p, b.p) })
}

// leastDF are the residual degrees of freedom under which a check tells nothing.
const leastDF = 5

// testable reports whether the fit is one that terms can be added to and tested in.
func (q *inquiry) testable() bool {
	return q.fit != nil && q.typed != nil && !q.fit.Method.Resistant && q.fit.Sigma > 0
}

// candidates are the properties outside the fit: fixed before the test, neither names nor an
// order, not together with a factor in it (which is told as confounded), and not made of one, nor of
// another of them.
func (q *inquiry) candidates() []string {
	s := q.k.Analysis.Sample
	var out []string
	for _, c := range s.Frame.Columns() {
		if slices.Contains(q.k.Analysis.Columns, c.Name) || q.fit.Y.Column.Name == c.Name || !session.IsProperty(c) ||
			session.IsBlock(c) {
			continue
		}
		missing, err := s.Frame.MissingIn(c.Name)
		lacking := lists.Count(missing, func(gone bool) bool { return gone })
		if err != nil || 5*lacking > len(missing) {
			continue
		}
		n := s.Distinct(q.k.Context, c.Name)
		if n < 2 || c.Kind == frames.Category && 2*n > s.Frame.Len() || q.confoundedWith(c.Name) != "" ||
			slices.ContainsFunc(q.fit.Columns(), func(of string) bool { return s.Frame.Akin(c.Name, of) }) {
			continue
		}
		out = append(out, c.Name)
	}
	return slices.DeleteFunc(slices.Clone(out), func(name string) bool {
		c, _ := s.Frame.Column(name)
		return slices.ContainsFunc(out, func(o string) bool { return slices.Contains(c.From, o) })
	})
}

// bend tries the square of each number term: one that is clear and worth having means that the
// line between the ends is not the way the response goes.
func (q *inquiry) bend() error {
	if !q.testable() {
		return nil
	}
	var all []trial
	for i, t := range q.typed.Terms.List {
		if len(t.Factors) != 1 || t.Curved || t.Factors[0].Function != "" || t.Factors[0].Power != 1 {
			continue
		}
		v := slices.IndexFunc(q.fit.Model().Variables,
			func(v design.Variable) bool { return v.Name == t.Factors[0].Column.Column })
		if v < 0 || q.fit.Model().Variables[v].IsCategory() || bent(q.fit.Model(), v) {
			continue
		}
		with := *q.typed
		with.Terms.List = slices.Clone(q.typed.Terms.List)
		with.Terms.List[i].Curved = true
		if one, ok := q.squared(&with, v); ok {
			one.about = []string{t.Factors[0].Column.Column}
			all = append(all, one)
		}
	}
	for _, t := range clearest(all) {
		now, err := q.run([]any{t.typed}, toTell)
		if err != nil {
			continue
		}
		at := slices.IndexFunc(now, func(a session.Answer) bool { return a.Key == t.about[0]+"²" })
		if at < 0 || !worthHaving(now[at]) {
			continue
		}
		list := q.on(t.typed, t.about[0]+"_curved")
		keys, then := q.keysOf(t.about[0]), now[at]
		if q.k.Entry.Kind != "fit" {
			if keys, then, err = q.changed(list, nil, nil); err != nil || len(keys) == 0 {
				continue
			}
		}
		text := page.Say(q.fit.Y.Measure()+" does not follow "+t.about[0]+" in a straight line (", page.Chance(t.p),
			" for the bend). With the bend: ")
		text = say.After(text, then.Finding)
		q.addDoubt(page.Doubt{Code: "bend", About: t.about[0], Text: text, AnswerThen: q.words(then.Gap),
			Try: line(list), Of: keys})
	}
	return nil
}

// squared fits with the square of a variable and tests that.
func (q *inquiry) squared(with *phrase.Fit, variable int) (trial, bool) {
	f, ok := q.toTest(with)
	if !ok {
		return trial{}, false
	}
	for _, c := range f.Coefficients {
		if c.Label.Term < 0 || c.Dependent {
			continue
		}
		if t := f.Model().Terms[c.Label.Term]; len(t.Factors) == 1 && t.Factors[0].Variable == variable &&
			t.Factors[0].Function == design.Squared {
			return trial{typed: with, p: c.P}, true
		}
	}
	return trial{}, false
}

// bent reports whether a model holds more of a variable than the variable itself.
func bent(m design.Model, v int) bool {
	n := lists.Count(m.Terms, func(t design.Term) bool { return len(t.Factors) == 1 && t.Factors[0].Variable == v })
	return n != 1
}

// confounded are the factors of the fit, and columns beside it, that changed together with one
// another so nearly that no fit can tell which of them did it.
func (q *inquiry) confounded() error {
	if q.fit == nil {
		return nil
	}
	v := q.fit.Model().Variables
	for i := range v {
		for j := range i {
			if q.fit.Sample.Frame.Akin(v[j].Name, v[i].Name) {
				continue
			}
			s, err := together.Strength(q.k.Context, v[j], v[i])
			if err != nil {
				return err
			}
			if s = doubts.Corrected(s, session.CategoryLevels(v[j]), session.CategoryLevels(v[i]),
				q.fit.N); s >= session.Confounded {
				q.holdConfounded(v[j].Name, v[i].Name, s, append(q.keysOf(v[j].Name), q.keysOf(v[i].Name)...))
			}
		}
	}
	if err := q.inOrder(); err != nil {
		return err
	}
	for _, factor := range q.factors {
		if !slices.Contains(q.fit.Columns(), factor) {
			continue
		}
		if other := q.confoundedWith(factor); other != "" {
			s := q.k.Analysis.Sample.Together(q.k.Context, factor, other)
			q.holdConfounded(factor, other, s, q.keysOf(factor))
		}
	}
	return nil
}

// inOrder tells the factors whose levels were tested one after the other: those that hardly differ
// from the stretches of the order that their numbers of specimens would fill.
func (q *inquiry) inOrder() error {
	s := q.fit.Sample
	c, ok := s.Frame.RoleColumn(frames.Order)
	if !ok || c.Kind != frames.Number {
		return nil
	}
	order, err := s.Number(c.Name)
	if err != nil {
		return err
	}
	for _, v := range q.fit.Model().Variables {
		if !slices.Contains(q.factors, v.Name) || !v.IsCategory() || slices.ContainsFunc(order, math.IsNaN) {
			continue
		}
		stretch := design.Variable{Codes: doubts.Stretches(v.Codes, order), Levels: v.Levels}
		strength, err := together.Strength(q.k.Context, v, stretch)
		if err != nil {
			return err
		}
		if strength = doubts.Corrected(strength, session.CategoryLevels(v), session.CategoryLevels(v),
			len(order)); strength >= session.Confounded {
			q.addDoubt(page.Doubt{Code: "order", About: v.Name + " with " + c.Name, Of: q.keysOf(v.Name),
				Text: page.Say("the levels of " + v.Name + " were tested one after the other (" + c.Name +
					"): what came with time, such as glue that got old or a hand that got better, looks the same as " +
					"they do. Levels in turn would tell them apart.")})
		}
	}
	return nil
}

// toSeparate is how many joints are offered that separate two factors; more are as easily typed.
const toSeparate = 4

// holdConfounded tells two columns that changed together where an answer is about one of them, or where all factors
// are asked about and these could not be answered.
func (q *inquiry) holdConfounded(first, second string, s float64, keys []string) {
	if len(keys) == 0 && !asksAll(q.k) {
		return
	}
	d := page.Doubt{Code: "confounded", About: first + " with " + second, Of: keys,
		Text: page.Say(first+" and "+second+
			" changed together in these specimens (association ", page.Num{Value: s, Style: page.Ratio},
			"), so nobody can tell which of them did it. More specimens of the same kind would not help; some that "+
				"separate the two would.")}
	// The fit that tells which joints those are is the one of this entry, which is the latest once it is booked.
	if kind := q.k.Entry.Kind; q.mode == nil && (kind == "fit" || kind == "drove") && q.k.Scope().From == nil {
		d.Try = phrase.Line(&phrase.Separate{N: phrase.Count{Value: toSeparate}, A: phrase.ColumnRef{Column: first},
			B: phrase.ColumnRef{Column: second}})
	}
	q.addDoubt(d)
}

// confoundedWith is a property outside the fit that changed together with a column; "" for none.
func (q *inquiry) confoundedWith(column string) string {
	for _, c := range q.k.Analysis.Sample.Frame.Columns() {
		inFit := slices.Contains(q.fit.Columns(), c.Name)
		if c.Name == column || !session.IsProperty(c) || session.IsBlock(c) || slices.Contains(q.fit.Columns(),
			column) == inFit || q.k.Analysis.Sample.Frame.Akin(c.Name, column) {
			continue
		}
		if s := q.k.Analysis.Sample.Together(q.k.Context, column, c.Name); s >= session.Confounded {
			return c.Name
		}
	}
	return ""
}

// isOfTerm reports whether an answer is a term's own: "pins: none, pair; glue warm" is of pins, and
// "pins: pair × glue: warm" of pins × glue.
func isOfTerm(key, term string) bool {
	key, _, _ = strings.Cut(key, "; ")
	parts, names := strings.Split(key, " × "), strings.Split(term, " × ")
	for i := range names {
		if len(parts) != len(names) || !concerns(parts[i], names[i]) {
			return false
		}
	}
	return true
}

// manyAsked applies Holm's correction over the factors of one fit: an answer that it does not
// bear out is one that chance often gives to somebody who asks about many. A number with its bend is one; past series
// that were drawn in are allowed for, and nobody asked about them.
func (q *inquiry) manyAsked() error {
	if q.k.Entry.Kind != "fit" || !q.testable() || len(q.fit.Model().Terms) < 2 {
		return nil
	}
	a, err := q.fit.Anova(q.k.Context, linear.Marginal)
	if err != nil {
		return err
	}
	var p []float64
	var terms [][]int      // of each effect asked about
	alone := map[int]int{} // which effect a variable is, by its terms of its own
	for _, s := range a.Sources {
		t := q.fit.Model().Terms[s.Term]
		c, ok := q.k.Analysis.Sample.Frame.Column(q.fit.Model().Variables[t.Factors[0].Variable].Name)
		if ok && (c.Role == frames.Given || c.Name == frames.SeriesColumn && q.drawnIn) || math.IsNaN(s.P) {
			continue
		}
		if c := q.fit.Change; c != nil && c.Term == s.Term {
			p, terms = append(p, c.P), append(terms, []int{s.Term})
			continue
		}
		if len(t.Factors) > 1 {
			p, terms = append(p, s.P), append(terms, []int{s.Term})
			continue
		}
		v := t.Factors[0].Variable
		if at, met := alone[v]; met {
			terms[at] = append(terms[at], s.Term)
			continue
		}
		one := s.P
		if joint, ok, err := fitted.TestFactor(q.k, q.fit, v); err != nil {
			return err
		} else if ok {
			one = joint.P
		}
		alone[v] = len(p)
		p, terms = append(p, one), append(terms, []int{s.Term})
	}
	if len(p) < 2 {
		return nil
	}
	joined, level := doubts.Holm(p), 1-q.k.Confidence()
	for i, own := range terms {
		var keys []string
		for _, a := range q.k.Analysis.Answers {
			if differing(a.Gap.Answer) && slices.ContainsFunc(own, func(term int) bool {
				return isOfTerm(a.Key, session.TermName(q.fit.Model(), term))
			}) {
				keys = append(keys, a.Key)
			}
		}
		if len(keys) > 0 && joined[i] >= level {
			name := session.TermName(q.fit.Model(), own[0])
			q.addDoubt(page.Doubt{Code: "many-asked", About: name, AnswerThen: verdict.CannotTell.Key(), Of: keys,
				Text: page.Say(strconv.Itoa(len(p))+
					" effects are asked about at once, and chance alone often shows one of so "+
					"many. Allowing for that (Holm), "+name+" has ", page.Chance(joined[i]), ": cannot tell.")})
		}
	}
	return nil
}
