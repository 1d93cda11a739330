package fitted

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/design"
	"breakbook/models/exact"
	"breakbook/models/linear"
	"breakbook/models/parallel"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// ExpectedChange are, for every row of a frame, what the fit expects of the specimen less what it expects of the same
// one with some number variables at other values: Σ b·(f(x) − f(x₀)), in the response's unit or on its ln
// scale. It is NaN where a value that this needs is missing, or is a level that the fit has not seen.
// Columns go by name, their numbers taken in the fit's units.
func (f *Fit) ExpectedChange(ctx context.Context, frame *frames.Frame, at map[int]float64) (_ []float64, err error) {
	defer parallel.Catch(&err)
	out := make([]float64, frame.Len())
	var terms []int
	for i, t := range f.Model().Terms {
		if holds(t, at) {
			terms = append(terms, i)
		}
	}
	columns := map[int]design.Variable{}
	for _, t := range terms {
		for _, factor := range f.Model().Terms[t].Factors {
			v := factor.Variable
			if _, read := columns[v]; read {
				continue
			}
			if columns[v], err = f.inFrame(ctx, frame, v); err != nil {
				return nil, err
			}
		}
	}
	for _, c := range f.Coefficients {
		if c.Dependent || !slices.Contains(terms, c.Label.Term) {
			continue
		}
		factors := f.Model().Terms[c.Label.Term].Factors
		for row := range out {
			parallel.LookAt(ctx, row)
			is, would := exact.Of(1), exact.Of(1)
			for k, factor := range factors {
				v := columns[factor.Variable]
				if v.IsCategory() {
					own := exact.Of(0)
					switch {
					case v.Codes[row] < 0:
						own = exact.Of(math.NaN())
					case v.Codes[row] == c.Label.Levels[k]:
						own = exact.Of(1)
					}
					is, would = is.Mul(own), would.Mul(own)
					continue
				}
				own := f.Matrix.At(factor, exact.Of(v.Numbers[row]))
				is = is.Mul(own)
				if x, asked := at[factor.Variable]; asked {
					own = f.Matrix.At(factor, exact.Of(x))
				}
				would = would.Mul(own)
			}
			out[row] += c.Estimate * is.Sub(would).Float()
		}
	}
	return out, nil
}

// holds reports whether a term is of one of some variables.
func holds(t design.Term, of map[int]float64) bool {
	return slices.ContainsFunc(t.Factors, func(f design.Factor) bool { _, in := of[f.Variable]; return in })
}

// inFrame is a variable of the fit as the rows of a frame have it: levels by their names, -1 for one that the
// fit has not seen.
func (f *Fit) inFrame(ctx context.Context, frame *frames.Frame, variable int) (design.Variable, error) {
	v := f.Model().Variables[variable]
	if !v.IsCategory() {
		numbers, err := frame.Numbers(v.Name)
		return design.Variable{Name: v.Name, Numbers: numbers}, err
	}
	if _, err := frame.MissingIn(v.Name); err != nil {
		return v, err
	}
	out := design.Variable{Name: v.Name, Levels: v.Levels, Codes: make([]int, frame.Len())}
	for row := range out.Codes {
		parallel.LookAt(ctx, row)
		text, _ := frame.Cell(v.Name, row)
		if out.Codes[row] = slices.Index(v.Levels, text); !slices.Contains(f.Matrix.Present[variable], out.Codes[row]) {
			out.Codes[row] = -1
		}
	}
	return out, nil
}

// OwnTermsOnly reports whether a number variable enters the fit by terms of its own alone, as it is (straight) or with
// its square (curved).
func (f *Fit) OwnTermsOnly(variable int) (straight, curved bool) {
	for _, t := range f.Model().Terms {
		if !slices.ContainsFunc(t.Factors, func(p design.Factor) bool { return p.Variable == variable }) {
			continue
		}
		switch {
		case len(t.Factors) > 1:
			return false, false
		case t.Factors[0].Function == design.Identity:
			straight = true
		case t.Factors[0].Function == design.Squared:
			curved = true
		default:
			return false, false
		}
	}
	return straight, curved && straight
}

// ReferenceLevels is what a comparison by a category of a column that was brought to reference conditions rests on:
// the fit of that column on the category and on what it was brought to the reference of, so that the slopes are
// estimated beside the differences and their uncertainty is in them. levels are those at the reference. fit is
// nil where that cannot be, and the slopes are taken as exact.
func ReferenceLevels(k *session.Call, y phrase.Response, by phrase.ColumnRef, options phrase.FitOptions) (l *Levels,
	err error) {
	_, frame, err := k.Frame()
	if err != nil {
		return nil, err
	}
	terms := CovariatesOf(frame, y)
	if len(terms) == 0 {
		return nil, nil
	}
	on := phrase.OnTerms{Y: y, Terms: phrase.Terms{List: append([]phrase.Term{phrase.TermOf(by.Column)}, terms...)}}
	quiet := *k // whose specimens, if they do not settle such a fit, are not those of the answer
	entry := *k.Entry
	quiet.Entry = &entry
	f, err := OnTerms(&quiet, on, options, false)
	if err != nil {
		return nil, k.Context.Err()
	}
	if slices.ContainsFunc(f.Coefficients, func(c linear.Coefficient) bool { return c.Dependent }) || !(f.DF > 0) {
		return nil, nil
	}
	at := linear.Point{Numbers: map[int]float64{}}
	column, _ := frame.Column(y.Column.Column)
	for _, r := range column.Adjusted.To {
		if v := slices.Index(f.Columns(), r.Column); v >= 0 {
			at.Numbers[v] = referenceIn(r.Value, r.Unit, f.Model().Variables[v].Unit)
		}
	}
	l, ok := f.levelsAt(k.Context, slices.Index(f.Columns(), by.Column), Partners{}, at)
	if !ok {
		return nil, nil
	}
	*k.Entry, k.Taken = entry, quiet.Taken
	return l, nil
}

// CovariatesOf are the terms that were adjusted for in a response, where their slopes can be fitted again beside
// a comparison; none of a function of it.
func CovariatesOf(frame *frames.Frame, y phrase.Response) []phrase.Term {
	column, ok := frame.Column(y.Column.Column)
	if !ok || column.Adjusted == nil || y.Function != "" {
		return nil
	}
	var terms []phrase.Term
	for _, r := range column.Adjusted.To {
		if c, there := frame.Column(r.Column); there && c.Kind == frames.Number && !r.Exact {
			t := phrase.TermOf(r.Column)
			t.Curved = r.Curved
			terms = append(terms, t)
		}
	}
	return terms
}

// referenceIn is a value in another unit; one of no unit, or of another dimension, is left as it is.
func referenceIn(x float64, from, to string) float64 {
	a, known := units.Parse(from)
	b, also := units.Parse(to)
	if !known || !also || a.None() || b.None() {
		return x
	}
	y, err := units.Convert(x, a, b)
	if err != nil {
		return x
	}
	return y
}
