package fits

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/lists"
	"breakbook/models/shares"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// sharedOut says that two factors changed together, so that only what both get is sure.
func sharedOut(first, second string, strength, both float64) page.Sentence {
	return page.Say(first+" and "+second+" changed together in these specimens (association ",
		page.Num{Value: strength, Style: page.Ratio}, "): "+say.TogetherMeans(strength)+
			". What one of them gets the other might have; both together get ", page.Share(both), ".")
}

// sharesAlt tells what a picture of shares shows.
func sharesAlt(whole string, shares []say.LevelMean) page.Sentence {
	return page.Say("What each factor gets of "+whole+", with its interval and what chance alone would give: ",
		page.Joined(shares, "; ", func(l say.LevelMean) page.Sentence {
			return page.Say(l.Level+" ", page.Share(l.Mean))
		}), ".")
}

// ShareOut parts what terms explain among them.
func ShareOut(k *session.Call, cmd *phrase.ShareOut) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.WeightedOnTerms:
		f, err := fitted.OnTerms(k, of.OnTerms, phrase.FitOptions{Weight: of.Weight}, false)
		if err != nil {
			return nil, err
		}
		return shareFit(k, f)
	case phrase.OfFit:
		return shareOutOf(k, of.Fit)
	case phrase.ModeOnTerms:
		return shareOutMode(k, of.Mode, of.Terms)
	}
	return nil, k.Unhandled()
}

// shareOutOf does so for an earlier fit.
func shareOutOf(k *session.Call, name phrase.Name) (*session.Outcome, error) {
	f, err := fitted.Open(k, name)
	if err == nil {
		err = f.AllFixed("sharing out", name.At)
	}
	if err != nil {
		return nil, err
	}
	method := ""
	switch {
	case f.Method.Blocks != nil:
		method = "a blocked fit"
	case f.Method.Resistant:
		method = "a resistant fit"
	case f.Model().ThroughZero:
		method = "a fit through zero"
	default:
		return shareFit(k, f)
	}
	return nil, page.Refuse(page.CodeNoShares, name.At, "what "+method+
		" explains cannot be shared out among its terms", shareLine(f))
}

// shareLine shares out a fit's response on its terms, fitted in the plain way.
func shareLine(f *fitted.Fit) string {
	cmd, ok := f.Command.Do.(*phrase.Fit)
	if !ok {
		return ""
	}
	return phrase.Line(&phrase.ShareOut{Clauses: phrase.Clauses{For: cmd.For, From: cmd.From},
		Subject: phrase.WeightedOnTerms{OnTerms: cmd.OnTerms}})
}

// shareFit parts the explained variation of a fit.
func shareFit(k *session.Call, f *fitted.Fit) (*session.Outcome, error) {
	o, within := parting(k, f.Sample)
	r, err := shares.OfMeasure(k.Context, f.Y.Values, f.Model(), o)
	if err != nil {
		return nil, sharesProblem(k, err)
	}
	function := f.Y.Function
	p := &session.Shares{Result: r, Model: f.Model(), Conf: k.Confidence(), Quick: k.Back != nil, Of: f.Y.Column,
		Calls: func(c frames.Column) string { return "the variation in " + session.MeasureBy(function)(c) }}
	p.Whole = p.Calls(p.Of)
	k.Entry.Warn(f.DependentCautions()...)
	return sharesOutcome(k, p, f.Sample, f.Y, f.Known(), within)
}

