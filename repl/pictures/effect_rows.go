package pictures

import (
	"slices"
	"unicode/utf8"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/design"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// effectRow is a row to be drawn: a combination of the fit's coefficients.
type effectRow struct {
	name, label string // in a sentence, and on the axis
	weights     []float64
}

// effectRows are the rows of a picture of effects: the fit's own, and of a factor that is combined with others its
// levels, or its step, within each setting of those. The combined term is not a row beside them.
func effectRows(k *session.Call, f *fitted.Fit) ([]effectRow, error) {
	partners := make([]fitted.Partners, len(f.Model().Variables))
	for v := range partners {
		if f.Model().ThroughZero {
			continue // its rows are no differences
		}
		var err error
		if partners[v], err = fitted.PartnersOf(k, f, v, k.Confidence()); err != nil {
			return nil, err
		}
	}
	var out []effectRow
	done := map[int]bool{} // variables whose effect is told whole
	for i, c := range f.Coefficients {
		if c.Label.Term < 0 || c.Dependent {
			continue
		}
		factors := f.Model().Terms[c.Label.Term].Factors
		if len(factors) == 1 && partners[factors[0].Variable].Combined() &&
			factors[0].Function != design.Squared && !factors[0].Function.IsChange() {
			if v := factors[0].Variable; !done[v] {
				done[v] = true
				out = append(out, rowsWithin(k, f, v, partners[v])...)
			}
			continue
		}
		if len(factors) > 1 && estimatedWithin(factors, partners) {
			continue
		}
		w := make([]float64, len(f.Coefficients))
		w[i] = step(f, c.Label)
		name := session.RowName(f.Model(), c.Label)
		row := effectRow{name: name, label: effectLabel(f, c.Label, name), weights: w}
		if slices.ContainsFunc(factors, func(factor design.Factor) bool {
			return !f.Model().Variables[factor.Variable].IsCategory() && factor.Function != design.Step
		}) {
			row.label += oneSD
		}
		out = append(out, row)
	}
	return out, nil
}

// oneSD ends the label of a row in which a number column goes one standard deviation.
const oneSD = ", +1 sd"

// estimatedWithin reports whether each factor of a combined term is estimated within all the others.
func estimatedWithin(factors []design.Factor, partners []fitted.Partners) bool {
	for _, a := range factors {
		for _, b := range factors {
			if a.Variable != b.Variable && !partners[a.Variable].Within(b.Variable) {
				return false
			}
		}
	}
	return true
}

// rowsWithin are the rows of a factor that is combined with others: each level against the baseline, or one standard
// deviation of a number, within each setting, or averaged over the others where that makes no difference worth having.
func rowsWithin(k *session.Call, f *fitted.Fit, variable int, partners fitted.Partners) []effectRow {
	v := f.Model().Variables[variable]
	var l *fitted.Levels
	var ok bool
	if v.IsCategory() {
		l, ok = f.LevelsOf(k.Context, variable, partners)
	} else {
		mean := f.Matrix.Mean(variable).Float()
		l, ok = f.AtValues(k.Context, variable, []float64{mean, mean + spread(v)}, partners)
	}
	if !ok {
		return nil
	}
	var out []effectRow
	first := 0
	for i, one := range l.Levels {
		if one.Within != l.Levels[first].Within {
			first = i
		}
		if i == first || v.IsCategory() && l.Levels[first].Level != slices.Min(v.Codes) {
			continue
		}
		r := effectRow{name: v.Name, label: v.Name + oneSD, weights: slices.Clone(one.Weights)}
		floats.Sub(r.weights, l.Levels[first].Weights)
		if v.IsCategory() {
			r.name = v.Name + ": " + v.Levels[one.Level]
			r.label = r.name
		}
		end := partners.Short(one.Within)
		if utf8.RuneCountInString(r.label+end) > longEffect && v.IsCategory() {
			r.label = v.Levels[one.Level] + " (" + v.Name + ")"
		}
		r.label += end
		r.name += end
		out = append(out, r)
	}
	return out
}
