package fits

import (
	"cmp"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// drivers looks for the fit that tells what drove a response.
type drivers struct {
	k           *session.Call
	cmd         *phrase.Drove
	sample      *session.Sample   // every specimen with a response
	all         []*session.Factor // the factors of the fit
	excluded    []session.LeftOut
	nuisance    []string // boards or days of few values, which enter as a category
	typed       *phrase.Fit
	asTyped     *fitted.Fit // what the typed line fits
	fit         *fitted.Fit // the same, with answers that hold for few boards too
	noBlocks    []string    // boards that could not be allowed for
	unknown     []string    // boards that one of the series has no value of
	wholeFit    *fitted.Fit // of the whole series, where these specimens are a part of it
	tried       int         // combined terms and bends
	unclear     []unclear   // of those tried, what is not clear and yet no chance
	pastDrawnIn bool        // past series are drawn in: a label of one is not the same board as that of another
}

// fewestBlocks is the number of blocks under which these are a category and no random level.
const fewestBlocks = 5

// choose takes the factors that there are and fits them all.
func (d *drivers) choose() error {
	k, y := d.k, d.cmd.Y
	s, r, err := k.Measured(y)
	if err != nil {
		return err
	}
	d.sample = s
	if lo, hi := session.MinMax(r.Values); lo == hi {
		return page.Refuse(page.CodeAllEqual, y.At, r.Name()+
			" is the same for every specimen used, so nothing can have driven it",
			k.LookAtOrWiden(y.Column.Column))
	}
	found, excluded, err := k.Candidates(s, y.Column.Column, d.cmd.Among)
	if err != nil {
		return err
	}
	blocks := d.blocks()
	for _, c := range found {
		if session.IsBlock(c.Column) && d.cmd.Among == nil || d.blockedBy(blocks, c.Name) ||
			d.cmd.Differ != nil && c.Name == frames.SeriesColumn {
			continue
		}
		if series := d.lacking(c.Name); series != "" {
			d.excluded = append(d.excluded, session.LeftOut{Column: c.Name, Why: series + " has no value of it"})
			continue
		}
		d.all = append(d.all, &session.Factor{Candidate: c})
	}
	for _, l := range excluded {
		if !d.blockedBy(blocks, l.Column) {
			d.excluded = append(d.excluded, l)
		}
	}
	for _, one := range d.all {
		if f, err := d.fitOn(phrase.Terms{List: []phrase.Term{one.Term()}}, nil); err == nil {
			one.ExplainsAlone = f.Explained
		}
	}
	d.all = s.Grouped(k.Context, d.all)
	kept, few, err := s.AsMany(k.Context, y.Column, d.all, func(n int) int { return n - 1 - session.ResidualDFFor(n) })
	if err != nil {
		return k.NoFactors(err, d.excluded)
	}
	d.all, d.excluded = kept, append(d.excluded, few...)
	return d.fitAll(blocks)
}

// blocks are the columns of boards, batches and days to allow for.
func (d *drivers) blocks() []phrase.BlockRef {
	if d.cmd.Blocks != nil {
		return d.cmd.Blocks.List
	}
	var among []string
	if d.cmd.Among != nil {
		for _, c := range d.cmd.Among.List {
			among = append(among, c.Column)
		}
	}
	var out []phrase.BlockRef
	for _, b := range session.BlocksOf(d.k.Context, d.sample, among) {
		if d.lacking(b.Column) != "" {
			d.unknown = append(d.unknown, b.Column)
			continue
		}
		if d.pastDrawnIn && b.Column != frames.SeriesColumn {
			b.Ref.Within = []phrase.ColumnRef{{Column: frames.SeriesColumn}}
		}
		out = append(out, b.Ref)
	}
	return out
}

// lacking is a series that was drawn in, or that others were drawn into, without one value of a column; "" for none.
func (d *drivers) lacking(column string) string {
	if !d.pastDrawnIn {
		return ""
	}
	has := map[string]bool{}
	var met []string
	for i := range d.sample.Frame.Len() {
		parallel.LookAt(d.k.Context, i)
		series, _ := d.sample.Frame.Cell(frames.SeriesColumn, i)
		if _, known := has[series]; !known {
			met = append(met, series)
		}
		_, there := d.sample.Frame.Cell(column, i)
		has[series] = has[series] || there
	}
	for _, series := range met {
		if !has[series] {
			return series
		}
	}
	return ""
}

func (d *drivers) blockedBy(blocks []phrase.BlockRef, column string) bool {
	return slices.ContainsFunc(blocks, func(b phrase.BlockRef) bool { return b.Column.Column == column })
}

// fitAll fits all factors, with the boards and days that can be allowed for.
func (d *drivers) fitAll(blocks []phrase.BlockRef) error {
	var random, nested []phrase.BlockRef // nested: too few to be random levels, and a factor goes with them
	for _, b := range blocks {
		switch n := d.sample.DistinctBlocks(d.k.Context, b); {
		case n >= fewestBlocks || d.cmd.Blocks != nil || n > d.sample.Distinct(d.k.Context, b.Column.Column):
			// or no one column has them as a category
			random = append(random, b)
		case d.variesWithin(b.Column.Column):
			d.nuisance = append(d.nuisance, b.Column.Column)
		default:
			nested = append(nested, b)
		}
	}
	var terms phrase.Terms
	for _, c := range d.nuisance {
		terms.List = append(terms.List, phrase.TermOf(c))
	}
	for _, one := range d.all {
		terms.List = append(terms.List, one.Term())
	}
	for _, b := range nested { // what is left out here but could be allowed for is a doubt
		if _, err := d.fitOn(terms, []phrase.BlockRef{b}); err != nil {
			d.noBlocks = append(d.noBlocks, b.Column.Column)
		}
	}
	tries := [][]phrase.BlockRef{random}
	if d.cmd.Blocks == nil && len(random) > 1 {
		finest := slices.MaxFunc(random, func(a, b phrase.BlockRef) int {
			return d.sample.DistinctBlocks(d.k.Context, a) - d.sample.DistinctBlocks(d.k.Context, b)
		})
		tries = append(tries, []phrase.BlockRef{finest})
	}
	if d.cmd.Blocks == nil && len(random) > 0 {
		tries = append(tries, nil)
	}
	var first error
	for _, list := range tries {
		f, err := d.fitOn(terms, list)
		if err == nil {
			d.fit = f
			for _, b := range random {
				if !d.blockedBy(list, b.Column.Column) {
					d.noBlocks = append(d.noBlocks, b.Column.Column)
				}
			}
			return d.requireResiduals()
		}
		if first == nil {
			first = err
		}
	}
	return first
}

// requireResiduals refuses a fit that meets every value.
func (d *drivers) requireResiduals() error {
	if d.fit.Sigma > 0 {
		return nil
	}
	return page.Refuse(page.CodeNoResiduals, d.cmd.Y.At, "these columns meet every value of "+d.cmd.Y.Column.Column+
		" exactly, so nothing is left to judge an effect by", "name the factors: what drove "+
		phrase.Spelled(d.cmd.Y.Column.Column)+" among …")
}

// variesWithin reports whether no factor goes with a column of blocks.
func (d *drivers) variesWithin(block string) bool {
	return !slices.ContainsFunc(d.all, func(one *session.Factor) bool {
		return d.sample.Together(d.k.Context, one.Name, block) >= session.Confounded
	})
}

// fitOn fits the response on terms, as a line that a person could type.
func (d *drivers) fitOn(terms phrase.Terms, blocks []phrase.BlockRef) (*fitted.Fit, error) {
	own := d.k.Command.Clauses()
	fit := &phrase.Fit{Clauses: phrase.Clauses{For: own.For, From: own.From, Confidence: own.Confidence,
		Worth: own.Worth}, OnTerms: phrase.OnTerms{Y: d.cmd.Y, Terms: terms},
		FitOptions: phrase.FitOptions{Differ: d.cmd.Differ}}
	if len(blocks) > 0 {
		fit.Blocks = &phrase.Blocks{List: blocks}
	}
	quiet := *d.k
	quiet.Command, quiet.Entry, quiet.Taken = phrase.CommandOf(fit), &page.Entry{}, nil
	f, err := fitted.OnTerms(&quiet, fit.OnTerms, fit.FitOptions, false)
	if err != nil {
		return nil, err
	}
	d.typed, d.asTyped, d.k.Entry.Specimens, d.k.Taken = fit, f, quiet.Entry.Specimens, quiet.Taken
	return f.ForFewBlocks(d.k.Context)
}

// mostJoined is how many combined terms and bends may join the fit: with more there is no answer to read.
const mostJoined = 3

// extra is a combined term, or a bend, that may join the fit.
type extra struct {
	term  design.Term
	typed phrase.Term
	gone  bool
}

// unclear is a combined term or a bend, as large as is worth having, whose probability is too small for chance and too
// large for a finding: the factors in it cannot be said to make no difference.
type unclear struct {
	extra
	p float64 // adjusted (Holm) for all that were tried
}

// same reports whether two are of the same columns.
func (u unclear) same(v unclear) bool { return slices.Equal(u.term.Factors, v.term.Factors) }

// partner is the factor that another one goes together with.
func (u unclear) partner(name string) string {
	for _, f := range u.typed.Factors {
		if f.Column.Column != name {
			return f.Column.Column
		}
	}
	return ""
}

// unclearOf is the clearest of those that a factor is in; nil for none.
func (d *drivers) unclearOf(factor string) *unclear {
	of := lists.Where(d.unclear, func(u unclear) bool {
		return slices.ContainsFunc(u.typed.Factors, func(f phrase.Factor) bool { return f.Column.Column == factor })
	})
	if len(of) == 0 {
		return nil
	}
	clearest := slices.MinFunc(of, func(a, b unclear) int { return cmp.Compare(a.p, b.p) })
	return &clearest
}

// join lets the combined terms and bends join the fit that are clear (Holm over all that were tried) and worth
// having, the clearest first.
func (d *drivers) join() error {
	pool := d.extras()
	for range mostJoined {
		p := make([]float64, len(pool))
		fits := make([]*fitted.Fit, len(pool))
		for i := range pool {
			p[i] = math.NaN()
			if !pool[i].gone {
				fits[i], p[i] = d.withExtra(pool[i])
			}
			if err := d.k.Context.Err(); err != nil {
				return err
			}
		}
		best, adjusted := -1, doubts.Holm(p)
		var seen []int // no chance, and worth having
		d.tried, d.unclear = max(d.tried, lists.Count(p, func(p float64) bool { return !math.IsNaN(p) })), nil
		for i, joined := range adjusted {
			if !(joined < 1-d.k.Confidence()) {
				continue
			}
			if worth, err := d.worthHaving(fits[i]); err != nil {
				return err
			} else if !worth {
				continue
			}
			seen = append(seen, i)
			if joined < doubts.Clear && (best < 0 || p[i] < p[best]) {
				best = i
			}
		}
		for _, i := range seen {
			if i != best {
				d.unclear = append(d.unclear, unclear{pool[i], adjusted[i]})
			}
		}
		if best < 0 {
			return nil
		}
		terms := phrase.Terms{List: slices.Clone(d.typed.Terms.List)}
		if e := pool[best]; len(e.term.Factors) > 1 {
			terms.List = append(terms.List, e.typed)
		} else {
			at := slices.IndexFunc(terms.List, func(t phrase.Term) bool {
				return len(t.Factors) == 1 && t.Factors[0].Column.Column == e.typed.Factors[0].Column.Column
			})
			terms.List[at] = e.typed
		}
		var blocks []phrase.BlockRef
		if d.typed.Blocks != nil {
			blocks = d.typed.Blocks.List
		}
		f, err := d.fitOn(terms, blocks)
		if err != nil {
			return err
		}
		d.fit = f
		pool[best].gone = true
	}
	return nil
}

// extras are all pairs of factors together, and the bend of each number of more than a few values.
func (d *drivers) extras() []extra {
	var out []extra
	columns := d.fit.Columns()
	at := func(name string) design.Factor { return design.Factor{Variable: slices.Index(columns, name)} }
	for i, b := range d.all {
		for _, a := range d.all[:i] {
			out = append(out, extra{term: design.Term{Factors: []design.Factor{at(a.Name), at(b.Name)}},
				typed: phrase.TermOf(a.Name, b.Name)})
		}
		if b.Kind == frames.Number && b.Few == nil {
			square := at(b.Name)
			square.Function = design.Squared
			curved := phrase.TermOf(b.Name)
			curved.Curved = true
			out = append(out, extra{term: design.Term{Factors: []design.Factor{square}}, typed: curved})
		}
	}
	return out
}

// withExtra is the fit with one term more, and the probability of that; NaN where it cannot be fitted, or
// would leave too few residual degrees of freedom.
func (d *drivers) withExtra(e extra) (*fitted.Fit, float64) {
	f, err := d.fit.With(d.k.Context, e.term)
	if err != nil || !(f.Sigma > 0) || f.N-len(f.Coefficients) < session.ResidualDFFor(f.N) {
		return nil, math.NaN()
	}
	var contrasts [][]float64
	for _, i := range f.RowsOf(len(f.Model().Terms) - 1) {
		w := make([]float64, len(f.Coefficients))
		w[i] = 1
		contrasts = append(contrasts, w)
	}
	test, ok := f.Jointly(d.k.Context, contrasts)
	if !ok {
		return nil, math.NaN()
	}
	return f, test.P
}

// worthHaving reports whether the last term of a fit is as large as is worth having.
func (d *drivers) worthHaving(f *fitted.Fit) (bool, error) {
	w, err := d.k.WorthOf(f.Y)
	if err != nil {
		return false, err
	}
	e, ok, err := describer{f: f, k: d.k, conf: d.k.Confidence(), worth: w, term: len(f.Model().Terms) - 1,
		p: math.NaN()}.describe()
	if err != nil || !ok {
		return false, err
	}
	return w.Value > 0 && slices.ContainsFunc(e.mains, func(a session.Answer) bool {
		return math.Abs(a.Gap.Value) >= a.Gap.Worth.Value
	}), nil
}
