package fitted

import (
	"context"
	"math"
	"slices"
	"strconv"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/mixed"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// FactorOf finds the levels of a category in an earlier fit, with other columns of it at the values given; nil: at
// their mean.
func FactorOf(k *session.Call, of phrase.LevelsOfFit, uneven bool, given *phrase.Given) (*Levels, error) {
	f, err := Named(k, of.Fit)
	if err != nil {
		return nil, err
	}
	if uneven {
		if f, err = f.unevenly(k.Context); err != nil {
			return nil, err
		}
	}
	ref := of.A
	variable := slices.Index(f.Columns(), ref.Column)
	if err := f.TakenAsNumber(k, ref, of.Fit.Text); err != nil {
		return nil, err
	}
	if variable < 0 {
		return nil, page.Refuse(page.CodeNotInFit, ref.At, ref.Column+" is not among the categories of this fit",
			"show results")
	}
	over, err := f.averaged(of.Over, ref.Column)
	if err != nil {
		return nil, err
	}
	at, err := f.onePoint(k, ref.Column, given)
	if err != nil {
		return nil, err
	}
	partners, err := PartnersOf(k, f, variable, k.Confidence(), over...)
	if err != nil {
		return nil, err
	}
	partners.without(f, at.Point)
	l, ok := f.levelsAt(k.Context, variable, partners, at.Point)
	if !ok {
		if p := f.aloneProblem(ref.At); p != nil {
			return nil, p
		}
		p := page.Refuse(page.CodeNotEstimable, ref.At, "the levels of "+ref.Column+" cannot be compared with the "+
			"other factors held equal: in these specimens they changed together with other terms of "+
			"the fit", "fit without the terms that the fit left out")
		if slices.ContainsFunc(f.Model().Terms, func(t design.Term) bool { return len(t.Factors) > 1 }) {
			p.Message = "the levels of " + ref.Column + " cannot be compared with the other factors held equal: " +
				"some combinations of levels have no specimen"
			p.Hint = "fit without together(…), or leave out the level that was never combined"
		}
		return nil, p
	}
	l.Given = f.given(at.Point)
	for _, w := range l.Incomparable {
		k.Entry.Warn(page.Say("Nothing is compared ", w.Words,
			": fewer than two levels of "+ref.Column+" can be told there."))
	}
	return l, nil
}

// onePoint is the one joint that is given for the levels of a factor.
func (f *Fit) onePoint(k *session.Call, factor string, given *phrase.Given) (GivenJoint, error) {
	if given == nil {
		return GivenJoint{}, nil
	}
	for _, item := range given.List {
		if item.Column.Column == factor {
			return GivenJoint{}, page.Refuse(page.CodeGivenTwice, item.At,
				factor+" is what the levels are of, and cannot be given too", "give another column")
		}
		if len(item.Values) > 1 {
			return GivenJoint{}, page.Refuse(page.CodeOneValue, item.At,
				"one value of "+item.Column.Column+" at a time can be given here",
				"ask once per value, or: predict … given …")
		}
	}
	asked, err := Points(k, f, *given)
	if err != nil {
		return GivenJoint{}, err
	}
	k.Entry.Warn(OutsideSeen(k, f, *given)...)
	return asked[0], nil
}

// given is a point for a sentence: "density 640 kg/m³, glue warm"; nil for none.
func (f *Fit) given(p linear.Point) page.Sentence {
	var s page.Sentence
	for v, x := range f.Model().Variables {
		if !isGiven(p, v) {
			continue
		}
		if s != nil {
			s = append(s, page.Word(", "))
		}
		s = append(s, page.Word(x.Name+" "))
		if x.IsCategory() {
			s = append(s, page.Word(x.Levels[p.Levels[v]]))
		} else {
			s = append(s, page.Num{Value: p.Numbers[v], Unit: x.Unit, Style: page.Exact})
		}
	}
	return s
}

// averaged are the columns that a factor of the fit, or one of several, is to be averaged over.
func (f *Fit) averaged(asked *phrase.Columns, factors ...string) ([]string, error) {
	if asked == nil {
		return nil, nil
	}
	var over []string
	for _, c := range asked.List {
		combined := func(name string) bool { return f.combines(slices.Index(f.Columns(), name), c.Column) }
		if !slices.ContainsFunc(factors, combined) {
			return nil, page.Refuse(page.CodeNotCombined, c.At,
				session.Listed(factors)+" is not combined with "+c.Column+" in this fit, so there is nothing to "+
					"average over", "")
		}
		over = append(over, c.Column)
	}
	return over, nil
}

// Levels are the levels of a category in a fit with the other factors held equal, ready to compare:
// once, or within each setting of the factors it is combined with.
type Levels struct {
	Fit          *Fit
	Variable     int
	Levels       []LevelWithin // setting by setting
	Means        compare.Means // of these
	Family       *Family
	Incomparable []Within      // the settings where nothing can be compared
	Given        page.Sentence // the other columns that are held at a value: "density 640 kg/m³"; nil for none
}

// LevelWithin is one level within one setting, the first where there is one alone.
type LevelWithin struct {
	Level, Within int
	Weights       []float64 // of the coefficients
	Estimate      linear.Estimate
}

// LevelsOf lays out a category's levels; ok is false where they cannot be estimated. Within a
// setting, a level that cannot is left out.
func (f *Fit) LevelsOf(ctx context.Context, variable int, partners Partners) (l *Levels, ok bool) {
	return f.levelsAt(ctx, variable, partners, linear.Point{})
}

// levelsAt is LevelsOf with other variables at a point.
func (f *Fit) levelsAt(ctx context.Context, variable int, partners Partners, at linear.Point) (l *Levels, ok bool) {
	var positions []position
	v := f.Model().Variables[variable]
	for _, level := range f.Matrix.Present[variable] {
		positions = append(positions, position{level, v.Levels[level],
			at.With(linear.Point{Levels: map[int]int{variable: level}})})
	}
	return f.layOut(ctx, variable, positions, partners)
}

// AtValues lays out some values of a number column in the same way.
func (f *Fit) AtValues(ctx context.Context, variable int, values []float64, partners Partners) (l *Levels, ok bool) {
	var positions []position
	for i, x := range values {
		positions = append(positions, position{i, strconv.FormatFloat(x, 'g', -1, 64),
			linear.Point{Numbers: map[int]float64{variable: x}}})
	}
	return f.layOut(ctx, variable, positions, partners)
}

// position is a level of a category, or a value of a number, whose mean is estimated.
type position struct {
	level int
	name  string
	point linear.Point
}

func (f *Fit) layOut(ctx context.Context, variable int, positions []position, partners Partners) (l *Levels, ok bool) {
	l = &Levels{Fit: f, Variable: variable}
	settings := partners.Settings
	if len(settings) == 0 {
		settings = []Within{{}}
	}
	var names []string
	for s, w := range settings {
		var cells []LevelWithin
		var named []string
		for _, one := range positions {
			c, can := f.cell(ctx, one.level, s, w.At(one.point))
			if !can && len(partners.Settings) == 0 {
				return l, false
			}
			if can {
				cells, named = append(cells, c), append(named, one.name)
			}
		}
		if len(cells) < 2 {
			l.Incomparable = append(l.Incomparable, w)
			continue
		}
		l.Levels, names = append(l.Levels, cells...), append(names, named...)
	}
	var weights [][]float64
	points := make([]linear.Point, len(l.Levels))
	for i, c := range l.Levels {
		weights = append(weights, c.Weights)
		l.Means.Mean = append(l.Means.Mean, c.Estimate.Value)
		points[i] = positions[slices.IndexFunc(positions, func(s position) bool { return s.level == c.Level })].point
		l.Means.N = append(l.Means.N, f.specimensOf(variable, points[i], settings[c.Within]))
	}
	l.Means.Cov, l.Means.DF = f.Covariance(weights), f.DF
	switch by := f.Estimator.(type) {
	case *linear.Uneven:
		l.Means.PairDF, l.Means.Own = by.PairFreedom(ctx, weights), by.OwnSpreads(ctx, weights)
	case *mixed.Fit:
		l.Means.PairDF = f.pairDF(ctx, weights)
		if name, blocks := f.Between(variable); name != "" && len(partners.Settings) == 0 {
			for _, p := range points {
				l.Means.Blocks = append(l.Means.Blocks, f.blocksOf(variable, p, blocks))
			}
		}
	}
	l.Family = f.family(variable, names, l.Levels, partners)
	return l, len(l.Levels) > 1
}

// Holds reports whether a specimen belongs to the setting of one of the levels: it has its categories,
// and no other setting's numbers are nearer.
func (l *Levels) Holds(i, row int) bool {
	settings := l.Family.Partners.Settings
	if len(settings) == 0 {
		return true
	}
	own := settings[l.Levels[i].Within]
	for v, x := range own.Point.Numbers {
		is := l.Fit.Model().Variables[v].Numbers[row]
		for _, other := range settings {
			if y := other.Point.Numbers[v]; math.Abs(is-y) < math.Abs(is-x) ||
				math.Abs(is-y) == math.Abs(is-x) && y < x {
				return false
			}
		}
	}
	return own.holds(l.Fit, row)
}

// cell is what the fit expects of a level at a point; false where it cannot tell.
func (f *Fit) cell(ctx context.Context, level, within int, p linear.Point) (LevelWithin, bool) {
	w, ok := f.Weights(p)
	if !ok {
		return LevelWithin{}, false
	}
	e, ok := f.Combination(ctx, w)
	if !ok || math.IsNaN(f.Covariance([][]float64{w})[0][0]) {
		return LevelWithin{}, false
	}
	return LevelWithin{level, within, w, e}, true
}

// specimensOf counts the specimens at a point within a setting; where the terms alone fill it in, those
// at the point.
func (f *Fit) specimensOf(variable int, at linear.Point, w Within) float64 {
	all, n := 0.0, 0.0
	for row := range f.Y.Values {
		if !f.stands(variable, at, row) {
			continue
		}
		all++
		if w.holds(f, row) {
			n++
		}
	}
	if n == 0 {
		return all
	}
	return n
}

// stands reports whether a specimen has the level, or the value, of a variable at a point.
func (f *Fit) stands(variable int, at linear.Point, row int) bool {
	v := f.Model().Variables[variable]
	if v.IsCategory() {
		return v.Codes[row] == at.Levels[variable]
	}
	return v.Numbers[row] == at.Numbers[variable]
}

// Between is the column of blocks that these variables lie between, each of its blocks being of one
// value of each, with the block of every specimen: of several the one with the fewest blocks. It is
// "" where they vary within blocks, or where blocks were found not to differ.
func (f *Fit) Between(variables ...int) (name string, blocks []int) {
	by, ok := f.Estimator.(*mixed.Fit)
	if !ok || len(variables) == 0 {
		return "", nil
	}
	for i, ref := range f.Method.Blocks {
		codes := by.Blocks[i].Codes
		if by.Components[i].SD > 0 && f.oneValue(variables, codes) &&
			(blocks == nil || slices.Max(codes) < slices.Max(blocks)) {
			name, blocks = ref.Column.Column, codes
		}
	}
	return name, blocks
}

// oneValue reports whether every block is of one value of each of the variables.
func (f *Fit) oneValue(variables, blocks []int) bool {
	first := map[int]int{} // the first specimen of each block
	for i, b := range blocks {
		at, met := first[b]
		if !met {
			first[b] = i
			continue
		}
		for _, v := range variables {
			if of := f.Model().Variables[v]; of.IsCategory() && of.Codes[i] != of.Codes[at] ||
				!of.IsCategory() && of.Numbers[i] != of.Numbers[at] {
				return false
			}
		}
	}
	return true
}

// SpentBetween is how many terms' degrees of freedom lie between blocks beside those of a variable: of
// the other variables that have one value in each block, a category's levels but one, and a number's one.
func (f *Fit) SpentBetween(blocks []int, variable int) int {
	spent := 0
	for v, of := range f.Model().Variables {
		switch {
		case v == variable || !f.oneValue([]int{v}, blocks):
		case of.IsCategory():
			spent += len(f.Matrix.Present[v]) - 1
		default:
			spent++
		}
	}
	return spent
}

// blocksOf is how many blocks have the level, or the value, of a variable at a point.
func (f *Fit) blocksOf(variable int, at linear.Point, blocks []int) float64 {
	met := map[int]bool{}
	for i, b := range blocks {
		if f.stands(variable, at, i) {
			met[b] = true
		}
	}
	return float64(len(met))
}

// pairDF is the degrees of freedom of the difference of each two combinations.
func (f *Fit) pairDF(ctx context.Context, weights [][]float64) [][]float64 {
	out := make([][]float64, len(weights))
	for i := range out {
		out[i] = make([]float64, len(weights))
		for j := range i {
			d := slices.Clone(weights[i])
			for c, v := range weights[j] {
				d[c] -= v
			}
			e, _ := f.Combination(ctx, d)
			out[i][j], out[j][i] = e.DF, e.DF
		}
	}
	return out
}
