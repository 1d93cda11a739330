package linear

import (
	"math"

	"breakbook/models/design"
	"breakbook/models/exact"
)

// Weights are the coefficient weights of the expected value at a point: a number not
// given is at its mean; a category not given is averaged with equal weight over the
// levels the fit has. ok is false where a level given, or a combination of levels the
// average needs, has no specimen and the model cannot fill it in, or where a function
// does not exist at a number given.
func (f *Fit) Weights(p Point) (w []float64, ok bool) {
	wide := make([]exact.DD, len(f.Matrix.Labels))
	for j, label := range f.Matrix.Labels {
		if wide[j], ok = f.weight(label, p); !ok {
			return nil, false
		}
	}
	for _, label := range f.Matrix.Empty {
		if v, ok := f.weight(label, p); !ok || v.Hi != 0 {
			return nil, false
		}
	}
	if !f.estimable(wide) {
		return nil, false
	}
	w = make([]float64, len(wide))
	for j, v := range wide {
		w[j] = v.Float()
	}
	return w, true
}

// Independent is the numbers of the coefficients whose columns do not depend on others, and those columns.
func (f *Fit) Independent() (at []int, columns [][]float64) {
	for j, c := range f.Coefficients {
		if !c.Dependent {
			at, columns = append(at, j), append(columns, f.Matrix.Columns[j])
		}
	}
	return at, columns
}

// weight of one column at a point: the product of what its factors are there.
func (f *Fit) weight(label design.Label, p Point) (exact.DD, bool) {
	v := exact.Of(1)
	if label.Term < 0 {
		return v, true
	}
	for k, factor := range f.Matrix.Model.Terms[label.Term].Factors {
		var at exact.DD
		if level := label.Levels[k]; level >= 0 {
			share, ok := f.levelShare(factor.Variable, level, p)
			if !ok {
				return v, false
			}
			at = share
		} else {
			x := f.Matrix.Mean(factor.Variable)
			if given, ok := p.Numbers[factor.Variable]; ok {
				x = exact.Of(given)
			}
			at = f.Matrix.At(factor, x)
		}
		v = v.Mul(at)
		if math.IsNaN(v.Hi) || math.IsInf(v.Hi, 0) {
			return v, false
		}
	}
	return v, true
}

// levelShare is the share of a level at a point: 1 or 0 where the category is given,
// else one over the number of levels present.
func (f *Fit) levelShare(variable, level int, p Point) (exact.DD, bool) {
	present := f.Matrix.Present[variable]
	given, ok := p.Levels[variable]
	if !ok {
		return exact.Of(1).Div(exact.Of(float64(len(present)))), true
	}
	for _, l := range present {
		if l != given {
			continue
		}
		if given == level {
			return exact.Of(1), true
		}
		return exact.DD{}, true
	}
	return exact.DD{}, false
}
