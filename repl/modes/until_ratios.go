package modes

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/dist"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// ratio is one difference on the ln scale: a level against another, or a number column
// from its lowest value to its highest.
type ratio struct {
	first, second, key string
	gap                say.Gap
	finding            page.Sentence
	clear              float64
}

// ratios sets the medians of the levels of each category against each other, all pairs of a
// category adjusted for by Bonferroni's inequality, and takes each number column of the terms
// from the lowest value seen to the highest. Intervals are profile intervals.
func (u *oneMode) ratios(k *session.Call, all []levelStrength, conf float64) ([]ratio, error) {
	worth, err := u.worth(k, all)
	if err != nil {
		return nil, err
	}
	var out []ratio
	for i := range u.Place.Model().Variables {
		points := u.points(i, session.MinMax)
		pairs := len(points) * (len(points) - 1) / 2
		for b := range points {
			for a := range b {
				r, ok, err := u.ratio(k, points[a], points[b], pairs, worth, conf)
				if err != nil {
					return nil, err
				}
				if ok {
					out = append(out, r)
				}
			}
		}
	}
	return out, nil
}

// worth is the size worth having as a ratio of medians: an amount is taken of the first median.
func (u *oneMode) worth(k *session.Call, all []levelStrength) (session.Smallest, error) {
	w, err := k.WorthAsked()
	if err != nil || w.Amount == 0 {
		return session.Smallest{Value: math.Log1p(w.Share), Said: say.Worth{Value: w.Share, Style: page.Fraction}}, err
	}
	v, err := k.WorthIn(w, u.load.Unit())
	if err != nil || !(all[0].median > 0) || math.IsInf(all[0].median, 1) {
		return session.Smallest{}, err
	}
	share := v / all[0].median
	return session.Smallest{Value: math.Log1p(share), Said: say.Worth{Value: share, Style: page.Fraction}}, nil
}

// ratio sets the second point against the first; false where the terms do not distinguish them.
func (u *oneMode) ratio(k *session.Call, a, b designPoint, of int, worth session.Smallest, conf float64) (ratio, bool,
	error) {
	w, differ := b.above(a)
	if !differ {
		return ratio{}, false, nil
	}
	v := u.Place.Model().Variables[a.variable]
	what := v.Name + " from end to end"
	if v.IsCategory() {
		what = a.said + " against " + b.said
	}
	g, clear, err := u.gap(k, w, what, of, worth, conf)
	if err != nil {
		return ratio{}, false, err
	}
	r := ratio{first: u.rowOf(v, a.name), second: u.rowOf(v, b.name), clear: clear}
	if v.IsCategory() {
		g.Of = v.Name + ": " + a.name + ", " + b.name
		r.finding = largerFirst(g, a.said, b.said)
	} else {
		g.Of = v.Name
		c, _ := u.sample.Frame.Column(v.Name)
		r.finding = g.Rise(session.InSentence(c), session.Seen(a.at, a.at, b.at, v.Unit),
			session.Seen(b.at, a.at, b.at, v.Unit))
	}
	r.key, r.gap = g.Of, g
	return r, true, nil
}

// largerFirst tells how the second of two levels differs from the first, the larger before the smaller.
func largerFirst(g say.Gap, first, second string) page.Sentence {
	g.With, g.Than = page.Say(second), page.Say(first)
	if g.Value < 0 {
		g.With, g.Than = g.Than, g.With
		g.Value, g.Range = inverse(g.Value), verdict.Range{Low: inverse(g.Range.High), High: inverse(g.Range.Low)}
	}
	if math.IsInf(g.Value, 1) {
		return g.AtLeast()
	}
	return g.Sentence()
}

// inverse is a ratio seen from the other side, both as shares beyond one.
func inverse(share float64) float64 { return -share / (1 + share) }

// gap is a difference on the ln scale as a share, with its profile interval, the likelihood
// ratio probability and the answer; of is how many are told together.
func (u *oneMode) gap(k *session.Call, w []float64, name string, of int, worth session.Smallest,
	conf float64) (say.Gap, float64, error) {
	each := 1 - (1-conf)/float64(of)
	e, err := u.Difference(k.Context, w, each)
	if err = u.Of(name, err); err != nil {
		return say.Gap{}, 0, err
	}
	ninety := e
	if math.Abs(e.Value) < worth.Value { // else no interval about it lies within the size worth having
		if ninety, err = u.Difference(k.Context, w, 1-0.10/float64(of)); u.Of(name, err) != nil {
			return say.Gap{}, 0, err
		}
	}
	p := math.NaN()
	if !math.IsInf(e.Value, 0) {
		if p, err = u.Chance(k.Context, w); u.Of(name, err) != nil {
			return say.Gap{}, 0, err
		}
	}
	g := say.Gap{Measure: "the " + u.load.Measure() + " until " + u.mode.Column.Column + " is " +
		session.ModeName(u.mode), Value: e.Value, Range: e.Range, Confidence: conf, Probability: math.Min(1,
		p*float64(of)), Worth: worth.Said, Answer: verdict.Decide(e.Range, ninety.Range, worth.Value)}
	if of > 1 {
		g.Family = "adjusted for comparing all pairs"
	}
	if g.Answer == verdict.CannotTell {
		g.Enough = enoughBy(k, e.Range, worth.Value, conf, of, u.N)
	}
	session.AsRatio(&g)
	clear := math.Abs(e.Value) / e.SE
	if math.IsNaN(clear) {
		clear = 0
	}
	return g, clear, nil
}

// outOfReach is how many times the size worth having a standard error is from which no number of specimens
// is looked for: it would take a million times those there are.
const outOfReach = 1000

// enoughBy is how many specimens in all would settle a difference that its profile interval
// decides: the interval, of `of` told together, shrinks as 1/√n from the length it has now. An
// endless one is out of reach.
func enoughBy(k *session.Call, r verdict.Range, worth, conf float64, of, n int) say.Enough {
	z := -dist.TQuantile((1-conf)/2/float64(of), math.Inf(1))
	se := (r.High - r.Low) / 2 / z
	if !(se > 0) || math.IsInf(se, 1) || !(worth > 0) || math.IsInf(worth, 1) || se > outOfReach*worth {
		return say.Enough{}
	}
	times := compare.Times(k.Context, se, math.Inf(1), compare.Options{Confidence: conf, Worth: worth,
		Unplanned: k.Unplanned}, of)
	return say.Enough{N: int(math.Ceil(times * float64(n))), InAll: true, Have: n}
}

// tellRatios makes each category's and each number's ratios findings, the clearest first.
func tellRatios(k *session.Call, all []ratio) []session.Answer {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b ratio) int { return cmp.Compare(b.clear, a.clear) })
	var mains []session.Answer
	for _, r := range sorted {
		k.Entry.Find(r.finding)
		mains = append(mains, session.Answer{Key: r.key, Gap: r.gap, Finding: r.finding})
	}
	return mains
}
