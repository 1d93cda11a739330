package kernel

import (
	"math"

	"breakbook/models/compare"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// family is the levels of one factor set against each other, and the words for it.
type family struct {
	measure, unit, factor string
	names                 []string  // of the levels
	n                     []float64 // specimens a level
	levelUnit             string    // of levels that are numbers: thickness 44 mm
	logged                bool      // the response is ln of the measure: differences are ratios
	result                *compare.Result
	conf                  float64
	worth                 say.Worth
	probability           float64 // the overall one, told with the lead; NaN: the difference's own
	figure                bool    // the first of names is a figure that the others are set against
	against               bool    // each level is set against one
	within                string  // what specimens are reshuffled within: " within each value of board"
	// judge compares by other means than the levels' Means: all pairs where ref is -1.
	judge func(ref int, o compare.Options) (*compare.Result, error)
}

// allPairs sets every level against every other.
func (f *family) allPairs(k *call, m compare.Means, conf float64) error {
	return f.run(k, m, -1, conf)
}

// run compares all pairs, or, with ref of zero or more, each level with that one.
func (f *family) run(k *call, m compare.Means, ref int, conf float64) (err error) {
	base := m.Mean[max(ref, 0)]
	f.conf = conf
	f.n = m.N
	w, err := k.worthOf(base, f.unit, f.logged)
	if err != nil {
		return err
	}
	f.worth = w.said
	o := compare.Options{Confidence: conf, Worth: w.value}
	f.against = ref >= 0
	if err := k.fewLevels(len(f.names), f.factor, f.against); err != nil {
		return err
	}
	switch {
	case f.judge != nil:
		f.result, err = f.judge(ref, o)
	case ref >= 0:
		f.result, err = compare.Against(k.ctx, m, ref, o)
	default:
		f.result, err = compare.AllPairs(k.ctx, m, o)
	}
	return err
}

// answer is the answer of the whole family.
func (f *family) answer() verdict.Answer {
	all := make([]verdict.Answer, len(f.result.Differences))
	for i, d := range f.result.Differences {
		all[i] = d.Answer
	}
	return say.Overall(all)
}

// largest is the difference that is clearest: the one furthest from zero for its error.
func (f *family) largest() compare.Difference {
	best := f.result.Differences[0]
	for _, d := range f.result.Differences[1:] {
		if d.Clear > best.Clear {
			best = d
		}
	}
	return best
}

// lead is the family's main finding: its clearest difference with its answer; where that
// is no difference worth having, but another pair cannot be told, nor can the family.
func (f *family) lead() page.Sentence {
	d := f.largest()
	answer := d.Answer
	enough := d.Enough
	if f.answer() == verdict.CannotTell {
		answer = verdict.CannotTell
		for _, other := range f.result.Differences {
			enough = max(enough, other.Enough)
		}
	}
	g := f.gap(d, answer, enough)
	if !math.IsNaN(f.probability) {
		g.Probability = f.probability
	}
	return g.Sentence()
}

// each tells every difference with an answer of its own, the clearest first and the
// others in the table's order.
func (f *family) each() []page.Sentence {
	lead := f.largest()
	out := []page.Sentence{f.gap(lead, lead.Answer, lead.Enough).Sentence()}
	for _, d := range f.result.Differences {
		if d.First != lead.First || d.Second != lead.Second {
			out = append(out, f.gap(d, d.Answer, d.Enough).Sentence())
		}
	}
	return out
}

// mains are the family's differences as answers to be set against themselves in a
// rerun, the clearest first.
func (f *family) mains() []main {
	lead := f.largest()
	var out []main
	for _, d := range f.result.Differences {
		m := main{key: f.factor + ": " + f.names[d.First] + ", " + f.names[d.Second], told: f.gap(d, d.Answer, d.Enough).Sentence(),
			gap: say.Gap{Value: d.Diff, Range: verdict.Range{Low: d.Low, High: d.High}, Answer: d.Answer}}
		if f.result.Method == compare.ByReshuffling { // no range to show, but one to measure a move by
			m.gap.Range = verdict.Range{Low: d.Diff - d.Critical*d.SE, High: d.Diff + d.Critical*d.SE}
		}
		if d.First == lead.First && d.Second == lead.Second {
			out = append([]main{m}, out...)
			continue
		}
		out = append(out, m)
	}
	return out
}

// have is how many specimens the smaller of two levels has.
func (f *family) have(d compare.Difference) int {
	if d.First >= len(f.n) || d.Second >= len(f.n) {
		return 0
	}
	return int(min(f.n[d.First], f.n[d.Second]))
}

// gap puts one difference into words, the larger level first.
func (f *family) gap(d compare.Difference, answer verdict.Answer, enough int) say.Gap {
	g := say.Gap{Measure: f.measure, With: f.level(d.Second, true), Than: f.level(d.First, false),
		Value: d.Diff, Range: verdict.Range{Low: d.Low, High: d.High}, Unit: f.unit, Confidence: f.conf,
		Probability: d.P, Answer: answer, Worth: f.worth, Enough: say.Enough{N: enough, Have: f.have(d)}, Route: f.route(d)}
	if f.figure {
		g.Figure = true
		if f.factor == "" {
			g.With = nil
		}
	} else if d.Diff < 0 {
		g.With, g.Than = f.level(d.First, true), f.level(d.Second, false)
		g.Value = -d.Diff
		g.Range = verdict.Range{Low: -d.High, High: -d.Low}
	}
	if len(f.result.Differences) > 1 {
		g.Family = "all pairs allowed for"
		if f.against {
			g.Family = "all levels allowed for"
		}
	}
	if f.logged {
		asRatio(&g)
	}
	return g
}

// route says how a difference without a range was judged.
func (f *family) route(d compare.Difference) string {
	switch f.result.Method {
	case compare.ByReshuffling:
		return "by reshuffling"
	case compare.ByRanks:
		if math.IsInf(d.Low, 0) && math.IsInf(d.High, 0) {
			return "by ranks; too few specimens for a range"
		}
	}
	return ""
}

func (f *family) level(i int, withFactor bool) page.Sentence {
	name := f.names[i]
	if f.figure && i == 0 {
		return page.Say(name)
	}
	if f.levelUnit != "" {
		name += " " + f.levelUnit
	}
	if withFactor && f.factor != "" {
		name = f.factor + " " + name
	}
	return page.Say(name)
}

// asRatio turns a difference of logarithms into a share: 0.1 is 10.5 % more.
func asRatio(g *say.Gap) {
	g.Value = math.Expm1(g.Value)
	g.Range = verdict.Range{Low: math.Expm1(g.Range.Low), High: math.Expm1(g.Range.High)}
	g.Unit, g.Style = "", page.Fraction
}

// smallest is the size worth having as a model needs it and as it is said.
type smallest struct {
	value float64 // in the response's unit, or on its ln scale; 0 unknown
	said  say.Worth
}

// worthOf is the smallest difference worth having on a response whose baseline mean is base.
func (k *call) worthOf(base float64, unit string, logged bool) (smallest, error) {
	w, err := k.worthAsked()
	if err != nil {
		return smallest{}, err
	}
	switch {
	case w.Amount > 0:
		if logged {
			return smallest{}, nil // an amount is no ratio
		}
		v, err := k.worthIn(w, unit)
		return smallest{v, say.Worth{Value: v, Unit: unit}}, err
	case logged:
		return smallest{math.Log1p(w.Share), say.Worth{Value: w.Share, Style: page.Fraction}}, nil
	case base > 0:
		v := w.Share * base
		return smallest{v, say.Worth{Value: v, Unit: unit}}, nil
	}
	return smallest{}, nil
}
