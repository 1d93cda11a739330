package modes

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/odds"
	"breakbook/models/shares"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// fewEnded is how many specimens have to have failed in a way, and as many in others, for anything to be
// asked about it.
const fewEnded = 3

// Drove answers which of all columns drove how specimens failed: the odds of each way against all others
// on every column that could be a factor. Factors are ranked by their shares of the explained likelihood;
// each is tested by the penalised likelihood ratio of the fit without it, with Holm's correction over all
// factors and ways. Sizes are differences of the chance, in percentage points.
func Drove(k *session.Call, cmd *phrase.DroveMode) (*session.Outcome, error) {
	d := &modeDrivers{k: k, cmd: cmd}
	modes, err := d.choose()
	if err != nil {
		return nil, err
	}
	var all []*modeDriven
	for _, m := range modes {
		some, err := d.ask(m)
		if err != nil {
			return nil, err
		}
		all = append(all, some...)
	}
	if len(all) == 0 {
		hint := "break more specimens"
		for _, one := range d.factors {
			if one.Kind == frames.Category {
				hint = phrase.Line(&phrase.CountModes{Clauses: k.Scope(), Mode: d.column,
					A: phrase.ColumnRef{Column: one.Name}})
				break
			}
		}
		return nil, page.Refuse(page.CodeTooFewSpecimens, d.column.At,
			"too few specimens failed in any one way, or in others, to ask what drove "+d.column.Column, hint)
	}
	if err := d.settlePairs(all); err != nil {
		return nil, err
	}
	p := lists.Mapped(all, func(t *modeDriven) float64 { return t.P })
	for i, joined := range doubts.Holm(p) {
		all[i].Decide(all[i].answers(), joined, 1-k.Confidence())
	}
	slices.SortStableFunc(all, func(a, b *modeDriven) int { return cmp.Compare(b.Share, a.Share) })
	d.tell(all, len(modes) > 1)
	values := session.DroveValues{N: d.sample.Counts.Used, Explained: math.NaN()}
	if len(modes) == 1 {
		values.Explained = d.explained
	}
	k.Entry.Values = page.ValuesOf(values, nil)
	var answers []session.Answer
	for _, t := range all {
		for _, c := range t.contrasts {
			answers = append(answers, session.Answer{Key: c.key, Gap: c.gap, Finding: c.finding})
		}
	}
	known := []string{d.column.Column}
	for _, one := range d.factors {
		known = append(append(known, one.Name), one.With...)
	}
	out := session.Tested(d.sample, d.sample.Mode(d.column.Column), known, answers)
	own := k.Command.Clauses()
	for _, m := range modes {
		out.Parts = append(out.Parts, &phrase.Odds{
			Clauses: phrase.Clauses{For: own.For, From: own.From, Confidence: own.Confidence, Worth: own.Worth},
			Subject: phrase.OneMode{Mode: m}, Terms: d.terms()})
	}
	return out.Keeping(session.Result{Columns: known, Gaps: d.drawn(all, len(modes) > 1)}), nil
}

// modeDrivers looks for what drove how specimens failed.
type modeDrivers struct {
	k        *session.Call
	cmd      *phrase.DroveMode
	column   phrase.ColumnRef
	sample   *session.Sample // with a value of every factor
	factors  []*session.Factor
	excluded []session.LeftOut
	boards   []string // that are not allowed for
	tooRare  []string // ways of failing that too few specimens ended in
	pairs    []*modePair

	explained float64 // of the likelihood of the latest way of failing
}

// modeDriven is what one factor does to the chance of one way of failing.
type modeDriven struct {
	session.Driven
	mode      string // "glue"
	contrasts []contrast
	pair      *modePair // that it is told in, each at the other's settings; nil: none
}

// answers are those of its contrasts.
func (t *modeDriven) answers() (all []verdict.Answer) {
	for _, c := range t.contrasts {
		all = append(all, c.said.Answer)
	}
	return all
}

