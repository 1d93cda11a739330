package theory

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// counted is how often something happens in 20,000 draws of its own, beside what theory says: three
// and a half standard errors of such a count.
func counted(t *testing.T, what string, theory float64, happens func(r *rand.Rand) bool) {
	t.Helper()
	const draws = 20_000
	r, n := rand.New(rand.NewPCG(4, uint64(len(what)))), 0
	for range draws {
		if happens(r) {
			n++
		}
	}
	share := float64(n) / draws
	if off := math.Abs(share - theory); !(off <= 3.5*math.Sqrt(theory*(1-theory)/draws)+1e-4) {
		t.Errorf("%s: %.4f by theory, %.4f counted", what, theory, share)
	}
}

// The tests are worked out here from their textbook formulas, with the critical values and tails of a general library.
func TestTheoryAgreesWithCounting(t *testing.T) {
	normal := func(r *rand.Rand, n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = r.NormFloat64()
		}
		return out
	}
	two := func(df float64) func(x float64) float64 {
		d := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		return func(x float64) float64 { return 2 * d.Survival(math.Abs(x)) }
	}
	const n = 12
	p := two(n - 3)
	counted(t, "left out", LeftOut(n, 0.8, 1, 1, 0.01), func(r *rand.Rand) bool {
		x, y := normal(r, n), normal(r, n)
		within := func(v []float64) []float64 {
			out := slices.Clone(v)
			for level := range 2 {
				mean := 0.0
				for i := level; i < n; i += 2 {
					mean += v[i] / (n / 2)
				}
				for i := level; i < n; i += 2 {
					out[i] -= mean
				}
			}
			return out
		}
		for i := range y {
			y[i] += 0.8 * x[i]
		}
		x, y = within(x), within(y)
		var xx, xy, yy float64
		for i := range x {
			xx, xy, yy = xx+x[i]*x[i], xy+x[i]*y[i], yy+y[i]*y[i]
		}
		return p(xy/xx/math.Sqrt((yy-xy*xy/xx)/(n-3)/xx)) < 0.01
	})
	p4 := two(n - 4)
	counted(t, "combination", Combination(n, 4, 1, 0.01), func(r *rand.Rand) bool {
		y, rest, joint := normal(r, n), 0.0, 0.0
		for cell := range 4 {
			mean := 0.0
			for i := cell; i < n; i += 4 {
				mean += y[i] / 3
			}
			for i := cell; i < n; i += 4 {
				rest += (y[i] - mean) * (y[i] - mean)
			}
			joint += mean * []float64{1, -1, -1, 1}[cell]
		}
		return p4((joint+4)/math.Sqrt(rest/(n-4)*4/3)) < 0.01
	})
	f := distuv.F{D1: 4, D2: 29}
	back := distuv.F{D1: 29, D2: 4}
	counted(t, "spreads", Spreads(3, 4, 29, 0.01), func(r *rand.Rand) bool {
		a, b := distuv.ChiSquared{K: 4, Src: r}.Rand()/4*9, distuv.ChiSquared{K: 29, Src: r}.Rand()/29
		return 2*min(f.Survival(a/b), back.Survival(b/a)) < 0.01
	})
	counted(t, "ceiling", Ceiling(20, 4, 0.07, 0.3), func(r *rand.Rand) bool {
		at := 0
		for i := range 20 {
			if r.Float64() < []float64{0.07, 0.3}[i%2] {
				at++
			}
		}
		return at >= 4
	})
	p9 := two(9)
	counted(t, "several effects", Several(5, 9, 0.05), func(r *rand.Rand) bool {
		sd := math.Sqrt(distuv.ChiSquared{K: 9, Src: r}.Rand() / 9)
		var ps []float64
		for range 5 {
			ps = append(ps, p9(r.NormFloat64()/sd))
		}
		slices.Sort(ps)
		most := 0.0
		for i, one := range ps {
			if most = max(most, one*float64(5-i)); one < 0.05 && most >= 0.05 {
				return true
			}
		}
		return false
	})
	// A bend and an odd specimen are the noncentral t of the others; their noncentrality by hand.
	x := []float64{-2, -1, 0, 1, 2, 3}
	of := make([]float64, len(x))
	for i := range x {
		of[i] = x[i]*x[i]*3 + 2*x[i]
	}
	// x² about its line in x over six places one apart: 224/6 (the quadratic of the orthogonal polynomials of six).
	if got := beyondLine(x, of); math.Abs(got-9*224/6.0) > 1e-9 {
		t.Errorf("beyond the line: %g", got)
	}
	if a, b := Bend(x, of, 10, 0.01), shows(0.01, 3, math.Sqrt(9*224/6.0)/10); a != b {
		t.Errorf("a bend %g, %g", a, b)
	}
	if got := Odd(20, 0, 1, 0.01); math.Abs(got-0.01/20) > 1e-9 {
		t.Errorf("a specimen that is not odd is found in %g", got)
	}
}
