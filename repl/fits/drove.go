package fits

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/shares"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Drove answers which of all columns drove a response, and by how much: one fit of every column that
// could be a factor, with boards and days allowed for, and with the combined terms and bends that are
// clear and worth having. Factors are ranked by their shares of what is explained; an answer that differs
// has to be borne out by Holm's correction over all factors.
func Drove(k *session.Call, cmd *phrase.Drove) (*session.Outcome, error) {
	if cmd.Past != nil {
		return droveWithPast(k, cmd)
	}
	return (&drivers{k: k, cmd: cmd}).drove()
}

// drove is Drove of the series that the command is about.
func (d *drivers) drove() (*session.Outcome, error) {
	k := d.k
	if err := d.choose(); err != nil {
		return nil, err
	}
	if err := d.join(); err != nil {
		return nil, err
	}
	all, err := d.effects()
	if err != nil {
		return nil, err
	}
	d.shareOut(all)
	slices.SortStableFunc(all, func(a, b *driven) int { return cmp.Compare(b.Share, a.Share) })
	k.Entry.Findings = d.findings(all)
	k.Entry.Tables = []page.Table{d.factorTable(all)}
	if len(d.excluded) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, session.LeftOutTable(d.excluded))
	}
	k.Entry.Values = page.ValuesOf(session.DroveValues{N: d.fit.N, Explained: d.fit.Explained,
		DroveFit: &session.DroveFit{ExplainedUnseen: d.fit.ExplainedUnseen, SD: d.fit.Sigma, DF: d.fit.DF}},
		page.Names{"y": d.fit.Y.Unit()})
	warn(k, d.fit)
	between := d.between()
	answers, err := effects(d.fit, &session.Call{Context: k.Context, Session: k.Session,
		Command: d.fit.Command, Entry: &page.Entry{Series: k.Entry.Series}, Handlers: k.Handlers,
		WorthFrom: k.WorthFrom, Between: between}, k.Confidence())
	if err != nil {
		return nil, err
	}
	out := session.Tested(d.fit.Sample, d.fit.Y, d.known(), d.inOrder(all, answers))
	out.Analysis.Between = between
	out.Also = &session.Result{Kind: "fit", Fit: d.fit, Columns: d.fit.Columns(), Command: d.fit.Command}
	return out.Keeping(session.Result{Fit: d.fit, Columns: d.strongestFirst(all), Gaps: d.drawn(all)}), nil
}

// driven is what one factor was found to do.
type driven struct {
	session.Driven
	gaps    []say.Gap          // what is told: of each setting its clearest difference, the clearest setting first
	ends    [][2]page.Sentence // of each gap the levels, or values, that it is between, the one compared with last
	levels  bool               // they are levels
	lines   []page.Sentence
	answers []verdict.Answer // of every difference, told or not
}

// effects are the factors of the fit with what each does.
func (d *drivers) effects() ([]*driven, error) {
	var all []*driven
	var p []float64
	for _, one := range d.all {
		t, ok, err := d.tell(one)
		if err != nil {
			return nil, err
		}
		if !ok {
			d.excluded = append(d.excluded, session.LeftOut{Column: one.Name,
				Why: "it cannot be distinguished from the other factors in these specimens"})
			continue
		}
		all, p = append(all, t), append(p, t.P)
	}
	if len(all) == 0 {
		return nil, page.Refuse(page.CodeNothingLeft, d.cmd.Y.At,
			"none of the factors can be told from the others in these specimens", "look")
	}
	for i, joined := range d.adjusted(p) {
		all[i].Decide(all[i].answers, joined, 1-d.k.Confidence())
	}
	return all, nil
}

// searchPart is the part of false answers that a search for combined terms and bends may give: one series of a
// hundred where nothing is to be found (doubts.Clear), of the five that may have any.
const searchPart = 0.2