// choose takes the factors that there are, and the ways of failing that are asked about.
func (d *modeDrivers) choose() ([]phrase.Is, error) {
	k := d.k
	var asked []phrase.Is
	var level []string
	d.column = d.cmd.Modes
	if l := d.cmd.Level; l != nil {
		level = []string{l.Level}
		asked = []phrase.Is{{Column: d.column, Values: []phrase.Value{{Text: l.Level, At: l.At}}, At: d.column.At}}
	}
	s, err := k.Broken(d.column, level)
	if err != nil {
		return nil, err
	}
	found, excluded, err := k.Candidates(s, d.column.Column, d.cmd.Among)
	if err != nil {
		return nil, err
	}
	d.excluded = excluded
	groups, err := k.Groups(s, make([]float64, s.Frame.Len()), d.column)
	if err != nil {
		return nil, err
	}
	if len(groups) == 1 && asked == nil {
		return nil, sameMode(k, d.column, groups[0].Level)
	}
	for _, b := range session.BlocksOf(k.Context, s, []string{d.column.Column}) {
		d.boards = append(d.boards, b.Column)
	}
	if asked == nil {
		for _, g := range groups {
			if min(len(g.Rows), s.Frame.Len()-len(g.Rows)) < fewEnded {
				d.leaveOut(g.Level, len(g.Rows), s.Frame.Len())
				continue
			}
			asked = append(asked, phrase.Is{Column: d.column, Values: []phrase.Value{{Text: g.Level}}})
		}
		if len(groups) == 2 && len(asked) == 2 { // the one is not the other
			asked = asked[1:]
		}
	}
	var all []*session.Factor
	for _, c := range found {
		if session.IsBlock(c.Column) && d.cmd.Among == nil {
			continue
		}
		all = append(all, &session.Factor{Candidate: c, ExplainsAlone: s.Together(k.Context, c.Name, d.column.Column)})
	}
	kept, few, err := s.AsMany(k.Context, d.column, s.Grouped(k.Context, all), func(n int) int {
		return n - 1 - session.ResidualDFFor(n)
	})
	if err != nil {
		return nil, k.NoFactors(err, excluded)
	}
	d.factors, d.excluded = kept, append(d.excluded, few...)
	columns := lists.Mapped(d.factors, func(one *session.Factor) string { return one.Name })
	d.sample, err = k.Broken(d.column, level, columns...)
	return asked, err
}

// ask is what each factor does to the chance of one way of failing; nothing where too few of the
// specimens used ended in it.
func (d *modeDrivers) ask(mode phrase.Is) ([]*modeDriven, error) {
	k := d.k
	ended, err := session.Where(k.Context, d.sample.Frame, mode)
	if err != nil {
		return nil, err
	}
	codes := asCodes(ended)
	name := session.ModeName(mode)
	if n := count(ended); min(n, len(ended)-n) < fewEnded {
		d.leaveOut(name, n, len(ended))
		return nil, nil
	}
	full, err := d.odds(mode, codes, d.terms())
	if err != nil {
		return nil, err
	}
	contrasts, err := full.contrasts(k, k.Confidence())
	if err != nil {
		return nil, err
	}
	if err := d.tryPairs(mode, codes, full, ended); err != nil {
		return nil, err
	}
	share := d.shareOut(full, ended)
	var out []*modeDriven
	for _, one := range d.factors {
		t := &modeDriven{Driven: session.Driven{Factor: one, Share: share(one.Name)}, mode: name}
		variable := slices.Index(full.Place.Columns(), one.Name)
		for _, c := range contrasts {
			if c.variable() == variable {
				t.contrasts = append(t.contrasts, c)
			}
		}
		if t.P, err = full.without(k, one.Name); err != nil {
			return nil, err
		}
		if len(t.contrasts) > 0 && !math.IsNaN(t.P) {
			out = append(out, t)
		}
	}
	return out, nil
}

// leaveOut notes a way of failing that too few specimens, n of so many, ended in, or did not.
func (d *modeDrivers) leaveOut(mode string, n, of int) {
	d.tooRare = append(d.tooRare, fmt.Sprintf("%s %s (%d of %d specimens)", d.column.Column, mode, n, of))
}

// saidMode is a way of failing in a sentence, with its column where another one is called as it is: "failure pins".
func (d *modeDrivers) saidMode(mode string) string {
	if _, ok := d.sample.Frame.Column(mode); ok {
		return d.column.Column + " " + mode
	}
	return mode
}

func (d *modeDrivers) terms() phrase.Terms {
	var out phrase.Terms
	for _, one := range d.factors {
		out.List = append(out.List, one.Term())
	}
	return out
}

