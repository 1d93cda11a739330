package compare

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"breakbook/models/dist"
)

// longDesign is a response on a covariate and a factor of three levels, sorted by level,
// with skewed residuals.
func longDesign(n int, effect float64) ReshuffleDesign {
	draw := rand.New(rand.NewPCG(3, 1))
	f := ReshuffleDesign{Response: make([]float64, n), Rest: [][]float64{make([]float64, n), make([]float64, n)},
		Own: [][]float64{make([]float64, n), make([]float64, n)}}
	for i := range n {
		f.Rest[0][i], f.Rest[1][i] = 1, draw.NormFloat64()
		f.Response[i] = 3*f.Rest[1][i] + draw.ExpFloat64()
		if l := 3 * i / n; l > 0 {
			f.Own[l-1][i] = 1
			f.Response[i] += effect * float64(l)
		}
	}
	return f
}

// Every turn's coordinates are those of the values dealt out as it says, in a series of several transforms too.
func TestTurnsAreOrders(t *testing.T) {
	const turns = 700
	l := newReducedFit(context.Background(), longDesign(16_000, 0), nil)
	draw := rand.New(rand.NewPCG(1, 2))
	seats, ring := draw.Perm(l.specimen), draw.Perm(l.specimen)
	coords := l.turned(context.Background(), seats, ring, turns)
	dealt := make([]float64, l.specimen)
	for k := range turns {
		for i, at := range seats {
			dealt[at] = l.values[ring[(i+k)%l.specimen]]
		}
		for d, u := range l.span.Directions {
			// A transform of 2^13 is good to some 13 roundings of the values' length.
			near(t, "coordinate", coords[d][k], floats.Dot(u, dealt), 1e-14*math.Sqrt(l.squares))
		}
	}
}

// Over many seeds the turns' p of a long series has the mean and the spread that orders
// drawn each for itself would have: the mean is near the F test's, the sd √(p(1 − p)/N).
func TestTurnsAreAsGoodAsDraws(t *testing.T) {
	f := longDesign(5000, 0.03)
	const seeds, times = 60, 4000
	var ps []float64
	var o Overall
	for seed := range uint64(seeds) {
		var err error
		if o, err = Beyond(context.Background(), f, Options{Seed: seed, Times: times}); err != nil {
			t.Fatal(err)
		}
		ps = append(ps, o.P)
	}
	want := dist.FTail(o.F, o.DF1, o.DF2)
	sd := math.Sqrt(want * (1 - want) / times)
	mean, spread := stat.MeanStdDev(ps, nil)
	// Of 5000 specimens the F test is within a few thousandths of the reshuffles'.
	near(t, "mean p", mean, want, 0.003+4*sd/math.Sqrt(seeds))
	// The sd over 60 seeds has an error of 9 %: four of them.
	near(t, "sd of p over seeds", spread, sd, 0.37*sd)
}