// strongestFirst are the columns of the fit, those of the factors in their order before those that it allows for.
func (d *drivers) strongestFirst(all []*driven) []string {
	var out []string
	for _, t := range all {
		out = append(out, t.Name)
	}
	for _, name := range d.fit.Columns() {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// adjusted are the probabilities of factors, adjusted (Holm) for all that is asked about; where combined terms or
// bends were searched as well, the search has its part of what may be false, and the factors the rest.
func (d *drivers) adjusted(p []float64) []float64 {
	out := doubts.Holm(p)
	for i := range out {
		if d.searched {
			out[i] = min(1, out[i]/(1-searchPart))
		}
	}
	return out
}

// tell is what a factor does in the fit; ok is false where it cannot be told.
func (d *drivers) tell(one *session.Factor) (t *driven, ok bool, err error) {
	f := d.fit
	variable := slices.Index(f.Columns(), one.Name)
	partners, err := fitted.PartnersOf(d.k, f, variable, d.k.Confidence())
	if err != nil {
		return nil, false, err
	}
	t = &driven{Driven: session.Driven{Factor: one, Share: math.NaN()}}
	if v := f.Model().Variables[variable]; !v.IsCategory() && len(one.Few) != session.AsLevels {
		return d.tellNumber(t, variable, partners)
	}
	var l *fitted.Levels
	if f.Model().Variables[variable].IsCategory() {
		l, ok = f.LevelsOf(d.k.Context, variable, partners)
	} else {
		l, ok = f.AtValues(d.k.Context, variable, one.Few, partners)
	}
	if !ok {
		return nil, false, nil
	}
	if err := l.Family.AllPairs(d.k, l.Means, d.k.Confidence()); err != nil {
		return nil, false, err
	}
	test, ok := f.Jointly(d.k.Context, l.Contrasts())
	t.P, t.gaps, t.levels = test.P, leads(l.Family), true
	for _, d := range l.Family.Result.Differences {
		t.answers = append(t.answers, d.Answer)
	}
	for _, g := range t.gaps {
		with, than := session.Levels(g, l.Family.Factor)
		t.ends = append(t.ends, [2]page.Sentence{with, than})
		t.lines = append(t.lines, g.Terse())
	}
	return t, ok, nil
}

// stretch is two values of a number that what it does is told between.
type stretch struct{ from, to float64 }

// stretches are those that a number is told between: from the smallest of its values with a tenth of the
// specimens at or below it to that with nine tenths, or between its two values. Where the fit bends along
// it, the load may rise and fall again between the two, so either half is looked at as well.
func (d *drivers) stretches(variable int) (all []stretch) {
	low, high, _ := fitted.OuterDeciles(d.fit.Model().Variables[variable].Numbers)
	all = []stretch{{low, high}}
	if d.bends(variable) {
		middle := (low + high) / 2
		all = append(all, stretch{low, middle}, stretch{middle, high})
	}
	return all
}

// bends reports whether the fit bends along a number.
func (d *drivers) bends(variable int) bool {
	return slices.ContainsFunc(d.fit.Model().Terms, func(t design.Term) bool {
		return len(t.Factors) == 1 && t.Factors[0] == design.Factor{Variable: variable, Function: design.Squared}
	})
}

// numberEffect is what a number does between two values.
type numberEffect struct {
	say.Gap
	stretch
}

// clear is how far a difference stands off zero for its interval.
func (t numberEffect) clear() float64 { return math.Abs(t.Value) / (t.Range.High - t.Range.Low) }

// leads are what is told of a category: of each setting the clearest pair; where that one differs by less than
// is worth having, but another by as much, or by nobody knows how much, the clearest of those.
func leads(fam *fitted.Family) []say.Gap {
	out := fam.LeadGaps()
	for i, g := range out {
		if g.Answer == verdict.Differs {
			continue
		}
		_, within, _ := strings.Cut(g.Of, "; ")
		clear := 0.0
		for _, d := range fam.Result.Differences {
			if d.Answer == verdict.Differs && d.Clear > clear && fam.WithinOf(d) == within {
				out[i], clear = fam.Gap(d), d.Clear
			}
		}
	}
	return out
}

// tellNumber tells a number between its stretches, within each setting of its partners.
func (d *drivers) tellNumber(t *driven, variable int, partners fitted.Partners) (*driven, bool, error) {
	f := d.fit
	v := f.Model().Variables[variable]
	worth, err := d.k.WorthOf(f.Y)
	if err != nil {
		return nil, false, err
	}
	term := slices.IndexFunc(f.Model().Terms, func(t design.Term) bool {
		return len(t.Factors) == 1 && t.Factors[0].Variable == variable
	})
	by := describer{f: f, k: d.k, conf: d.k.Confidence(), worth: worth, term: term, p: math.NaN()}
	settings := partners.Settings
	if len(settings) == 0 {
		settings = []fitted.Within{{}}
	}
	stretches := d.stretches(variable)
	var contrasts [][]float64
	var leads [][]numberEffect // by setting, what is told of it, the clearest stretch first
	for i, within := range settings {
		var all []numberEffect
		for _, s := range stretches {
			up, ok := by.numberGap(variable, s.from, s.to, within)
			if !ok {
				continue
			}
			g, _, ok := by.gap(up, len(settings)*len(stretches))
			if !ok {
				continue
			}
			contrasts, t.answers = append(contrasts, up), append(t.answers, g.Answer)
			if g.Where = partners.Where(i); len(partners.Settings) > 0 {
				g.Of += "; " + within.Key
			}
			all = append(all, numberEffect{g, s})
		}
		if len(all) > 0 {
			leads = append(leads, ledBy(all))
		}
	}
	test, ok := f.Jointly(d.k.Context, contrasts)
	t.P = test.P
	slices.SortStableFunc(leads, func(a, b []numberEffect) int { return cmp.Compare(b[0].clear(), a[0].clear()) })
	smallest, largest := session.MinMax(v.Numbers)
	for _, all := range leads {
		t.gaps = append(t.gaps, all[0].Gap)
		t.ends = append(t.ends, [2]page.Sentence{page.Say(session.Seen(all[0].to, smallest, largest, v.Unit)),
			page.Say(session.Seen(all[0].from, smallest, largest, v.Unit))})
		for _, one := range all {
			from, to := session.Seen(one.from, smallest, largest, v.Unit), session.Seen(one.to, smallest, largest,
				v.Unit)
			t.lines = append(t.lines, one.Between(session.InSentence(t.Column), from, to))
		}
	}
	return t, ok && len(t.gaps) > 0, nil
}

// ledBy is what is told of the stretches of one setting: the clearest with its answer, and the other half
// of a bend where that differs too; where no stretch differs and one cannot be told, nor can the number.
func ledBy(all []numberEffect) []numberEffect {
	var answers []verdict.Answer
	lead := 0
	for i, one := range all {
		answers = append(answers, one.Answer)
		if one.clear() > all[lead].clear() {
			lead = i
		}
	}
	out := []numberEffect{all[lead]}
	out[0].Answer = say.Overall(answers)
	for i, one := range all[min(1, len(all)):] {
		if lead > 0 && i+1 != lead && one.Answer.Differs() {
			out = append(out, one)
		}
	}
	return out
}

// shareOut gives each factor its share of the variation: of its own terms, and half of each combined one.
func (d *drivers) shareOut(all []*driven) {
	m := d.fit.Model()
	r, err := shares.OfMeasure(d.k.Context, d.fit.Y.Values, m, shares.Options{Confidence: d.k.Confidence(),
		Seed: d.k.Session.Settings().Seed, Resamples: 2, Times: 2})
	if err != nil {
		return // a plain fit of these terms cannot be parted; the factors stay in their order
	}
	for _, t := range all {
		t.Share = 0
		for i, s := range r.Shares {
			factors := m.Terms[i].Factors
			of := func(f design.Factor) bool { return m.Variables[f.Variable].Name == t.Name }
			if slices.ContainsFunc(factors, of) {
				t.Share += s.Share / float64(len(factors))
			}
		}
	}
}

// between are the values that the answers tell each number between, as the table does: those of the series asked
// about, also where this is a part of it or a rerun with other specimens.
func (d *drivers) between() map[string][2]float64 {
	if d.k.Between != nil {
		return d.k.Between
	}
	f, out := d.fit, map[string][2]float64{}
	if d.wholeFit != nil {
		f = d.wholeFit
	}
	for _, v := range f.Model().Variables {
		if !v.IsCategory() {
			low, high, _ := fitted.OuterDeciles(v.Numbers)
			out[v.Name] = [2]float64{low, high}
		}
	}
	return out
}

// inOrder are the answers of the fit about the factors, those that were found to drive it first; nobody asks about
// boards or days that are only allowed for.
func (d *drivers) inOrder(all []*driven, answers []effect) []session.Answer {
	rank := func(e effect) int {
		of := d.fit.Model().Variables[d.fit.Model().Terms[e.term].Factors[0].Variable].Name
		return slices.IndexFunc(all, func(t *driven) bool { return t.Name == of })
	}
	slices.SortStableFunc(answers, func(a, b effect) int { return cmp.Compare(uint(rank(a)), uint(rank(b))) })
	var out []session.Answer
	for _, e := range answers {
		if rank(e) < 0 {
			continue
		}
		for _, a := range e.mains {
			among := a.Gap.Answer
			if among.Differs() && all[rank(e)].DiffersAlone {
				among = verdict.CannotTell
				a.Finding = slices.Clone(a.Finding)
				for i, part := range a.Finding {
					if v, ok := part.(page.Verdict); ok && v.Of != "" {
						a.Finding[i] = page.Verdict{Words: among.Key(), Of: v.Of}
					}
				}
			}
			a.Among = &among
			out = append(out, a)
		}
	}
	return out
}

// known are the columns that the analysis knows of.
func (d *drivers) known() []string {
	out := d.fit.Known()
	for _, one := range d.all {
		out = append(out, one.With...)
	}
	return out
}