// shareOutMode parts what a list of terms explains of a way of breaking.
func shareOutMode(k *session.Call, mode phrase.Is, terms phrase.Terms) (*session.Outcome, error) {
	column := mode.Column.Column
	b := session.FormulaOf(terms)
	if slices.Contains(b.Columns, column) {
		return nil, page.Refuse(page.CodeResponseAmongTerms, terms.At, column+" cannot explain itself",
			"leave it out of the terms")
	}
	s, err := k.Broken(mode.Column, session.NamedLevels(mode), b.Columns...)
	if err != nil {
		return nil, err
	}
	is, err := session.Where(k.Context, s.Frame, mode)
	if err != nil {
		return nil, err
	}
	v, err := s.Variables(k.Context, b.Columns)
	if err != nil {
		return nil, err
	}
	m := design.Model{Variables: v, Terms: b.Terms}
	o, within := parting(k, s)
	r, err := shares.OfMode(k.Context, is, m, o)
	if err != nil {
		return nil, sharesProblem(k, err)
	}
	c, _ := s.Frame.Column(column)
	p := &session.Shares{Result: r, Model: m, Conf: k.Confidence(), Quick: k.Back != nil, Of: c,
		Calls: func(c frames.Column) string {
			return "the likelihood that " + c.Name + " is " + session.ModeName(mode)
		}}
	p.Whole = p.Calls(p.Of)
	return sharesOutcome(k, p, s, &session.Response{Column: c}, append(slices.Clone(b.Columns), column), within)
}

// parting is how terms are to be parted, and what specimens are kept together within.
func parting(k *session.Call, s *session.Sample) (shares.Options, string) {
	o := shares.Options{Confidence: k.Confidence(), Seed: k.Session.Settings().Seed, Progress: k.Progress()}
	if k.Back != nil {
		o.Resamples, o.Times = 2, 2 // only the shares themselves are wanted
	}
	var within string
	o.Blocks, within = s.Blocks(k.Context, k.Marked(s))
	return o, within
}

// sharesProblem words what keeps terms from being parted.
func sharesProblem(k *session.Call, err error) error {
	var e *shares.Error
	if !errors.As(err, &e) {
		return err
	}
	leaveOrWiden := k.OrWiden("leave it out")
	p := &page.Problem{Code: page.Code(e.Code), At: k.TermPlace(e.Term)}
	if terms, ok := phrase.Part[phrase.Terms](k.Command); p.At == 0 && ok {
		p.At = terms.At
	}
	switch e.Code {
	case "too-many-terms":
		p.Message, p.Hint = "more than 60 terms cannot be parted", "leave terms out"
	case "too-few-specimens":
		p.Message, p.Hint = "the specimens are too few for that many terms", "leave terms out, or use more specimens"
	case "all-equal":
		p.Message, p.Hint = "all specimens used are alike in the response, so there is nothing to part",
			k.OrWiden("share out another response")
		if mode, ok := phrase.Part[phrase.Is](k.Command); ok {
			p.Hint = k.LookAtOrWiden(mode.Column.Column)
			p.At, p.Message = mode.At, "all specimens used are alike in "+mode.Column.Column+
				" being "+session.ModeName(mode)+", so there is nothing to part"
		}
	case "one-level":
		p.Message, p.Hint = k.TermName(e.Term)+" has only one level among the specimens used", leaveOrWiden
	case "nothing-varies":
		p.Message, p.Hint = k.TermName(e.Term)+" is the same for every specimen used", leaveOrWiden
	case "too-many-columns":
		p.Message = fmt.Sprintf("%s brings these terms to more than %d columns, the most there may be",
			k.TermName(e.Term), design.MostColumns)
		p.Hint = "merge levels of it, or leave it out"
	case "through-zero":
		p.Message, p.Hint = "through zero, what is explained is not about the mean and is not parted",
			"leave through zero out"
	default:
		p.Message = k.TermName(e.Term) + ": " + e.Error()
	}
	return p
}

