package kernel

import (
	"math"

	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// anova is the analysis of variance of an earlier fit, or of one made for it.
func anova(k *call, cmd *phrase.Anova) (*outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.OfFit:
		f, err := k.fitNamed(of.Fit)
		if err != nil {
			return nil, err
		}
		return k.analyse(cmd, f)
	case phrase.AnovaOnTerms:
		return k.anovaOn(cmd, of)
	}
	return nil, k.unhandled()
}

// anovaOn fits the terms and shows their analysis of variance.
func (k *call) anovaOn(cmd *phrase.Anova, on phrase.AnovaOnTerms) (*outcome, error) {
	f, err := k.fitTerms(on.OnTerms, on.FitWays, false)
	if err != nil {
		return nil, err
	}
	next, err := k.analyse(cmd, f)
	if err != nil {
		return nil, err
	}
	k.e.Cautions = append(k.e.Cautions, f.dependentCautions()...)
	k.e.Cautions = append(k.e.Cautions, f.wayCautions()...)
	k.e.Cautions = append(k.e.Cautions, k.reusedCautions(f.sample, f.way.blocks)...)
	return next, nil
}

// fitNamed is an earlier fit; in a quiet rerun, and where a command is carried out again,
// on the specimens that take part now.
func (k *call) fitNamed(n phrase.Name) (*fitted, error) {
	r, ok := k.s.result(n.Text)
	if !ok || r.fit == nil {
		return nil, k.s.noFit(n)
	}
	f := r.fit
	if k.back != nil || k.asked != nil {
		var err error
		if f, err = k.anew(r); err != nil {
			return nil, err
		}
	}
	k.e.Series = r.series
	counts := f.sample.counts
	k.e.Specimens = &counts
	return f, nil
}

// analyse books the analysis of variance of a fit.
func (k *call) analyse(cmd *phrase.Anova, f *fitted) (*outcome, error) {
	adjustment := linear.Marginal
	switch {
	case cmd.Sequential && cmd.EachLast:
		return nil, &page.Problem{Code: "two-adjustments", Message: "sequential and each last cannot both be asked for"}
	case cmd.Sequential:
		adjustment = linear.Sequential
	case cmd.EachLast:
		adjustment = linear.EachLast
	}
	a, err := f.Anova(k.ctx, adjustment)
	if err != nil {
		return nil, err
	}
	p := make([]float64, len(f.model().Terms))
	for i := range p {
		p[i] = math.NaN()
	}
	if adjustment != linear.Sequential { // whose p is not that of the effects, each allowed for all others
		for _, s := range a.Sources {
			p[s.Term] = s.P
		}
	}
	effects, err := f.effects(k, k.confidence(), p...)
	if err != nil {
		return nil, err
	}
	mains := k.tellInOrder(effects)
	if !math.IsNaN(a.TotalSS) {
		k.e.Findings = append(k.e.Findings, f.sharesFinding(a))
	}
	k.e.Findings = append(k.e.Findings, f.blockFindings()...)
	k.e.Tables = []page.Table{f.sourceTable(a, adjustment)}
	for _, s := range a.Sources {
		if s.Untestable {
			others := "the other terms"
			if adjustment == linear.Sequential {
				others = "those listed before it"
			}
			k.e.Cautions = append(k.e.Cautions, page.Say(termName(f.model(), s.Term)+
				" cannot be tested: nothing is left of it once "+others+" are allowed for."))
		}
	}
	return answered(f.sample, f.response, f.known(), mains).keeping(result{columns: f.columns()}), nil
}

// sourceTable has one row a source, then what is left over and the total.
func (f *fitted) sourceTable(a *linear.Anova, adjustment linear.Adjustment) page.Table {
	how := map[linear.Adjustment]string{
		linear.Marginal:   "each source allowed for every other that does not contain it",
		linear.Sequential: "each source allowed for those listed before it",
		linear.EachLast:   "each source allowed for all others, levels coded to sum to zero",
	}[adjustment]
	t := page.Table{ID: "sources", Title: page.Say(f.response.name() + " on " + f.termList() + f.way.said() + "; " + how), Columns: []page.Column{
		{ID: "source"}, {ID: "df", Label: "degrees of freedom", Style: page.DF},
		{ID: "df_against", Label: "against", Style: page.DF, Wide: true}, {ID: "sum_of_squares"},
		{ID: "mean_square"}, {ID: "f", Label: "F", Style: page.Ratio}, {ID: "p", Style: page.P}, {ID: "share", Style: page.Fraction}}}
	for _, s := range a.Sources {
		row := []page.Cell{page.T(termName(f.model(), s.Term)), page.N(s.DF), page.N(s.Against),
			page.N(s.SS), page.N(s.MS), page.N(s.F), page.N(s.P), page.N(s.Share)}
		if s.Untestable {
			row = []page.Cell{page.T(termName(f.model(), s.Term)), page.N(0), {}, {}, {}, {}, {}, {}}
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows,
		[]page.Cell{page.T("left over"), page.N(a.LeftDF), {}, page.N(a.LeftSS), page.N(a.LeftMS), {}, {}, page.N(a.LeftSS / a.TotalSS)},
		[]page.Cell{page.T("total"), page.N(a.TotalDF), {}, page.N(a.TotalSS), {}, {}, {}, page.N(a.TotalSS / a.TotalSS)})
	switch {
	case f.way.blocks != nil:
		t.Note = page.Say("With blocks there are no sums of squares to share out; each F is set against degrees of freedom of its own (Satterthwaite).")
	case f.way.uneven:
		t.Note = page.Say("Without equal spread there are no sums of squares to share out; each F rests on standard errors of its own (HC3).")
	case !a.AddsUp:
		t.Note = page.Say("The groups are uneven, so the sums of squares need not add up to the total.")
	}
	return t
}

// sharesFinding says how much of the variation each source accounts for.
func (f *fitted) sharesFinding(a *linear.Anova) page.Sentence {
	s := page.Say("Of all the variation in " + f.response.measure() + ", ")
	n := 0
	for _, src := range a.Sources {
		if src.Untestable {
			continue
		}
		lead := " accounts for "
		if n > 0 {
			s, lead = append(s, page.Word(", ")), " for "
		}
		s = append(s, page.Say(termName(f.model(), src.Term)+lead, page.Num{Value: src.Share, Style: page.Fraction})...)
		n++
	}
	s = append(s, page.Say("; ", page.Num{Value: a.LeftSS / a.TotalSS, Style: page.Fraction}, " is left over")...)
	if !a.AddsUp {
		s = append(s, page.Word(" (the groups are uneven, so these need not add up to all of it)"))
	}
	return append(s, page.Word("."))
}
