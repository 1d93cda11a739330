package compare

import (
	"context"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"

	"breakbook/models/lists"
	"breakbook/models/parallel"
)

const (
	// longSeries is the number of specimens from which on orders are drawn as turns.
	longSeries = 5000
	// mostTurns is how many turns of one pair of orders are looked at.
	mostTurns = 2048
	// turnLength is the length of the transforms, a power of two.
	turnLength = 8192
)

// turner deals a long series out without blocks: the values in an order drawn anew stand
// on a ring around the specimens in another, and every turn of the ring by one place is an
// arrangement. Each of them is any order of the values, all alike, and two of them have next
// to nothing to do with each other, for the orders are drawn anew every mostTurns turns. The
// coordinates of all turns are one convolution (overlapping segments: Stockham 1966).
func (l *reducedFit) turner(ctx context.Context) func() dealing {
	return func() dealing {
		return func(draw *rand.Rand, pieces int) func() (t, explained float64) {
			coords := l.turned(ctx, draw.Perm(l.specimen), draw.Perm(l.specimen), pieces)
			at := 0
			one := make([]float64, len(coords))
			return func() (t, explained float64) {
				for d := range coords {
					one[d] = coords[d][at]
				}
				at++
				return l.statistics(one)
			}
		}
	}
}

// turned is, by direction, the coordinates of so many turns: of turn k those of the values
// with the one numbered ring[i+k] at the specimen numbered seats[i].
func (l *reducedFit) turned(ctx context.Context, seats, ring []int, turns int) [][]float64 {
	transform := fourier.NewFFT(turnLength)
	segment := make([]float64, turnLength)
	var values, weights []complex128
	sums := lists.Made(len(l.span.Directions), func(d int) []complex128 { return make([]complex128, turnLength/2+1) })
	seated := turnLength - turns + 1 // specimens a segment
	for from := 0; from < l.specimen; from += seated {
		parallel.Look(ctx)
		for i := range segment {
			segment[i] = l.values[ring[(from+i)%l.specimen]]
		}
		values = transform.Coefficients(values, segment)
		clear(segment)
		here := seats[from:min(from+seated, l.specimen)]
		for d, u := range l.span.Directions {
			for i, at := range here {
				segment[i] = u[at]
			}
			weights = transform.Coefficients(weights, segment)
			for k, w := range weights {
				sums[d][k] += complex(real(w), -imag(w)) * values[k]
			}
		}
	}
	coords := make([][]float64, len(sums))
	for d, sum := range sums {
		coords[d] = transform.Sequence(nil, sum)[:turns]
		for k := range coords[d] {
			coords[d][k] /= turnLength
		}
	}
	return coords
}