// sharesOutcome fills in the entry and books the result.
func sharesOutcome(k *session.Call, p *session.Shares, s *session.Sample, r *session.Response, known []string,
	within string) (*session.Outcome, error) {
	for t := range p.Model.Terms {
		p.Names = append(p.Names, session.TermName(p.Model, t))
	}
	for t := range p.Shares {
		withoutNoise(&p.Shares[t])
	}
	columns := lists.Mapped(p.Model.Variables, func(v design.Variable) string { return v.Name })
	pairs := k.Associations(s, r.Column.Name, columns)
	mains := tell(p, k)
	k.Entry.Find(inseparable(p, pairs, columns)...)
	k.Entry.Tables = []page.Table{table(p, within)}
	if len(pairs) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, session.AssociationTable(pairs))
	}
	values := shareValues{Explained: p.Explained, N: p.N, Resamples: p.Resamples, Reshuffles: p.Times}
	if p.Orders > 0 {
		most := 0.0
		for _, s := range p.Shares {
			most = math.Max(most, s.Error)
		}
		values.orderValues = &orderValues{p.Orders, most}
		k.Entry.Warn(page.Say("With ", len(p.Names), " terms there are too many orders of entry to go through: ",
			p.Orders, " were drawn, and a share has a standard error of up to ", page.Share(most), " from that."))
	}
	k.Entry.Values = page.ValuesOf(values, nil)
	var fixed []string
	for t, s := range p.Shares {
		if math.IsNaN(s.P) && within != "" {
			fixed = append(fixed, p.Names[t])
		}
	}
	k.Entry.Warn(page.If(len(fixed) > 0, strings.Join(fixed, ", ")+say.Plural(len(fixed), " does", " do")+" not vary"+
		within+": reshuffling within them cannot put "+say.Plural(len(fixed), "it", "them")+" to the test."))
	if within != "" {
		known = append(slices.Clone(known), k.Marked(s)...)
	}
	return session.Tested(s, r, known, mains).Keeping(session.Result{Shares: p, Columns: columns}), nil
}

// leastShare is the share below which nothing but the arithmetic speaks.
const leastShare = 1e-9

// withoutNoise makes a share, and the ends of its interval, nothing or all where they are off it by no more than noise.
func withoutNoise(s *shares.Share) {
	for _, x := range []*float64{&s.Share, &s.Low, &s.High, &s.Alone, &s.BeyondRest} {
		if near := math.Round(*x); math.Abs(*x-near) < leastShare {
			*x = near
		}
	}
}

// tell tells the shares, the largest first.
func tell(p *session.Shares, k *session.Call) []session.Answer {
	order := session.AllRows(len(p.Shares))
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.Shares[b].Share, p.Shares[a].Share) })
	var mains []session.Answer
	for i, t := range order {
		s := p.Shares[t]
		part := say.Part{Factor: p.Names[t], Share: s.Share, Range: verdict.Range{Low: s.Low, High: s.High},
			Confidence: p.Conf, ByChance: s.ByChance, P: s.P, Quick: p.Quick, Alone: len(order) == 1}
		finding := part.Sentence()
		if i == 0 {
			finding = part.Lead(p.Whole, p.Explained)
		}
		k.Entry.Find(finding)
		mains = append(mains, session.Answer{Key: p.Names[t], Finding: finding,
			Gap: say.Gap{Value: s.Share, Range: part.Range}})
	}
	return mains
}

// inseparable says which factors varied together, so that their shares cannot be distinguished.
func inseparable(p *session.Shares, pairs []session.Association, columns []string) []page.Sentence {
	if len(columns) < 2 {
		return nil
	}
	var out []page.Sentence
	for _, q := range pairs {
		if !slices.Contains(columns, q.First) || !slices.Contains(columns, q.Second) {
			continue
		}
		sum := 0.0
		for t, term := range p.Model.Terms {
			ofBoth := true
			for _, f := range term.Factors {
				name := p.Model.Variables[f.Variable].Name
				ofBoth = ofBoth && (name == q.First || name == q.Second)
			}
			if ofBoth {
				sum += p.Shares[t].Share
			}
		}
		out = append(out, sharedOut(q.First, q.Second, q.Strength, sum))
	}
	if out == nil {
		out = []page.Sentence{page.Say("No two of these factors changed together (association ",
			page.Num{Value: session.LeastStrength, Style: page.Exact},
			" or more), so their shares can be distinguished.")}
	}
	return out
}

