package fits

import (
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/place"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// change tells a step or a kink: its size with the place left open. It differs only where its p over all
// places is clear; where it is not, it makes no difference worth having only where that holds at every
// place that the data leave it.
func (t describer) change() (effect, bool, error) {
	c := t.f.Change
	v := t.f.Model().Variables[c.Variable]
	column, _ := t.f.Sample.Frame.Column(v.Name)
	along := session.InSentence(column)
	lo, hi := session.MinMax(v.Numbers)
	at := func(x float64) page.Num { return session.Seen(x, lo, hi, v.Unit) }
	sizes := c.Sizes()
	if c.Kind == place.Kink { // as the distance from the line before, at the highest value seen
		for i, p := range c.Places {
			sizes[i].Value, sizes[i].SE = sizes[i].Value*(hi-p.At), sizes[i].SE*(hi-p.At)
		}
	}
	g := say.Gap{Of: c.Name, Measure: t.f.Y.Measure(), Value: c.Size, Unit: t.f.Y.Unit(), Confidence: t.conf,
		Probability: c.P, Worth: t.worth.Said}
	if c.Kind == place.Kink {
		g.Value *= hi - c.At
	}
	g.Range.Low, g.Range.High = sizes.Interval(t.conf)
	g.Answer = changeAnswer(c, sizes, g.Range, t.conf, t.worth.Value)
	slope := page.Num{Value: c.Size, Unit: t.f.EffectUnit(design.Label{Term: c.Term}), Signed: true,
		Resolution: (c.SizeHigh - c.SizeLow) / 2}
	if t.f.Y.Logged() {
		session.AsRatio(&g)
	}
	finding := g.Jump(along, at(c.Before), at(c.Beyond), c.Looked, steady(c))
	if c.Kind == place.Kink {
		finding = g.Kink(along, page.In(c.At, v.Unit), at(hi), slope,
			page.Num{Value: c.SizeLow}, page.Num{Value: c.SizeHigh})
	}
	out := effect{term: t.term, sentences: []page.Sentence{finding}, clear: math.Inf(1), mains: t.mains(g, finding)}
	if g.Answer.Differs() && !steady(c) {
		out.sentences = append(out.sentences, whereFinding(c, along, at))
	}
	_, findings, err := shapes(t.k, t.f)
	out.sentences = append(out.sentences, findings...)
	return out, true, err
}

// steady reports whether a straight line would do as well as a jump that is clear.
func steady(c *fitted.Change) bool { return c.P <= 1-c.Confidence && c.PLine > 1-c.Confidence }

// changeAnswer is the answer about a change whose place was looked for.
func changeAnswer(c *fitted.Change, sizes place.Mixture, r verdict.Range, conf, worth float64) verdict.Answer {
	const ninety = 0.90
	if c.P <= 1-conf {
		var at90 verdict.Range
		at90.Low, at90.High = sizes.Interval(ninety)
		return verdict.Decide(r, at90, worth)
	}
	for _, s := range sizes {
		low, high := session.IntervalOf(linear.Estimate{Value: s.Value, SE: s.SE, DF: s.DF}, ninety)
		if !(worth > 0 && low > -worth && high < worth) {
			return verdict.CannotTell
		}
	}
	return verdict.NoDifferenceWorth
}

// whereFinding tells the place with its interval, and why it cannot be told closer.
func whereFinding(c *fitted.Change, along string, at func(float64) page.Num) page.Sentence {
	conf := page.Share(c.Confidence)
	var s page.Sentence
	switch {
	case c.LowIsEnd && c.HighIsEnd:
		s = page.Say("Where it lies is not known: the ", conf, " interval of its place has no end on either side")
	case c.LowIsEnd:
		s = page.Say("The ", conf, " interval of its place goes up to ", at(c.High), " and has no lower end")
	case c.HighIsEnd:
		s = page.Say("The ", conf, " interval of its place goes down to ", at(c.Low), " and has no upper end")
	default:
		s = page.Say("The ", conf, " interval of its place: from ", at(c.Low), " to ", at(c.High))
	}
	open := c.LowIsEnd || c.HighIsEnd
	return page.Say(s, page.If(open, "; further out fewer than ", place.OnASide(c.N), " specimens lie on one side"),
		page.If(c.Kind == place.Step && !open, ". No specimen has a "+along+" between ", at(c.Before), " and ",
			at(c.Beyond), ", so the place cannot be told closer than that"), ".")
}

// changeValues are the figures of a place that was found.
type changeValues struct {
	ChangeAt    float64 `id:"change_at" unit:"{x}" label:"place of the change" group:"The change" short:"at"`
	ChangeLow   float64 `id:"change_low" unit:"{x}" label:"lower end of its interval" group:"The change" short:"from"`
	ChangeHigh  float64 `id:"change_high" unit:"{x}" label:"upper end of its interval" group:"The change" short:"to"`
	ChangeP     float64 `id:"change_p" style:"p" label:"p over all places looked at" group:"The change" short:"p"`
	ChangePLine float64 `id:"change_p_line" style:"p" label:"p against a straight line"`
	Places      float64 `id:"change_places" style:"count" label:"places looked at"`
}

// valuesOfChange are those of the fit, if it has one.
func valuesOfChange(f *fitted.Fit) *changeValues {
	c := f.Change
	if c == nil {
		return nil
	}
	v := &changeValues{c.At, c.Low, c.High, c.P, c.PLine, float64(c.Looked)}
	if c.LowIsEnd {
		v.ChangeLow = math.NaN()
	}
	if c.HighIsEnd {
		v.ChangeHigh = math.NaN()
	}
	return v
}

// shapeRow is one way the response may go along the number.
type shapeRow struct {
	Shape      string  `id:"shape"`
	Support    float64 `id:"support" style:"fraction"`
	AICc       float64 `id:"aicc" label:"AICc" wide:"yes"`
	SD         float64 `id:"residual_sd" unit:"{y}" difference:"yes"`
	Parameters float64 `id:"parameters" style:"count" wide:"yes"`
	P          float64 `id:"p" style:"p" label:"p of the change against it"`
}

// shapes sets the change against a straight line and against nothing, the other terms as they are.
func shapes(k *session.Call, f *fitted.Fit) (tables []page.Table, findings []page.Sentence, err error) {
	c := f.Change
	if c == nil || f.Sigma == 0 {
		return nil, nil, nil
	}
	m := f.Model()
	m.Searched = 0
	line := design.Term{Factors: []design.Factor{{Variable: c.Variable}}}
	isLine := func(t design.Term) bool { return len(t.Factors) == 1 && t.Factors[0] == line.Factors[0] }
	rest := slices.Delete(slices.Clone(m.Terms), c.Term, c.Term+1)
	hasLine := slices.ContainsFunc(rest, isLine)
	others := slices.DeleteFunc(slices.Clone(rest), isLine)
	type shape struct {
		name  string
		terms []design.Term
		p     float64
	}
	list := []shape{{"nothing of " + c.Column, others, c.P}, {"a straight line", append(slices.Clone(others), line),
		c.PLine}}
	if hasLine {
		list[0].p, list[1].p = math.NaN(), c.P
	}
	if slices.ContainsFunc(others, func(t design.Term) bool {
		return slices.ContainsFunc(t.Factors, func(f design.Factor) bool { return f.Variable == c.Variable })
	}) {
		list = []shape{{"without " + c.Name, rest, c.P}}
	}
	var rows []shapeRow
	for _, s := range list {
		m.Terms = s.terms
		one, err := linear.Solve(k.Context, f.Response, m)
		if err != nil {
			return nil, nil, err
		}
		rows = append(rows, shapeRow{s.name, 0, one.AICc, one.Sigma, float64(one.Parameters()), s.p})
	}
	word := phrase.Step
	if c.Kind == place.Kink {
		word = phrase.Kink
	}
	rows = append(rows, shapeRow{"a " + word, 0, f.AICc, f.Sigma, float64(f.Parameters()), math.NaN()})
	aicc := lists.Mapped(rows, func(r shapeRow) float64 { return r.AICc })
	for i, w := range weights(aicc) {
		rows[i].Support = w
	}
	t := page.Filled(page.Table{ID: "shapes", Title: page.Say("How " + f.Y.Name() + " goes along " + c.Column),
		Note: page.Say("support: how the data share it out among these fits, by AICc, the place counted as a " +
			"parameter")},
		rows, page.Names{"y": f.Y.Unit()})
	if len(rows) < 3 || math.IsNaN(rows[2].Support) {
		return []page.Table{t}, nil, nil
	}
	s := page.Say(page.If(steady(c), "Whether it is a jump and not a steady change cannot be told: a straight line "+
		"would give a jump that looks as good with ", page.Chance(c.PLine), ". "), "Of the support the "+c.Jump()+
		" has ", page.Share(rows[2].Support), ", a straight line ", page.Share(rows[1].Support), ", nothing of "+
		c.Column+" ", page.Share(rows[0].Support), page.If(!math.IsNaN(c.PLine) && c.P <= 1-c.Confidence && !steady(c),
		"; a straight line would hardly give a jump that looks as good (", page.Chance(c.PLine), ")"), ".")
	return []page.Table{t}, []page.Sentence{s}, nil
}

// changeCaution says what the other effects of the fit take as known; nil where there are none.
func changeCaution(f *fitted.Fit) page.Sentence {
	if f.Change == nil || len(f.Model().Terms) == 1 {
		return nil
	}
	return page.Say("The other effects of this fit are told with the "+f.Change.Jump()+" held at ",
		page.In(f.Change.At, f.Change.Unit), ", as if that place were known.")
}
