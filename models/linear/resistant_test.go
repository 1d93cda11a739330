package linear

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"breakbook/models/design"
	"breakbook/models/dist"
)

// leastByProgram is the least Σ|y − Xd| as a linear program: y = X(d⁺ − d⁻) + e⁺ − e⁻, all
// not below zero, Σ(e⁺ + e⁻) least (Charnes, Cooper and Ferguson 1955).
func leastByProgram(t *testing.T, rows [][]float64, y []float64) float64 {
	t.Helper()
	n, p := len(rows), len(rows[0])
	a := mat.NewDense(n, 2*p+2*n, nil)
	c := make([]float64, 2*p+2*n)
	b := make([]float64, n)
	var basis []int
	for i, row := range rows {
		for j, v := range row {
			a.Set(i, j, v)
			a.Set(i, p+j, -v)
		}
		a.Set(i, 2*p+i, 1)
		a.Set(i, 2*p+n+i, -1)
		c[2*p+i], c[2*p+n+i] = 1, 1
		if b[i] = y[i]; y[i] >= 0 {
			basis = append(basis, 2*p+i)
		} else {
			basis = append(basis, 2*p+n+i)
		}
	}
	least, _, err := lp.Simplex(c, a, b, 1e-12, basis)
	if err != nil {
		t.Fatal(err)
	}
	return least
}

func absolutes(rows [][]float64, y, d []float64) float64 {
	sum := 0.0
	for i, row := range rows {
		sum += math.Abs(y[i] - floats.Dot(row, d))
	}
	return sum
}

func TestLeastAbsoluteIsTheLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	for round := range 60 {
		n, p := 8+r.IntN(25), 1+r.IntN(4)
		rows, y := make([][]float64, n), make([]float64, n)
		for i := range rows {
			rows[i] = append(rows[i], 1)
			for range p {
				x := r.NormFloat64()
				if round%2 == 0 {
					x = float64(r.IntN(2)) // levels: ties, and several answers
				}
				rows[i] = append(rows[i], x)
			}
			y[i] = math.Round(20*r.NormFloat64()/(0.1+r.Float64())) / 2
		}
		d, ok := leastAbsolute(context.Background(), rows, y)
		if !ok {
			continue // levels that cannot be distinguished
		}
		want := leastByProgram(t, rows, y)
		if got := absolutes(rows, y, d); got > want*(1+1e-5) || got < want*(1-1e-9) {
			t.Errorf("round %d: sum %.10g, the least is %.10g", round, got, want)
		}
	}
}

