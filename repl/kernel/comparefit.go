package kernel

import (
	"context"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// compareOf does the same with a fit's levels, on the same footing.
func (k *call) compareOf(cmd *phrase.Compare, of phrase.LevelsOfFit) (*outcome, error) {
	way, err := comparing(cmd)
	if err != nil {
		return nil, err
	}
	if way == byRanks {
		return nil, &page.Problem{Code: "ranked-on-fit", At: of.A.At,
			Message: "a fit's adjusted means have no ranks of their own", Hint: "compare the raw values ranked, or the fit reshuffled"}
	}
	f, variable, m, fam, err := k.footing(of, cmd.UnevenSpread)
	if err == nil && way == byReshuffles {
		err = k.reshufflingFit(cmd.Times, fam, f, variable, m)
	}
	if err != nil {
		return nil, err
	}
	overall, err := f.overall(k.ctx, variable)
	if err != nil {
		return nil, err
	}
	title := of.A.Column + " of " + of.Fit.Text + ", on the same footing"
	if err := k.compareFamily(fam, m, overall, title, cmd.Against); err != nil {
		return nil, err
	}
	known := f.known()
	if way == byReshuffles {
		known = append(known, k.marked(f.sample)...)
	}
	return answered(f.sample, f.response, known, fam.mains()).keeping(result{columns: f.columns()}), nil
}

// overall is the fit's test that all levels of a category share one mean; a resistant fit
// has none.
func (f *fitted) overall(ctx context.Context, variable int) (overallTest, error) {
	none := overallTest{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if f.way.resistant {
		return none, nil
	}
	a, err := f.Anova(ctx, linear.Marginal)
	if err != nil {
		return none, err
	}
	for _, s := range a.Sources {
		if t := f.model().Terms[s.Term]; len(t.Factors) == 1 && t.Factors[0].Variable == variable {
			return overallTest{f: s.F, df1: s.DF, df2: s.Against, p: s.P}, nil
		}
	}
	return none, nil
}

// unevenly is a plain fit with standard errors that do not assume equal spread; one that
// has them already is itself.
func (f *fitted) unevenly(ctx context.Context) (*fitted, error) {
	if f.way.uneven {
		return f, nil
	}
	if err := f.plain("uneven spread"); err != nil {
		return nil, err
	}
	u, err := f.Fit.Uneven(ctx)
	if err != nil {
		return nil, err
	}
	out := *f
	out.Fit, out.by, out.way.uneven = u.Fit, u, true
	return &out, nil
}

// plain refuses a way of comparing for a fit that has a way of its own.
func (f *fitted) plain(way string) error {
	own := ""
	switch {
	case f.way.blocks != nil:
		own = "blocked"
	case f.way.resistant:
		own = "resistant"
	case f.way.uneven:
		own = "one with uneven spread"
	default:
		return nil
	}
	return &page.Problem{Code: "two-ways", Message: "this fit is " + own + ": its levels cannot be compared " + way + " as well",
		Hint: "compare without " + way + ", or fit in the plain way first"}
}

// reshufflingFit makes ready to compare a fit's levels by reshuffling what the fit without
// their factor leaves over.
func (k *call) reshufflingFit(asked *phrase.Count, fam *family, f *fitted, variable int, m compare.Means) error {
	if err := f.plain("reshuffled"); err != nil {
		return err
	}
	times, err := timesOf(asked)
	if err != nil {
		return err
	}
	blocks := k.marked(f.sample)
	foot := f.foot(variable)
	foot.Blocks, fam.within = f.sample.blocks(k.ctx, blocks)
	fam.judge = func(ref int, o compare.Options) (*compare.Result, error) {
		o.Times, o.Seed, o.Progress = times, k.s.Settings().Seed, k.progress()
		return compare.ReshuffledFit(k.ctx, foot, m, ref, o)
	}
	left := make([][]float64, len(f.model().Variables[variable].Levels))
	for i, level := range f.model().Variables[variable].Codes {
		if w := math.Sqrt(f.model().Weight(i)); w > 0 {
			left[level] = append(left[level], w*f.Residuals[i])
		}
	}
	left = slices.DeleteFunc(left, func(v []float64) bool { return len(v) == 0 })
	k.e.Cautions = append(k.e.Cautions, spreadCaution(k.ctx, fam, left)...)
	return nil
}

// foot lays the fit out for reshuffling: the columns with the factor apart from the rest.
func (f *fitted) foot(variable int) compare.Footing {
	var out compare.Footing
	m := f.model()
	root := make([]float64, len(f.Response))
	for i := range root {
		root[i] = math.Sqrt(m.Weight(i))
	}
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
		with := l.Term >= 0 && slices.ContainsFunc(m.Terms[l.Term].Factors, func(p design.Factor) bool { return p.Variable == variable })
		if with {
			own = append(own, j)
			out.Own = append(out.Own, times(f.Matrix.Columns[j]))
		} else {
			out.Rest = append(out.Rest, times(f.Matrix.Columns[j]))
		}
	}
	for _, l := range f.Matrix.Present[variable] {
		w, _ := f.Weights(linear.Point{Levels: map[int]int{variable: l}})
		level := make([]float64, len(own))
		for i, j := range own {
			level[i] = w[j]
		}
		out.Levels = append(out.Levels, level)
	}
	return out
}
