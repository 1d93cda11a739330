package kernel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/shares"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// parted is what a set of terms explains, parted among them, with what is needed to tell
// and draw it.
type parted struct {
	*shares.Result
	model   design.Model
	names   []string // of the terms
	whole   string   // what is explained: "the variation in break load"
	conf    float64
	quick   bool // a quiet rerun: no ranges and no probabilities
	measure string

	of    frames.Column // the response, or the column of failure modes
	calls calls
}

// calls tells what is parted, of its column as it is called now: the whole, and the measure.
type calls func(frames.Column) (whole, measure string)

// shareOut parts what a list of terms explains of a measure.
func shareOut(k *call) (*Session, error) {
	f, err := k.fitTerms()
	if err != nil {
		return nil, err
	}
	return k.shareFit(f)
}

// shareOutOf does the same for an earlier fit.
func shareOutOf(k *call) (*Session, error) {
	f, err := k.earlierFit()
	if err != nil {
		return nil, err
	}
	for _, own := range []struct {
		is   bool
		said string
	}{{f.way.blocks != nil, "blocked by"}, {f.way.resistant, "resistant"}, {f.model().ThroughZero, "through zero"}} {
		if own.is {
			return nil, &page.Problem{Code: "no-shares", At: k.c.Slots["fit"].Place(),
				Message: "what a fit " + own.said + " explains has no average over orders of entry",
				Hint:    "share out " + f.response.name() + " on " + f.termList()}
		}
	}
	return k.shareFit(f)
}

// shareFit parts the explained variation of a fit.
func (k *call) shareFit(f *fitted) (*Session, error) {
	o, within := k.parting(f.sample)
	r, err := shares.OfMeasure(k.ctx, f.response.values, f.model(), o)
	if err != nil {
		return nil, k.sharesProblem(err)
	}
	function := f.response.function
	p := &parted{Result: r, model: f.model(), conf: k.confidence(), quick: k.back != nil, of: f.response.column,
		calls: func(c frames.Column) (whole, measure string) {
			r := response{column: c, function: function}
			return "the variation in " + r.measure(), r.name()
		}}
	p.whole, p.measure = p.calls(p.of)
	k.e.Cautions = append(k.e.Cautions, f.dependentCautions()...)
	return k.sharesTold(p, f.sample, f.response, f.known(), within)
}

// shareOutMode parts what a list of terms explains of a way of breaking.
func shareOutMode(k *call) (*Session, error) {
	mode, terms := k.c.Slots["mode"].(phrase.Is), k.c.Slots["terms"].(phrase.Terms)
	column := mode.Column.Column
	b := spelled(terms)
	if slices.Contains(b.columns, column) {
		return nil, &page.Problem{Code: "response-among-terms", At: terms.At, Message: column + " cannot explain itself", Hint: "leave it out of the terms"}
	}
	s, err := k.sample(append([]string{column}, b.columns...)...)
	if err != nil {
		return nil, err
	}
	is, err := s.frame.Is(column, levelsOf(mode))
	if err != nil {
		return nil, placed(err, mode.At)
	}
	v, err := s.variables(k.ctx, b.columns)
	if err != nil {
		return nil, err
	}
	m := design.Model{Variables: v, Terms: b.terms}
	o, within := k.parting(s)
	r, err := shares.OfMode(k.ctx, is, m, o)
	if err != nil {
		return nil, k.sharesProblem(err)
	}
	c, _ := s.frame.Column(column)
	p := &parted{Result: r, model: m, conf: k.confidence(), quick: k.back != nil, of: c,
		calls: func(c frames.Column) (whole, measure string) {
			said := c.Name + " is " + modeName(mode)
			return "the likelihood that " + said, said
		}}
	p.whole, p.measure = p.calls(p.of)
	return k.sharesTold(p, s, &response{column: c}, append(slices.Clone(b.columns), column), within)
}

// levelsOf are the levels a mode counts as one.
func levelsOf(mode phrase.Is) []string {
	var out []string
	for _, v := range mode.Values {
		out = append(out, v.Text)
	}
	return out
}

// parting is how terms are to be parted, and what specimens are kept together within.
func (k *call) parting(s *sample) (shares.Options, string) {
	o := shares.Options{Confidence: k.confidence(), Seed: k.s.settings.Seed, Progress: k.progress()}
	if k.back != nil {
		o.Resamples, o.Times = 2, 2 // only the shares themselves are wanted
	}
	var within string
	o.Blocks, within = s.blocks(k.ctx, k.marked(s))
	return o, within
}

