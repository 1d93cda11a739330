package mixed

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"breakbook/models/linear"
)

// Slopes and curvatures of the deviance are what the fourth-order central difference
// f' = (f(−2h) − 8f(−h) + 8f(h) − f(2h))/12h (Abramowitz & Stegun 1964, table 25.2) makes of the
// deviance and of its slopes, with boards alone and with days that cross them.
func TestDerivativesOfTheDeviance(t *testing.T) {
	ctx := context.Background()
	r := rand.New(rand.NewPCG(9, 4))
	for range 4 {
		b := newBench(r, 30+r.IntN(20), 5+r.IntN(4), 60, 40)
		base, err := linear.Solve(ctx, b.y, b.model())
		if err != nil {
			t.Fatal(err)
		}
		for _, blocks := range [][]Block{{{b.board}}, {{b.board}, {b.day}}} {
			for _, c := range []Criterion{Restricted, Full} {
				groups, err := group(ctx, base, blocks)
				if err != nil {
					t.Fatal(err)
				}
				p, err := takeApart(ctx, base, groups, c)
				if err != nil {
					t.Fatal(err)
				}
				ratios := []float64{0.3 + r.Float64(), 0.3 + r.Float64()}[:len(groups)]
				x, err := p.at(ratios, true)
				if err != nil {
					t.Fatal(err)
				}
				difference := func(along int, f func(*point) float64) float64 {
					const h = 2e-3
					sum := 0.0
					for i, weight := range []float64{1, -8, 0, 8, -1} {
						moved := append([]float64(nil), ratios...)
						moved[along] += float64(i-2) * h
						x, err := p.at(moved, true)
						if err != nil {
							t.Fatal(err)
						}
						sum += weight * f(x)
					}
					return sum / (12 * h)
				}
				for k := range groups {
					want := difference(k, func(x *point) float64 { return x.deviance })
					near(t, fmt.Sprintf("slope %d of %d, %v", k, len(groups), c), x.slopes[k], want, 1e-7)
					for l := range groups {
						want := difference(l, func(x *point) float64 { return x.slopes[k] })
						near(t, fmt.Sprintf("curvature %d %d of %d, %v", k, l, len(groups), c), x.observed.At(k, l),
							want, 1e-7)
					}
				}
			}
		}
	}
}
