package shares

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

const (
	// longSeries is the number of specimens from which on resamples are worked out from
	// products of directions.
	longSeries = 2000
	// leastLeft is the squared length of a direction, of 1 in the whole series, below which
	// a resample has hardly any of it left.
	leastLeft = 1e-4
	// piece is how many specimens are multiplied at a time: what fits a core's nearest store.
	piece = 512
)

// long is what the resamples of a long series are worked out from: the orthonormal basis of
// the whole series, baseline first, and the response's residuals. A resample counts each
// specimen so often; its products of these columns are near those of the whole series, so
// that their triangular root turns old coordinates into new ones with few roundings.
type long struct {
	columns  [][]float64 // the directions, then the residuals
	response []float64   // along the directions
}

func newLong(ctx context.Context, g *measure) *long {
	l := &long{columns: append([][]float64(nil), g.basis.Directions...)}
	for _, u := range l.columns {
		l.response = append(l.response, floats.Dot(u, g.y))
	}
	l.columns = append(l.columns, g.basis.Rest(ctx, g.y))
	return l
}

// products of the columns, each specimen counted so often.
func (l *long) products(count []float64) *mat.SymDense {
	m := len(l.columns)
	out := mat.NewSymDense(m, nil)
	counted := make([]float64, piece)
	for from := 0; from < len(count); from += piece {
		to := min(from+piece, len(count))
		for a, c := range l.columns {
			counted = counted[:to-from]
			floats.MulTo(counted, count[from:to], c[from:to])
			for b := range a + 1 {
				out.SetSym(a, b, out.At(a, b)+floats.Dot(counted, l.columns[b][from:to]))
			}
		}
	}
	return out
}

// resampled is the model of specimens counted so often each; false where it lacks a
// direction of the whole series, or nearly.
func (l *long) resampled(g *measure, count []float64) (*measure, bool) {
	products := l.products(count)
	k := g.rank + 1
	var root mat.Cholesky
	if !root.Factorize(products.SliceSym(0, k).(*mat.SymDense)) {
		return nil, false
	}
	var lower mat.TriDense
	root.LTo(&lower)
	for j := range k {
		if d := lower.At(j, j); !(d*d > leastLeft) {
			return nil, false
		}
	}
	// turned is L'v for coordinates v, the first, along the baseline, left out.
	turned := func(v []float64) []float64 {
		out := make([]float64, k-1)
		for j := range out {
			for i := j + 1; i < k; i++ {
				out[j] += lower.At(i, j+1) * v[i]
			}
		}
		return out
	}
	out := &measure{n: g.n, rank: g.rank, terms: g.terms, small: make([][][]float64, len(g.small)),
		response: turned(l.response)}
	for t, columns := range g.small {
		for _, c := range columns {
			out.small[t] = append(out.small[t], turned(append([]float64{0}, c...)))
		}
	}
	residualSS := products.At(k, k)
	along := make([]float64, k) // of the residuals, in the resample
	for i := range along {
		along[i] = products.At(k, i)
		for j := range i {
			along[i] -= lower.At(i, j) * along[j]
		}
		along[i] /= lower.At(i, i)
		residualSS -= along[i] * along[i]
		if i > 0 {
			out.response[i-1] += along[i]
		}
	}
	out.total = math.Max(0, residualSS) + floats.Dot(out.response, out.response)
	return out, out.total > 1e-20*g.total
}