// odds are those of one way of failing on terms.
func (d *modeDrivers) odds(mode phrase.Is, codes []int, terms phrase.Terms) (*modeOdds, error) {
	name := session.ModeName(mode)
	o := &modeOdds{column: d.column, names: []string{"not " + name, name}, tenths: true}
	if err := o.fit(d.k, d.sample, codes, session.FormulaOf(terms)); err != nil {
		return o, err
	}
	var err error
	if o.ratios, err = o.Penalised(d.k.Context); errors.Is(err, odds.ErrNoPeak) {
		return o, o.noPeak()
	}
	return o, err
}

// columnsOf are the columns of a term, each once.
func columnsOf(m design.Model, t design.Term) []string {
	out := lists.Mapped(t.Factors, func(f design.Factor) string { return m.Variables[f.Variable].Name })
	slices.Sort(out)
	return slices.Compact(out)
}

// without is the probability of the terms that hold all of some columns, by the penalised likelihood ratio; NaN
// where the specimens cannot tell any of them.
func (o *modeOdds) without(k *session.Call, columns ...string) (float64, error) {
	var of []int
	m := o.Place.Model()
	for i, t := range m.Terms {
		about := columnsOf(m, t)
		if slices.ContainsFunc(columns, func(c string) bool { return !slices.Contains(about, c) }) {
			continue
		}
		for _, row := range o.Place.RowsOf(i) {
			of = append(of, slices.Index(o.kept, row))
		}
	}
	if len(of) == 0 {
		return math.NaN(), nil
	}
	p, err := o.ratios.Without(k.Context, of)
	if errors.Is(err, odds.ErrNoPeak) {
		return math.NaN(), nil
	}
	return p, err
}

// shareOut gives the share of each factor of the explained likelihood; NaN where it cannot be parted.
func (d *modeDrivers) shareOut(o *modeOdds, ended []bool) func(factor string) float64 {
	m := o.Place.Model()
	r, err := shares.OfMode(d.k.Context, ended, m, shares.Options{Confidence: d.k.Confidence(),
		Seed: d.k.Session.Settings().Seed, Resamples: 2, Times: 2})
	if d.explained = math.NaN(); err == nil {
		d.explained = r.Explained
	}
	return func(factor string) float64 {
		if err != nil {
			return math.NaN()
		}
		sum := 0.0
		for i, s := range r.Shares {
			if about := columnsOf(m, m.Terms[i]); slices.Contains(about,
				factor) { // of a combined term, half goes to each
				sum += s.Share / float64(len(about))
			}
		}
		return sum
	}
}

