package fits

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// effect is what one term of a fit does, with its sentence. clear orders them: the
// further from zero for its error, the earlier it is told.
type effect struct {
	term      int
	sentences []page.Sentence
	clear     float64
	mains     []session.Answer
}

// tellInOrder makes the effects the entry's findings: a change whose place was looked for, then the clearest first.
func tellInOrder(k *session.Call, effects []effect) []session.Answer {
	sorted := slices.Clone(effects)
	slices.SortStableFunc(sorted, func(a, b effect) int { return cmp.Compare(b.clear, a.clear) })
	var mains []session.Answer
	for _, e := range sorted {
		k.Entry.Find(e.sentences...)
		mains = append(mains, e.mains...)
	}
	return mains
}

// effects tells every term of the fit that can be estimated, in the order of the terms. A probability given for a term
// (by anova) takes the place of the difference's own where the term is that one difference. A fit that meets every
// value leaves nothing to judge an effect by: it tells none, and says so.
func effects(f *fitted.Fit, k *session.Call, conf float64, p ...float64) ([]effect, error) {
	return effectsOver(nil, f, k, conf, p...)
}

// effectsOver is effects with numbers told over the ranges of another fit.
func effectsOver(over, f *fitted.Fit, k *session.Call, conf float64, p ...float64) ([]effect, error) {
	if f.Sigma == 0 {
		k.Entry.Warn(page.Say("The terms meet every value of " + f.Y.Measure() +
			" exactly: with no residuals, no effect has an interval or a probability that means anything."))
		return nil, nil
	}
	w, err := k.WorthOf(f.Y)
	if err != nil {
		return nil, err
	}
	var out []effect
	for i := range f.Model().Terms {
		one := describer{f: f, k: k, conf: conf, worth: w, term: i, p: math.NaN(), rangeFit: over}
		if i < len(p) {
			one.p = p[i]
		}
		e, ok, err := one.describe()
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, e)
		}
	}
	return out, nil
}

// describer puts one term into words.
type describer struct {
	f        *fitted.Fit
	k        *session.Call
	conf     float64
	worth    session.Smallest
	term     int
	p        float64     // the probability to tell; NaN: the difference's own
	rangeFit *fitted.Fit // whose ranges numbers are told over; nil: f's own
}

// reach are the two values that a number is told between.
func (t describer) reach(v design.Variable) (lo, hi float64) {
	if ends, ok := t.k.Between[v.Name]; ok {
		return ends[0], ends[1]
	}
	if t.rangeFit != nil {
		if at := slices.Index(t.rangeFit.Columns(), v.Name); at >= 0 {
			v = t.rangeFit.Model().Variables[at]
		}
	}
	return session.MinMax(v.Numbers)
}

func (t describer) describe() (effect, bool, error) {
	factors := t.f.Model().Terms[t.term].Factors
	if len(factors) > 1 {
		return t.joint()
	}
	v := t.f.Model().Variables[factors[0].Variable]
	switch {
	case v.IsCategory():
		return t.category(factors[0].Variable)
	case factors[0].Function.IsChange():
		return t.change()
	case factors[0].Function == design.Squared:
		return t.bend(factors[0].Variable, v)
	}
	return t.rise(factors[0], v)
}

// category sets the levels against each other with the other factors held equal, within each
// setting of those it is combined with.
func (t describer) category(variable int) (effect, bool, error) {
	partners, err := fitted.PartnersOf(t.k, t.f, variable, t.conf)
	if err != nil {
		return effect{}, false, err
	}
	l, ok := t.f.LevelsOf(t.k.Context, variable, partners)
	if !ok {
		return effect{}, false, nil
	}
	fam := l.Family
	if err := fam.AllPairs(t.k, l.Means, t.conf); err != nil {
		return effect{}, false, err
	}
	if len(l.Levels) == 2 { // of several levels the clearest pair is told, with its own
		fam.Probability = t.p
	}
	d := fam.Largest()
	return effect{t.term, fam.Leads(), math.Abs(d.Diff) / d.SE, fam.Answers()}, true, nil
}

// rise tells a number column from the lowest value seen to the highest. Where other terms
// use the same column too (x beside x^2), it is this column's whole effect. It is told within
// each setting of the factors it is combined with.
func (t describer) rise(factor design.Factor, v design.Variable) (effect, bool, error) {
	partners, err := fitted.PartnersOf(t.k, t.f, factor.Variable, t.conf)
	if err != nil {
		return effect{}, false, err
	}
	c, _ := t.f.Sample.Frame.Column(v.Name)
	lo, hi := t.reach(v)
	from, to := session.Seen(lo, lo, hi, v.Unit), session.Seen(hi, lo, hi, v.Unit)
	settings := partners.Settings
	if len(settings) == 0 {
		settings = []fitted.Within{{}}
	} else {
		t.p = math.NaN() // no setting's own
	}
	all := effect{term: t.term}
	for i, within := range settings {
		w, ok := t.numberGap(factor.Variable, lo, hi, within)
		if !ok {
			continue
		}
		g, e, ok := t.gap(w, len(settings))
		if !ok {
			continue
		}
		g.Where = partners.Where(i)
		if len(partners.Settings) > 0 {
			g.Of, g.Family = g.Of+"; "+within.Key, "adjusted for telling it "+partners.Said()
		}
		finding := g.Rise(session.InSentence(c), from, to)
		if t.k.Between != nil {
			finding = g.Between(session.InSentence(c), from, to)
		}
		all.sentences = append(all.sentences, finding)
		all.clear = max(all.clear, math.Abs(e.Value)/e.SE)
		all.mains = append(all.mains, session.Answer{Key: g.Of, Gap: g, Finding: finding})
	}
	return all, len(all.mains) > 0, nil
}

