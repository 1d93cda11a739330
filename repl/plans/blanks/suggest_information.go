package blanks

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/mixed"
	"breakbook/models/parallel"
	"breakbook/models/plan"
	"breakbook/repl/session/fitted"
)

// meanWeight is the mean weight of the specimens used, 1 without weights.
func meanWeight(f *fitted.Fit) float64 {
	w := f.Model().Weights
	if w == nil {
		return 1
	}
	return floats.Sum(w) / float64(len(w))
}

// MeasuredInformation is X'V⁻¹X·Sigma² of the specimens used, for the coefficients that can be
// told: weights as the fit's, and for a blocked fit the covariance of blocks as it was estimated.
func MeasuredInformation(ctx context.Context, f *fitted.Fit) ([][]float64, bool) {
	rows := make([][]float64, f.Sample.Frame.Len())
	for i := range rows {
		parallel.LookAt(ctx, i)
		row := make([]float64, len(f.Coefficients))
		for j, c := range f.Matrix.Columns {
			row[j] = c[i]
		}
		rows[i] = ownRow(f, row)
	}
	p := len(rows[0])
	out := lists.Made(p, func(j int) []float64 { return make([]float64, p) })
	if _, blocked := f.Estimator.(*mixed.Fit); blocked {
		return inverseCovariance(f, out)
	}
	for i, x := range rows {
		parallel.LookAt(ctx, i)
		w := f.Weight(i)
		for a := range p {
			for b := range p {
				out[a][b] += w * x[a] * x[b]
			}
		}
	}
	return out, true
}

// inverseCovariance fills in Sigma² over the coefficients' covariance.
func inverseCovariance(f *fitted.Fit, out [][]float64) ([][]float64, bool) {
	var each [][]float64
	for j, c := range f.Coefficients {
		if !c.Dependent {
			w := make([]float64, len(f.Coefficients))
			w[j] = 1
			each = append(each, w)
		}
	}
	covariance := f.Covariance(each)
	m := mat.NewSymDense(len(out), nil)
	for i := range out {
		for j := range i + 1 {
			m.SetSym(i, j, covariance[i][j]/(f.Sigma*f.Sigma))
		}
	}
	var c mat.Cholesky
	var inverse mat.SymDense
	if !c.Factorize(m) || c.InverseTo(&inverse) != nil {
		return nil, false
	}
	for i := range out {
		for j := range out {
			out[i][j] = inverse.At(i, j)
		}
	}
	return out, true
}

// broughtBy is the information that a joint of each kind is expected to bring, as rows: of
// the mean weight, from a block of its own, and averaged over the blanks measured for the
// columns that come with them. Kinds that the fit says nothing of are left out; kept are the places of
// the others.
func broughtBy(f *fitted.Fit, ctx context.Context, points []linear.Point,
	found variables) (kept []int, rows [][][]float64, err error) {
	variance := 1 / meanWeight(f)
	if b, ok := f.Estimator.(*mixed.Fit); ok {
		for _, c := range b.Components {
			variance += c.SD * c.SD / (f.Sigma * f.Sigma)
		}
	}
	blanks := blanksMeasured(f, found, max(1, mostLooked/len(points)))
	scale := math.Sqrt(1 / variance / float64(len(blanks)))
	for i, p := range points {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		var own [][]float64
		for _, blank := range blanks {
			w, ok := f.Weights(blank.With(p))
			if !ok {
				break
			}
			row := ownRow(f, w)
			for j := range row {
				row[j] *= scale
			}
			own = append(own, row)
		}
		if len(own) == len(blanks) {
			kept, rows = append(kept, i), append(rows, own)
		}
	}
	if len(rows) == 0 {
		return nil, nil, &plan.Error{Code: "singular"}
	}
	return kept, rows, nil
}

// blanksMeasured are the values of the columns found with the blank, one point a specimen;
// of more than most, every so manyeth. Without such columns it is one empty point.
func blanksMeasured(f *fitted.Fit, found variables, most int) []linear.Point {
	if len(found) == 0 {
		return []linear.Point{{}}
	}
	n := f.Sample.Frame.Len()
	step := (n + most - 1) / most
	var out []linear.Point
	for i := 0; i < n; i += step {
		p := linear.Point{Numbers: map[int]float64{}, Levels: map[int]int{}}
		for _, v := range found {
			if x := f.Model().Variables[v]; x.IsCategory() {
				p.Levels[v] = x.Codes[i]
			} else {
				p.Numbers[v] = x.Numbers[i]
			}
		}
		out = append(out, p)
	}
	return out
}