// tell fills in the entry.
func (d *modeDrivers) tell(all []*modeDriven, several bool) {
	k := d.k
	driving, none, undecided := session.ByAnswer(all, func(t *modeDriven) verdict.Answer { return t.Answer })
	named := func(t *modeDriven) string {
		if several {
			return t.Said() + " for " + d.saidMode(t.mode)
		}
		return t.Said()
	}
	what := d.column.Column
	if !several {
		what += " is " + all[0].mode
	}
	lead := page.Say("What drove "+what+": ",
		page.Joined(driving, ", then ", func(t *modeDriven) page.Sentence { return page.Say(named(t)) }), ".")
	if len(driving) == 0 {
		lead = page.Say("No factor was seen to drive "+what+" (",
			d.sample.Counts.Used, " specimens, ", len(d.factors), say.Plural(len(d.factors), " factor", " factors"),
			").")
	}
	k.Entry.Findings = []page.Sentence{lead}
	for _, p := range d.pairs {
		k.Entry.Find(page.Say("What "+p.a.Said()+" does to the chance of "+d.saidMode(p.mode)+" depends on "+
			p.b.Said()+" (",
			page.Chance(p.p), " for the two together):"))
	}
	unlike := false // what was counted
	for _, t := range driving[:min(4, len(driving))] {
		shown := t.contrasts[:1]
		if t.pair != nil {
			shown = t.contrasts[:min(2, len(t.contrasts))] // what it does at one setting is not what it does at another
		}
		for _, c := range shown {
			size, r := c.moves()
			k.Entry.Find(c.said.Terse(size, r))
			unlike = unlike || c.unlikeCounted()
		}
	}
	k.Entry.Find(page.If(unlike, "By the fit: with the other factors held equal, in which the counted specimens "+
		"differ too."),
		listedModes("No difference worth having", none, named), listedModes("Cannot tell", undecided, named))
	k.Entry.Find(d.notBorneOut(undecided, len(all), named)...)
	k.Entry.Find(page.If(len(d.boards) > 0, "Not in these odds: "+strings.Join(d.boards, ", ")+
		"; where allowing for them by least squares gives another answer, that is told as a doubt."),
		page.If(len(d.tooRare) > 0, "Too few specimens to ask about: "+strings.Join(d.tooRare, ", ")+"."),
		d.sample.NotTried(k.Context, d.excluded))
	var rows []session.FactorRow
	for _, t := range all {
		size, r := t.contrasts[0].moves()
		q := func(x float64) page.Quantity { return page.Quantity{Value: x} }
		row := session.FactorRow{Factor: t.All(), Answer: t.Answer.Key(), Size: q(size), Low: q(r.Low), High: q(r.High),
			Percent: math.NaN(), Share: t.Share, P: t.AdjustedP}
		if several {
			row.FactorMode = &session.FactorMode{Mode: t.mode}
		}
		rows = append(rows, row)
	}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "factors", Title: page.Say("What drove " + what),
		Second: true, Note: page.Say("size: how far the chance moves, in percentage points, between the clearest "+
			"pair of levels or from the 10th to the 90th percentile of a number; low and high: ",
			page.Share(k.Confidence()),
			" interval; share: of the explained likelihood; p: by the likelihood ratio, penalised (Firth 1993) so "+
				"that few breaks are not taken for more, adjusted for ", len(all), " questions (Holm)")}, rows,
		page.Names{"y": page.PercentagePoints})}
	if len(d.excluded) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, session.LeftOutTable(d.excluded))
	}
}

// notBorneOut says why some of what cannot be told has an interval without zero: among so many questions its
// probability does not bear it out, or not even by itself, since the interval is that of the plain likelihood.
func (d *modeDrivers) notBorneOut(undecided []*modeDriven, asked int, named func(*modeDriven) string) []page.Sentence {
	var alone, few []*modeDriven
	for _, t := range undecided {
		switch {
		case !t.DiffersAlone:
		case t.P < 1-d.k.Confidence():
			alone = append(alone, t)
		default:
			few = append(few, t)
		}
	}
	list := func(all []*modeDriven) page.Sentence {
		return page.Joined(all, ", ", func(t *modeDriven) page.Sentence {
			return page.Say(named(t), " (", page.Chance(t.P), ")")
		})
	}
	var out []page.Sentence
	if len(alone) > 0 {
		first := slices.MinFunc(alone, func(a, b *modeDriven) int { return cmp.Compare(a.AdjustedP, b.AdjustedP) })
		out = append(out, page.Say("Taken alone, ", list(alone), " would count as "+
			say.Plural(len(alone), "a difference", "differences")+"; among ", asked,
			" questions asked at once chance often shows one (", page.Chance(first.AdjustedP),
			page.If(len(alone) > 1, " or more"), ", adjusted for that)."))
	}
	if len(few) > 0 {
		out = append(out, page.Say("The "+say.Plural(len(few), "interval", "intervals")+" of ", list(few),
			say.Plural(len(few), " leaves", " leave")+" out zero only because so few breaks make "+
				say.Plural(len(few), "it", "them")+" too narrow."))
	}
	return out
}

// listedModes names several factors with how far they may move the chance; nothing without any.
func listedModes(answer string, all []*modeDriven, named func(*modeDriven) string) page.Sentence {
	if len(all) == 0 {
		return nil
	}
	s := page.Say(page.Verdict{Words: answer}, " (how far the chance may move, in "+page.PercentagePoints+"): ")
	for i, t := range all {
		if i == 4 && len(all) > 5 {
			return page.Say(s, "; and ", len(all)-i, " more in the table.")
		}
		_, r := t.contrasts[0].moves()
		s = page.Say(s, page.If(i > 0, "; "), named(t)+", ", page.Span{Low: r.Low, High: r.High})
	}
	return append(s, page.Word("."))
}
