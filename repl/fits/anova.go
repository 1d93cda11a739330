package fits

import (
	"math"

	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// sourceRow is one source of variation.
type sourceRow struct {
	Source     string  `id:"source"`
	DF         float64 `id:"df" label:"degrees of freedom" style:"df"`
	DFAgainst  float64 `id:"df_against" label:"against" style:"df" wide:"yes"`
	Squares    float64 `id:"sum_of_squares"`
	MeanSquare float64 `id:"mean_square"`
	F          float64 `id:"f" label:"F" style:"ratio"`
	P          float64 `id:"p" style:"p"`
	Share      float64 `id:"share" style:"fraction"`
}

// Anova is the analysis of variance of an earlier fit, or of one made for it.
func Anova(k *session.Call, cmd *phrase.Anova) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.OfFit:
		f, err := fitted.Open(k, of.Fit)
		if err != nil {
			return nil, err
		}
		if err := f.AllFixed("an analysis of variance", of.Fit.At); err != nil {
			return nil, err
		}
		return analyse(k, cmd, f)
	case phrase.AnovaOnTerms:
		return anovaOn(k, cmd, of)
	}
	return nil, k.Unhandled()
}

// anovaOn fits the terms and shows their analysis of variance.
func anovaOn(k *session.Call, cmd *phrase.Anova, on phrase.AnovaOnTerms) (*session.Outcome, error) {
	f, err := fitted.OnTerms(k, on.OnTerms, on.FitOptions, false)
	if err != nil {
		return nil, err
	}
	next, err := analyse(k, cmd, f)
	if err != nil {
		return nil, err
	}
	warn(k, f)
	k.Entry.Warn(k.ReusedCautions(f.Sample, f.Method.Blocks)...)
	return next, nil
}

// analyse books the analysis of variance of a fit.
func analyse(k *session.Call, cmd *phrase.Anova, f *fitted.Fit) (*session.Outcome, error) {
	adjustment := linear.Marginal
	switch {
	case cmd.Sequential && cmd.EachLast:
		return nil, page.Refuse(page.CodeTwoAdjustments, 0, "sequential and each last cannot both be asked for", "")
	case cmd.Sequential:
		adjustment = linear.Sequential
	case cmd.EachLast:
		adjustment = linear.EachLast
	}
	a, err := f.Anova(k.Context, adjustment)
	if err != nil {
		return nil, err
	}
	p := lists.Made(len(f.Model().Terms), func(i int) float64 { return math.NaN() })
	if adjustment != linear.Sequential { // whose p is not that of the effects, each adjusted for all others
		for _, s := range a.Sources {
			p[s.Term] = s.P
		}
	}
	effects, err := effects(f, k, k.Confidence(), p...)
	if err != nil {
		return nil, err
	}
	mains := tellInOrder(k, effects)
	if !math.IsNaN(a.TotalSS) {
		k.Entry.Find(sharesFinding(f, a))
	}
	k.Entry.Find(blockFindings(f)...)
	k.Entry.Tables = []page.Table{sourceTable(f, a, adjustment)}
	for _, s := range a.Sources {
		if s.Untestable {
			others := "the other terms"
			if adjustment == linear.Sequential {
				others = "those listed before it"
			}
			k.Entry.Warn(page.Say(session.TermName(f.Model(), s.Term) +
				" cannot be tested: nothing is left of it once it is adjusted for " + others + "."))
		}
		if f.Method.Uneven && !s.Untestable && math.IsNaN(s.F) {
			k.Entry.Warn(noJointTest(session.TermName(f.Model(), s.Term)))
		}
	}
	return session.Tested(f.Sample, f.Y, f.Known(), mains).Keeping(session.Result{Columns: f.Columns()}), nil
}

// sourceTable has one row a source, then the residual and the total.
func sourceTable(f *fitted.Fit, a *linear.Anova, adjustment linear.Adjustment) page.Table {
	how := map[linear.Adjustment]string{
		linear.Marginal:   "each source adjusted for every other that does not contain it",
		linear.Sequential: "each source adjusted for those listed before it",
		linear.EachLast:   "each source adjusted for all others, levels coded to sum to zero",
	}[adjustment]
	none := math.NaN()
	var rows []sourceRow
	for _, s := range a.Sources {
		row := sourceRow{session.TermName(f.Model(), s.Term), s.DF, s.Against, s.SS, s.MS, s.F, s.P, s.Share}
		if s.Untestable {
			row = sourceRow{row.Source, 0, none, none, none, none, none, none}
		}
		rows = append(rows, row)
	}
	rows = append(rows,
		sourceRow{"residual", a.ResidualDF, none, a.ResidualSS, a.ResidualMS, none, none, a.ResidualSS / a.TotalSS},
		sourceRow{"total", a.TotalDF, none, a.TotalSS, none, none, none, a.TotalSS / a.TotalSS})
	t := page.Table{ID: "sources", Title: page.Say(f.Y.Name() + " on " + f.TermList() + f.Method.Said() + "; " + how)}
	switch {
	case f.Method.Blocks != nil:
		t.Note = page.Say("With blocks there are no sums of squares to share out; each F is tested against degrees " +
			"of freedom of its own (Satterthwaite).")
	case f.Method.Uneven:
		t.Note = page.Say("Without equal spread there are no sums of squares to share out; each F rests on HC2 " +
			"standard errors and is tested against degrees of freedom of its own (approximate Hotelling T²).")
	case !a.AddsUp:
		t.Note = page.Say("The groups are uneven, so the sums of squares need not add up to the total.")
	}
	return page.Filled(t, rows, nil)
}

// sharesFinding says how much of the variation each source accounts for.
func sharesFinding(f *fitted.Fit, a *linear.Anova) page.Sentence {
	s := page.Say("Of all the variation in " + f.Y.Measure() + ", ")
	joint, lead := "", " accounts for "
	for _, src := range a.Sources {
		if !src.Untestable {
			s = page.Say(s, joint+session.TermName(f.Model(), src.Term)+lead, page.Share(src.Share))
			joint, lead = ", ", " for "
		}
	}
	return page.Say(s, page.If(joint != "", "; "), "the residual is ", page.Share(a.ResidualSS/a.TotalSS),
		page.If(!a.AddsUp, " (the groups are uneven, so these need not add up to all of it)"), ".")
}