// sharesProblem words what keeps terms from being parted.
func (k *call) sharesProblem(err error) error {
	var e *shares.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: e.Code, At: k.termPlace(e.Term)}
	if n := k.c.Slots["terms"]; p.At == 0 && n != nil {
		p.At = n.Place()
	}
	switch e.Code {
	case "too-many-terms":
		p.Message, p.Hint = "more than 60 terms cannot be parted", "leave terms out"
	case "too-few-specimens":
		p.Message, p.Hint = "the specimens are too few for that many terms", "leave terms out, or use more specimens"
	case "all-equal":
		p.Message, p.Hint = "all specimens used are alike in the response, so there is nothing to part", "widen the condition after `for`"
		if mode, ok := k.c.Slots["mode"].(phrase.Is); ok {
			p.At, p.Message = mode.At, "all specimens used are alike in "+mode.Column.Column+" being "+strings.Join(levelsOf(mode), " or ")+", so there is nothing to part"
		}
	case "one-level":
		p.Message, p.Hint = k.termName(e.Term)+" has only one level among the specimens used", "leave it out, or widen the condition after `for`"
	case "nothing-varies":
		p.Message, p.Hint = k.termName(e.Term)+" is the same for every specimen used", "leave it out, or widen the condition after `for`"
	case "too-many-columns":
		p.Message = fmt.Sprintf("%s brings these terms to more than %d columns, the most there may be", k.termName(e.Term), design.MostColumns)
		p.Hint = "merge levels of it, or leave it out"
	case "through-zero":
		p.Message, p.Hint = "through zero, what is explained is not about the mean and is not parted", "leave through zero out"
	default:
		p.Message = k.termName(e.Term) + ": " + e.Error()
	}
	return p
}

// sharesTold fills in the entry and books the result.
func (k *call) sharesTold(p *parted, s *sample, r *response, known []string, within string) (*Session, error) {
	for t := range p.model.Terms {
		p.names = append(p.names, termName(p.model, t))
	}
	var columns []string
	for _, v := range p.model.Variables {
		columns = append(columns, v.Name)
	}
	pairs := k.wentTogether(s, r.column.Name, columns)
	mains := p.tell(k)
	k.e.Findings = append(k.e.Findings, p.apart(pairs, columns)...)
	k.e.Tables = []page.Table{p.table(within)}
	if len(pairs) > 0 {
		k.e.Tables = append(k.e.Tables, togetherTable(pairs))
	}
	k.e.Values = []page.Value{figure("explained", p.Explained, page.Fraction, ""), figure("n", float64(p.N), page.Count, ""),
		figure("resamples", float64(p.Resamples), page.Count, ""), figure("reshuffles", float64(p.Times), page.Count, "")}
	if p.Orders > 0 {
		most := 0.0
		for _, s := range p.Shares {
			most = math.Max(most, s.Error)
		}
		k.e.Values = append(k.e.Values, figure("orders", float64(p.Orders), page.Count, ""), figure("order_error", most, page.Exact, ""))
		k.e.Cautions = append(k.e.Cautions, say.SampledOrders(len(p.names), p.Orders, most))
	}
	var fixed []string
	for t, s := range p.Shares {
		if math.IsNaN(s.P) && within != "" {
			fixed = append(fixed, p.names[t])
		}
	}
	if len(fixed) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.FixedWithin(fixed, within))
	}
	if within != "" {
		known = append(slices.Clone(known), k.marked(s)...)
	}
	return k.book(k.answered(s, r, known, mains), result{shares: p, columns: columns})
}

// tell tells the shares, the largest first.
func (p *parted) tell(k *call) []main {
	order := make([]int, len(p.Shares))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case p.Shares[a].Share > p.Shares[b].Share:
			return -1
		case p.Shares[a].Share < p.Shares[b].Share:
			return 1
		}
		return 0
	})
	var mains []main
	for i, t := range order {
		s := p.Shares[t]
		part := say.Part{Factor: p.names[t], Share: s.Share, Range: verdict.Range{Low: s.Low, High: s.High}, Confidence: p.conf,
			ByChance: s.ByChance, P: s.P, Quick: p.quick, Alone: len(order) == 1}
		told := part.Sentence()
		if i == 0 {
			told = part.Lead(p.whole, p.Explained)
		}
		k.e.Findings = append(k.e.Findings, told)
		mains = append(mains, main{key: p.names[t], told: told, gap: say.Gap{Value: s.Share, Range: part.Range}})
	}
	return mains
}