// shareRow is what one factor gets of what is explained.
type shareRow struct {
	Factor     string  `id:"factor"`
	Share      float64 `id:"share" style:"fraction"`
	Low        float64 `id:"low" style:"fraction"`
	High       float64 `id:"high" style:"fraction"`
	ByChance   float64 `id:"by_chance" style:"fraction"`
	Alone      float64 `id:"alone" style:"fraction" wide:"yes"`
	BeyondRest float64 `id:"beyond_rest" style:"fraction" wide:"yes"`
	P          float64 `id:"p" style:"p"`
}

// shareValues are what is shared out, and how often chance was tried.
type shareValues struct {
	Explained  float64 `id:"explained" style:"fraction"`
	N          int     `id:"n"`
	Resamples  int     `id:"resamples"`
	Reshuffles int     `id:"reshuffles"`
	*orderValues
}

// orderValues are there where the orders of entry were sampled.
type orderValues struct {
	Orders int     `id:"orders"`
	Error  float64 `id:"order_error" style:"exact"`
}

// table has one row a term.
func table(p *session.Shares, within string) page.Table {
	blocks := ""
	if within != "" {
		blocks = ", whole blocks at a time"
	}
	var rows []shareRow
	for i, s := range p.Shares {
		rows = append(rows, shareRow{p.Names[i], s.Share, s.Low, s.High, s.ByChance, s.Alone, s.BeyondRest, s.P})
	}
	return page.Filled(page.Table{ID: "shares", Title: page.Say("What each factor gets of "+p.Whole+", of ",
		page.Share(p.Explained), " explained"),
		Note: page.Say("share: gain averaged over every order in which the factors can enter; low and high: ",
			page.Share(p.Conf), " interval by resampled specimens"+blocks+"; by chance: what a factor with no effect "+
				"would get; alone, beyond rest: gain where it enters first, and last; p: reshuffled, of beyond rest"+
				within)}, rows, nil)
}

// DrawShares shows what each factor gets, with its interval and what chance would give.
func DrawShares(k *session.Call, cmd *phrase.DrawShares) (*session.Outcome, error) {
	n := cmd.Shares
	r, ok := k.Session.Result(n.Text)
	if !ok || r.Shares == nil {
		return nil, page.Refuse(page.CodeUnknownResult, n.At, "there are no shares named "+n.Text, "show results")
	}
	p := r.Shares
	fig, err := k.Picture("What each factor gets of "+p.Whole, cmd.Picture)
	if err != nil {
		return nil, err
	}
	k.Entry.Series = r.Series
	fig.X = page.Axis{Label: "Factor", Levels: p.Names}
	fig.Y = page.Axis{Label: "Share", Unit: "percent"}
	chance := page.Points{}
	var means []say.LevelMean
	for i, s := range p.Shares {
		at := float64(i)
		low, high := 100*s.Low, 100*s.High
		if math.IsNaN(low) {
			low, high = 100*s.Share, 100*s.Share
		}
		fig.Layers = append(fig.Layers, page.Interval{X: at, Mean: 100 * s.Share, Low: low, High: high, Look: 0})
		chance.X, chance.Y, chance.Looks = append(chance.X, at+0.18), append(chance.Y, 100*s.ByChance),
			append(chance.Looks, page.Grey)
		means = append(means, say.LevelMean{Level: p.Names[i], N: p.N, Mean: s.Share})
	}
	fig.Layers = append([]page.Layer{chance}, fig.Layers...)
	fig.Keys = []page.Key{{Label: "by chance alone", Look: page.Grey}}
	fig.Note = say.BarsNote("share", p.Conf)
	fig.Alt = sharesAlt(p.Whole, means)
	return k.Drawn(fig)
}