func resistant(t testing.TB, y []float64, m design.Model) *Resistant {
	t.Helper()
	f := solve(t, y, m)
	r, err := f.Resistant(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// What a fit is: bisquare weights of its own residuals and scale give it back, the scale
// is the normalised median absolute residual, and one wild value changes next to nothing.
func TestResistantIsItsOwnFixedPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	settled := 0
	for range 30 {
		n := 25 + r.IntN(20)
		x, y, codes := make([]float64, n), make([]float64, n), make([]int, n)
		for i := range x {
			x[i], codes[i] = 600+40*r.NormFloat64(), i%3
			y[i] = 3*x[i] + 100*float64(codes[i]) + 50*r.NormFloat64()
		}
		m := design.Model{Variables: []design.Variable{{Codes: codes, Levels: []string{"a", "b", "c"}}, number("x", x)},
			Terms: []design.Term{term(0), term(1)}}
		f := resistant(t, y, m)
		if !f.Settled {
			continue
		}
		settled++
		var size []float64
		for _, v := range f.Residuals {
			size = append(size, math.Abs(v))
		}
		if s := dist.Median(t.Context(), size) / 0.6744897501960817; !(math.Abs(s-f.Sigma) <= 1e-9*s) {
			t.Errorf("scale %g, residuals say %g", f.Sigma, s)
		}
		// Tukey's bisquare and Huber's covariance with his correction (1981, Robust Statistics, 7.6), written out.
		least, psi2, slope, slope2 := solve(t, y, m), 0.0, 0.0, 0.0
		for i, v := range f.Residuals {
			u := v / f.Sigma
			share, along := 0.0, 0.0
			if v := u / 4.685; math.Abs(v) < 1 {
				share, along = math.Pow(1-v*v, 2), 1-6*v*v+5*math.Pow(v, 4)
			}
			psi2, slope, slope2 = psi2+share*share*u*u, slope+along/float64(n), slope2+along*along/float64(n)
			if !(math.Abs(f.Share[i]-share) <= 1e-9) {
				t.Errorf("%g scales away keep %g of their weight, not %g", u, f.Share[i], share)
			}
		}
		residualDF := float64(n) - 4
		k := 1 + 4/float64(n)*(slope2-slope*slope)/(slope*slope)
		for j, c := range f.Coefficients {
			want := k * math.Sqrt(psi2/residualDF) * f.Sigma / slope * least.Coefficients[j].SE / least.Sigma
			if !(math.Abs(c.SE-want) <= 1e-8*want) || c.DF != residualDF {
				t.Errorf("standard error %g with %g degrees of freedom, want %g", c.SE, c.DF, want)
			}
		}
		m.Weights = f.Share
		again := solve(t, y, m)
		for i := range y {
			if f.Share[i] > 0 && !(math.Abs(again.Fitted[i]-f.Fitted[i]) <= 1e-8*f.Sigma) {
				t.Errorf("fitted %g, its own weights give %g", f.Fitted[i], again.Fitted[i])
			}
		}
		m.Weights = nil
		y[4] += 1e5
		wild := resistant(t, y, m)
		if wild.Share[4] != 0 {
			t.Errorf("a value off by 1e5 kept %g of its weight", wild.Share[4])
		}
		for j, c := range wild.Coefficients {
			if own := f.Coefficients[j]; !(math.Abs(c.Estimate-own.Estimate) <= 3*own.SE) {
				t.Errorf("one wild value moved an effect from %g to %g (%g)", own.Estimate, c.Estimate, own.SE)
			}
		}
	}
	if settled < 20 {
		t.Errorf("only %d of 30 settled", settled)
	}
}

// Nothing depends on the order of rows, the units, or the size of all weights.
func TestResistantAndUnevenKeepWithUnitsAndOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(16, 40).Draw(rt, "n")
		seed := rapid.Uint64().Draw(rt, "seed")
		r := rand.New(rand.NewPCG(seed, 1))
		x, y, w, codes := make([]float64, n), make([]float64, n), make([]float64, n), make([]int, n)
		for i := range x {
			x[i], codes[i], w[i] = r.NormFloat64(), i%2, 0.5+r.Float64()
			y[i] = 3*x[i] + float64(codes[i]) + r.NormFloat64()/(0.2+r.Float64())
		}
		scale, times := math.Ldexp(1, rapid.IntRange(-20, 20).Draw(rt, "unit")),
			math.Ldexp(1, rapid.IntRange(-10, 10).Draw(rt, "weights"))
		order := r.Perm(n)
		x2, y2, w2, codes2 := make([]float64, n), make([]float64, n), make([]float64, n), make([]int, n)
		for to, from := range order {
			x2[to], y2[to], w2[to], codes2[to] = scale*x[from], scale*y[from], times*w[from], codes[from]
		}
		model := func(x, w []float64, codes []int) design.Model {
			return design.Model{Variables: []design.Variable{{Codes: codes, Levels: []string{"a", "b"}},
				number("x", x)}, Terms: []design.Term{term(0), term(1)}, Weights: w}
		}
		a, b := solve(t, y, model(x, w, codes)), solve(t, y2, model(x2, w2, codes2))
		ua, err := a.Uneven(context.Background())
		if err != nil {
			rt.Fatal(err)
		}
		ub, err := b.Uneven(context.Background())
		if err != nil {
			rt.Fatal(err)
		}
		for j, c := range ua.Coefficients {
			factor := scale
			if j == 2 {
				factor = 1
			}
			if d := ub.Coefficients[j]; !(math.Abs(d.SE-factor*c.SE) <= 1e-11*factor*c.SE) ||
				!(math.Abs(d.P-c.P) <= 1e-11) {
				rt.Errorf("uneven: standard error %g and p %g became %g and %g", c.SE, c.P, d.SE, d.P)
			}
		}
		ra, rb := resistant(t, y, model(x, w, codes)), resistant(t, y2, model(x2, w2, codes2))
		if !ra.Settled || !rb.Settled {
			return
		}
		for to, from := range order {
			if !(math.Abs(ra.Share[from]-rb.Share[to]) <= 1e-7) {
				rt.Errorf("share %g became %g", ra.Share[from], rb.Share[to])
			}
		}
	})
}

// A specimen alone on its level: what rests on it has no standard error, the rest has the
// one of the series without it.
func TestUnevenNamesTheSpecimenAloneOnItsLevel(t *testing.T) {
	y := []float64{10, 12, 11, 15, 19, 16, 30}
	codes := []int{0, 0, 0, 1, 1, 1, 2}
	v := design.Variable{Codes: codes, Levels: []string{"a", "b", "c"}}
	m := design.Model{Variables: []design.Variable{v}, Terms: []design.Term{term(0)}}
	u, err := solve(t, y, m).Uneven(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if len(u.Alone) != 1 || u.Alone[0] != 6 {
		t.Fatalf("alone: %v", u.Alone)
	}
	// By hand: HC2 of a level of n is Σ(y − mean)²/(n − 1)/n: (1 + 1 + 0)/6 and 26/3/6.
	within := 2.0 / 6
	other := (25.0/9 + 49.0/9 + 4.0/9) / 6
	for j, want := range []float64{math.Sqrt(within), math.Sqrt(within + other), math.NaN()} {
		if got := u.Coefficients[j].SE; !(math.Abs(got-want) <= 1e-12) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("standard error %d is %g, want %g", j, got, want)
		}
	}
	// n − 1 of a level; of two Welch's (1947, equation 28)
	welch := (within + other) * (within + other) / (within*within/2 + other*other/2)
	for j, want := range []float64{2, welch, math.NaN()} {
		if got := u.Coefficients[j].DF; !(math.Abs(got-want) <= 1e-12) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("df %d is %g, want %g", j, got, want)
		}
	}
	if !math.IsNaN(u.F) {
		t.Errorf("F %g of terms that rest on one specimen", u.F)
	}
}
