package groups

import (
	"context"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// compareOf does the same with a fit's levels, with the other factors held equal.
func compareOf(k *session.Call, cmd *phrase.Compare, of phrase.LevelsOfFit) (*session.Outcome, error) {
	method, err := comparing(cmd)
	if err != nil {
		return nil, err
	}
	if method == byRanks {
		return nil, page.Refuse(page.CodeRankedOnFit, of.A.At, "a fit's adjusted means have no ranks of their own",
			"compare the raw values ranked, or the fit reshuffled")
	}
	l, err := fitted.FactorOf(k, of, cmd.UnevenSpread, nil)
	if err != nil {
		return nil, err
	}
	return compareLevels(k, cmd, l, method, of.A.Column+" of "+of.Fit.Text+", with the other factors held equal"+
		l.Family.Partners.Title())
}

// compareLevels compares the levels of a category in a fit.
func compareLevels(k *session.Call, cmd *phrase.Compare, l *fitted.Levels, method, title string) (*session.Outcome,
	error) {
	f, fam := l.Fit, l.Family
	if method == byReshuffles {
		if err := reshufflingFit(k, cmd.Times, l); err != nil {
			return nil, err
		}
	}
	overall, err := overall(l, k.Context)
	if err != nil {
		return nil, err
	}
	if err := compareFamily(k, fam, l.Means, overall, title, cmd.Against); err != nil {
		return nil, err
	}
	if err := priced(k, cmd, fam); err != nil {
		return nil, err
	}
	known := f.Known()
	if method == byReshuffles {
		known = append(known, k.Marked(f.Sample)...)
	}
	return session.Tested(f.Sample, f.Y, known, fam.Answers()).Keeping(session.Result{Columns: f.Columns(),
		Gaps: gapsOf(fam)}), nil
}

// overall is the fit's test that all levels of a category share one mean; a resistant fit
// has none. Where the factor is combined with others, it is that of the means told.
func overall(l *fitted.Levels, ctx context.Context) (compare.Overall, error) {
	f, variable := l.Fit, l.Variable
	none := compare.Overall{F: math.NaN(), DF1: math.NaN(), DF2: math.NaN(), P: math.NaN()}
	if f.Method.Resistant {
		return none, nil
	}
	if p := l.Family.Partners; len(p.Settings) > 0 || len(p.Over) > 0 && f.Plain("") == nil {
		return overallWithin(ctx, l), nil
	}
	a, err := f.Anova(ctx, linear.Marginal)
	if err != nil {
		return none, err
	}
	for _, s := range a.Sources {
		if t := f.Model().Terms[s.Term]; len(t.Factors) == 1 && t.Factors[0].Variable == variable {
			return compare.Overall{F: s.F, DF1: s.DF, DF2: s.Against, P: s.P}, nil
		}
	}
	return none, nil
}

// overallWithin is the F test that all levels share one mean, within every setting where there are
// such; there is none but for least squares.
func overallWithin(ctx context.Context, l *fitted.Levels) compare.Overall {
	if l.Fit.Plain("") == nil {
		if t, ok := l.Fit.Jointly(ctx, l.Contrasts()); ok {
			return t
		}
	}
	return compare.Overall{F: math.NaN(), DF1: math.NaN(), DF2: math.NaN(), P: math.NaN()}
}

// reshufflingFit makes ready to compare a fit's levels by reshuffling what the fit without their factor leaves over.
func reshufflingFit(k *session.Call, asked *phrase.Count, l *fitted.Levels) error {
	f, fam, variable := l.Fit, l.Family, l.Variable
	if err := f.Plain("reshuffled"); err != nil {
		return err
	}
	times, err := timesOf(asked)
	if err != nil {
		return err
	}
	blocks := k.Marked(f.Sample)
	design := reshuffleDesign(l)
	design.Blocks, fam.Within = f.Sample.Blocks(k.Context, blocks)
	fam.Compare = func(ref int, o compare.Options) (*compare.Result, error) {
		o.Times, o.Seed, o.Progress = times, k.Session.Settings().Seed, k.Progress()
		design.Rows = fam.Rows(ref)
		return compare.ReshuffledFit(k.Context, design, l.Means, ref, o)
	}
	residuals := make([][]float64, len(f.Model().Variables[variable].Levels))
	for i, level := range f.Model().Variables[variable].Codes {
		if w := math.Sqrt(f.Model().Weight(i)); w > 0 {
			residuals[level] = append(residuals[level], w*f.Residuals[i])
		}
	}
	residuals = slices.DeleteFunc(residuals, func(v []float64) bool { return len(v) == 0 })
	k.Entry.Warn(spreadCaution(k.Context, fam, residuals)...)
	return nil
}

// reshuffleDesign lays the fit out for reshuffling: the columns with the factor apart from the rest.
func reshuffleDesign(l *fitted.Levels) compare.ReshuffleDesign {
	var out compare.ReshuffleDesign
	f, variable := l.Fit, l.Variable
	m := f.Model()
	root := lists.Made(len(f.Response), func(i int) float64 { return math.Sqrt(m.Weight(i)) })
	times := func(v []float64) []float64 {
		out := make([]float64, len(v))
		for i, x := range v {
			out[i] = root[i] * x
		}
		return out
	}
	out.Response = times(f.Response)
	var own []int
	for j, l := range f.Matrix.Labels {
		with := l.Term >= 0 && slices.ContainsFunc(m.Terms[l.Term].Factors, func(p design.Factor) bool {
			return p.Variable == variable
		})
		if with {
			own = append(own, j)
			out.Own = append(out.Own, times(f.Matrix.Columns[j]))
		} else {
			out.Rest = append(out.Rest, times(f.Matrix.Columns[j]))
		}
	}
	for _, one := range l.Levels {
		out.Levels = append(out.Levels, lists.Mapped(own, func(j int) float64 { return one.Weights[j] }))
	}
	return out
}