// apart says which factors varied together, so that their shares cannot be told apart.
func (p *parted) apart(pairs []pair, columns []string) []page.Sentence {
	if len(columns) < 2 {
		return nil
	}
	var out []page.Sentence
	for _, q := range pairs {
		if !slices.Contains(columns, q.first) || !slices.Contains(columns, q.second) {
			continue
		}
		sum := 0.0
		for t, term := range p.model.Terms {
			ofBoth := true
			for _, f := range term.Factors {
				name := p.model.Variables[f.Variable].Name
				ofBoth = ofBoth && (name == q.first || name == q.second)
			}
			if ofBoth {
				sum += p.Shares[t].Share
			}
		}
		out = append(out, say.SharedOut(q.first, q.second, q.strength, sum))
	}
	if out == nil {
		out = []page.Sentence{say.SharesApart(leastStrength)}
	}
	return out
}

// table has one row a term.
func (p *parted) table(within string) page.Table {
	t := page.Table{ID: "shares", Title: page.Say("What each factor gets of "+p.whole+", of ", page.Num{Value: p.Explained, Style: page.Fraction}, " explained"),
		Columns: []page.Column{{ID: "factor"}, {ID: "share", Style: page.Fraction}, {ID: "low", Style: page.Fraction}, {ID: "high", Style: page.Fraction},
			{ID: "by_chance", Style: page.Fraction}, {ID: "alone", Style: page.Fraction, Wide: true}, {ID: "beyond_rest", Style: page.Fraction, Wide: true},
			{ID: "p", Style: page.P}},
		Note: page.Say("share: gain averaged over every order in which the factors can enter; low and high: ", page.Num{Value: p.conf, Style: page.Fraction},
			" range by resampled specimens"+resampledWithin(within)+"; by chance: what a factor with no effect would get; alone, beyond rest: gain where it enters first, and last; p: reshuffled, of beyond rest"+within)}
	for i, s := range p.Shares {
		t.Rows = append(t.Rows, []page.Cell{page.T(p.names[i]), page.N(s.Share), page.N(s.Low), page.N(s.High), page.N(s.ByChance),
			page.N(s.Alone), page.N(s.BeyondRest), page.N(s.P)})
	}
	return t
}

func resampledWithin(within string) string {
	if within == "" {
		return ""
	}
	return ", whole blocks at a time"
}

// drawShares shows what each factor gets, with its range and what chance would give.
func drawShares(k *call) (*Session, error) {
	n, _ := k.c.Slots["shares"].(phrase.Name)
	r, ok := k.s.result(n.Text)
	if !ok || r.shares == nil {
		return nil, &page.Problem{Code: "unknown-result", Message: "there are no shares named " + n.Text, At: n.At, Hint: "show results"}
	}
	p := r.shares
	fig, err := k.picture("What each factor gets of " + p.whole)
	if err != nil {
		return nil, err
	}
	k.e.Series = r.series
	fig.X = page.Axis{Label: "Factor", Levels: p.names}
	fig.Y = page.Axis{Label: "Share", Unit: "percent"}
	chance := page.Points{}
	var told []say.LevelMean
	for i, s := range p.Shares {
		at := float64(i)
		low, high := 100*s.Low, 100*s.High
		if math.IsNaN(low) {
			low, high = 100*s.Share, 100*s.Share
		}
		fig.Layers = append(fig.Layers, page.Interval{X: at, Mean: 100 * s.Share, Low: low, High: high, Look: 0})
		chance.X, chance.Y, chance.Looks = append(chance.X, at+0.18), append(chance.Y, 100*s.ByChance), append(chance.Looks, page.Grey)
		told = append(told, say.LevelMean{Level: p.names[i], N: p.N, Mean: s.Share})
	}
	fig.Layers = append([]page.Layer{chance}, fig.Layers...)
	fig.Keys = []page.Key{{Label: "by chance alone", Look: page.Grey}}
	fig.Note = say.BarsNote("share", p.conf)
	fig.Alt = say.SharesAlt(p.whole, told)
	return k.drawn(fig)
}
