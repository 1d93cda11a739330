package kernel

import (
	"math"
	"strconv"

	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// compareFigure sets each mean against a figure.
func compareFigure(k *call) (*Session, error) {
	by, split := k.c.Slots["a"].(phrase.ColumnRef)
	var columns []string
	if split {
		columns = []string{by.Column}
	}
	s, r, err := k.measured(columns...)
	if err != nil {
		return nil, err
	}
	amount := k.c.Slots["figure"].(phrase.Amount)
	against, said, err := r.figure(amount)
	if err != nil {
		return nil, err
	}
	groups := []group{{level: "all specimens", values: r.values}}
	if split {
		if groups, err = k.groups(s, r.values, by); err != nil {
			return nil, err
		}
	}
	fam := r.family(s, by.Column, groups)
	fam.names, fam.figure = append([]string{said}, fam.names...), true
	values := make([][]float64, len(groups))
	for i, g := range groups {
		values[i] = g.values
	}
	own := k.c.Options[unevenSpread]
	m, err := compare.WithFigure(k.ctx, values, against, own)
	if err != nil && !split {
		return nil, &page.Problem{Code: "too-few-specimens", At: k.c.Slots["y"].Place(),
			Message: "the specimens used are one, or all alike: nothing tells how " + r.name() + " scatters"}
	}
	if err != nil {
		return nil, k.onLevel(err, by, groups)
	}
	if err := k.compareFamily(fam, m, fam.overallFigure(m, own), r.name()+" with "+said); err != nil {
		return nil, err
	}
	if own {
		k.e.Tables[0] = fam.overallTable(fam.overallFigure(m, own))
	}
	k.e.Cautions = append(k.e.Cautions, smallLevels(groups)...)
	return k.book(k.answered(s, r, columns, fam.mains()), result{columns: columns})
}

// figure is what an amount is on the response's own scale, and how it is said.
func (r *response) figure(a phrase.Amount) (float64, string, error) {
	u, err := unitOf(a)
	if err != nil {
		return 0, "", err
	}
	x, own := asTyped(a), r.column.Unit
	switch {
	case u.None():
		u = own
	case own.None():
		return 0, "", &page.Problem{Code: "wrong-dimension", At: a.At, Message: r.column.Name + " has no unit, so " + u.String() + " cannot be compared with it",
			Hint: "unit " + r.column.Name + " is " + u.String()}
	}
	said := strconv.FormatFloat(x, 'g', -1, 64)
	if !u.None() {
		said += " " + u.String()
		if x, err = units.Convert(x, u, own); err != nil {
			return 0, "", placed(err, a.At)
		}
	}
	y := functions[r.function](x)
	if math.IsNaN(y) || math.IsInf(y, 0) {
		return 0, "", &page.Problem{Code: "impossible-value", At: a.At, Message: r.function + " of " + said + " does not exist"}
	}
	return y, said, nil
}

// overallFigure is the test that every mean is the figure: t for one, F for several, the
// largest |t| joined by Šidák's inequality with own spreads (then only once compared).
func (f *family) overallFigure(m compare.Means, own bool) overallTest {
	nan := math.NaN()
	switch {
	case len(f.names) == 2:
		df := m.DF
		if own {
			df = m.PairDF[0][1]
		}
		o := compare.OverallFigure(compare.Means{Mean: m.Mean, Cov: m.Cov, N: m.N, DF: df})
		return overallTest{(m.Mean[1] - m.Mean[0]) / math.Sqrt(m.Cov[1][1]), df, nan, o.P}
	case !own:
		o := compare.OverallFigure(m)
		return overallTest{o.F, o.DF1, o.DF2, o.P}
	case f.result == nil:
		return overallTest{nan, nan, nan, nan}
	}
	d := f.largest()
	for _, other := range f.result.Differences {
		if other.P < d.P {
			d = other
		}
	}
	return overallTest{math.Abs(d.Statistic), nan, nan, d.P}
}
