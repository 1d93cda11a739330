package groups

import (
	"math"
	"strconv"

	"breakbook/frames/functions"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// compareFigure sets each mean against a figure.
func compareFigure(k *session.Call, cmd *phrase.Compare, with phrase.WithFigure) (*session.Outcome, error) {
	var by phrase.ColumnRef
	split := with.A != nil
	var columns []string
	if split {
		by = *with.A
		columns = []string{by.Column}
	}
	s, r, err := k.Measured(with.Y, columns...)
	if err != nil {
		return nil, err
	}
	against, said, err := figure(r, with.Figure)
	if err != nil {
		return nil, err
	}
	groups := []session.Group{{Level: "all specimens", Values: r.Values}}
	if split {
		if groups, err = k.Groups(s, r.Values, by); err != nil {
			return nil, err
		}
	}
	fam := family(r, s, by.Column, groups)
	fam.Names, fam.Figure = append([]string{said}, fam.Names...), true
	own := cmd.UnevenSpread
	m, err := compare.WithFigure(k.Context, valuesOf(groups), against, own)
	if stopped := k.Context.Err(); stopped != nil {
		return nil, stopped
	}
	if err != nil && !split {
		return nil, page.Refuse(page.CodeTooFewSpecimens, with.Y.At,
			"the specimens used are one, or all alike: nothing tells how "+r.Name()+" scatters", "")
	}
	if err != nil {
		return nil, onLevel(err, by, groups, "leave the level out with `for`, or compare without uneven spread")
	}
	if err := compareFamily(k, fam, m, overallFigure(fam, m, own), r.Name()+" with "+said, nil); err != nil {
		return nil, err
	}
	if own {
		k.Entry.Tables[0] = overallTable(fam, overallFigure(fam, m, own))
	}
	k.Entry.Warn(smallLevels(groups))
	return session.Tested(s, r, columns, fam.Answers()).Keeping(session.Result{Columns: columns, Gaps: gapsOf(fam)}),
		nil
}

// figure is what an amount is on the response's own scale, and how it is said.
func figure(r *session.Response, a phrase.Amount) (float64, string, error) {
	u, err := session.UnitOf(a)
	if err != nil {
		return 0, "", err
	}
	x, own, function := session.TypedValue(a), r.Column.Unit, r.Function
	if r.ColumnLogged() && !u.None() { // a bare number is a logarithm already, as the column's are
		own, function = r.Medians().Unit, functions.Ln
	}
	switch {
	case u.None():
		u = own
	case own.None():
		return 0, "", page.Refuse(page.CodeWrongDimension, a.At, r.Column.Name+" has no unit, so "+u.String()+
			" cannot be compared with it", phrase.Line(&phrase.SetUnit{Column: phrase.ColumnRef{Column: r.Column.Name},
			Unit: phrase.UnitRef{Unit: u.String()}}))
	}
	said := strconv.FormatFloat(x, 'g', -1, 64)
	if !u.None() {
		said += " " + u.String()
		if x, err = units.Convert(x, u, own); err != nil {
			return 0, "", session.WithPlace(err, a.At)
		}
	}
	of, _ := functions.Named(function)
	y := of(x)
	if math.IsNaN(y) || math.IsInf(y, 0) {
		return 0, "", page.Refuse(page.CodeImpossibleValue, a.At, function+" of "+said+" does not exist", "")
	}
	return y, said, nil
}

// overallFigure is the test that every mean is the figure: t for one, F for several, the
// largest |t| joined by Šidák's inequality with own spreads (then only once compared).
func overallFigure(f *fitted.Family, m compare.Means, own bool) compare.Overall {
	nan := math.NaN()
	switch {
	case len(f.Names) == 2:
		df := m.DF
		if own {
			df = m.PairDF[0][1]
		}
		o := compare.OverallFigure(compare.Means{Mean: m.Mean, Cov: m.Cov, N: m.N, DF: df})
		return compare.Overall{F: (m.Mean[1] - m.Mean[0]) / math.Sqrt(m.Cov[1][1]), DF1: df, DF2: nan, P: o.P}
	case !own:
		o := compare.OverallFigure(m)
		return o
	case f.Result == nil:
		return compare.Overall{F: nan, DF1: nan, DF2: nan, P: nan}
	}
	d := f.Largest()
	for _, other := range f.Result.Differences {
		if other.P < d.P {
			d = other
		}
	}
	return compare.Overall{F: math.Abs(d.Statistic), DF1: nan, DF2: nan, P: d.P}
}