// numberGap is the coefficient weights of a number at one value less those at another, within a setting.
func (t describer) numberGap(variable int, from, to float64, within fitted.Within) ([]float64, bool) {
	at := func(x float64) linear.Point { return within.At(linear.Point{Numbers: map[int]float64{variable: x}}) }
	return t.difference(at(to), at(from))
}

// bend tells how far the middle of the range seen stands off the line between its ends.
func (t describer) bend(variable int, v design.Variable) (effect, bool, error) {
	lo, hi := t.reach(v)
	at := func(x float64) linear.Point { return linear.Point{Numbers: map[int]float64{variable: x}} }
	up, ok1 := t.difference(at((lo+hi)/2), at(lo))
	down, ok2 := t.difference(at((lo+hi)/2), at(hi))
	if !ok1 || !ok2 {
		return effect{}, false, nil
	}
	for i := range up {
		up[i] = (up[i] + down[i]) / 2
	}
	g, e, ok := t.gap(up, 1)
	if !ok {
		return effect{}, false, nil
	}
	c, _ := t.f.Sample.Frame.Column(v.Name)
	finding := g.Bend(session.InSentence(c))
	return effect{t.term, []page.Sentence{finding}, math.Abs(e.Value) / e.SE, t.mains(g, finding)}, true, nil
}

// joint tells the clearest row of a combined term, over the ranges seen of its number
// columns, adjusted for the number of its rows by Bonferroni's inequality.
func (t describer) joint() (effect, bool, error) {
	rows := t.f.RowsOf(t.term)
	var best effect
	found := false
	var answers []verdict.Answer
	var lead say.Gap
	var name string
	for _, i := range rows {
		w := make([]float64, len(t.f.Coefficients))
		w[i] = t.f.RangeProduct(t.term)
		g, e, ok := t.gap(w, len(rows))
		if !ok {
			continue
		}
		answers = append(answers, g.Answer)
		if clear := math.Abs(e.Value) / e.SE; !found || clear > best.clear {
			best, lead, found = effect{term: t.term, clear: clear}, g, true
			name = session.RowName(t.f.Model(), t.f.Coefficients[i].Label)
		}
	}
	if !found {
		return effect{}, false, nil
	}
	lead.Answer = say.Overall(answers)
	lead.Of = name
	finding := lead.Joint(name)
	best.sentences = []page.Sentence{finding}
	best.mains = []session.Answer{{Key: name, Gap: lead, Finding: finding}}
	return best, true, nil
}

// mains is the term's one answer, to be compared with itself in a rerun.
func (t describer) mains(g say.Gap, finding page.Sentence) []session.Answer {
	return []session.Answer{{Key: session.TermName(t.f.Model(), t.term), Gap: g, Finding: finding}}
}

// difference is the coefficient weights of one expected value less another.
func (t describer) difference(a, b linear.Point) ([]float64, bool) {
	wa, oka := t.f.Weights(a)
	wb, okb := t.f.Weights(b)
	if !oka || !okb {
		return nil, false
	}
	return lists.Made(len(wa), func(i int) float64 { return wa[i] - wb[i] }), true
}

// enough is how many times the specimens of the fit, or the blocks that the term lies between,
// would settle it.
func (t describer) enough(times float64) say.Enough {
	var variables []int
	for _, factor := range t.f.Model().Terms[t.term].Factors {
		variables = append(variables, factor.Variable)
	}
	e := say.Enough{InAll: true, Have: t.f.N}
	if name, blocks := t.f.Between(variables...); name != "" {
		e.Have, e.Block = slices.Max(blocks)+1, name
	}
	e.N = int(math.Ceil(times * float64(e.Have)))
	return e
}

// gap estimates a combination of coefficients as one of `of` differences told together.
func (t describer) gap(w []float64, of int) (say.Gap, linear.Estimate, bool) {
	e, _ := t.f.Combination(t.k.Context, w)
	if !(e.SE > 0) { // it cannot be estimated
		return say.Gap{}, e, false
	}
	one := compare.Single(t.k.Context, e.Value, e.SE, e.DF, compare.Options{Confidence: t.conf, Worth: t.worth.Value,
		Unplanned: t.k.Unplanned}, of)
	g := say.Gap{Of: session.TermName(t.f.Model(), t.term), Measure: t.f.Y.Measure(), Value: e.Value, Range: one.Range,
		Unit: t.f.Y.Unit(), Confidence: t.conf, Probability: one.P, Answer: one.Answer, Worth: t.worth.Said}
	if of > 1 {
		g.Family = "adjusted for all its rows"
	}
	if !math.IsNaN(t.p) {
		g.Probability = t.p
	}
	if one.Times > 0 {
		g.Enough = t.enough(one.Times)
	}
	if t.f.Y.Logged() {
		session.AsRatio(&g)
	}
	return g, e, true
}
