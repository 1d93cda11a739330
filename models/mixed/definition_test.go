package mixed

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"breakbook/models/design"
)

// bench is a made-up uneven series: levels a, a number x, boards, and days that cross them.
type bench struct {
	y, x, w           []float64
	a, board, day     []int
	boards, specimens int
}

func newBench(r *rand.Rand, n, boards int, between, byDay float64) bench {
	b := bench{boards: boards, specimens: n}
	boardShift, dayShift := make([]float64, boards), make([]float64, 4)
	for i := range boardShift {
		boardShift[i] = between * r.NormFloat64()
	}
	for i := range dayShift {
		dayShift[i] = byDay * r.NormFloat64()
	}
	for i := range n {
		board, day := r.IntN(boards), r.IntN(4)
		if i < 2*boards {
			board = i % boards
		}
		a, x := r.IntN(3), 600+40*r.NormFloat64()
		if i < 12 {
			a, day = i%3, i/3
		}
		b.board, b.day, b.a = append(b.board, board), append(b.day, day), append(b.a, a)
		b.x, b.w = append(b.x, x), append(b.w, 0.5+2*r.Float64())
		b.y = append(b.y, 4000+3*x+100*float64(a)+boardShift[board]+dayShift[day]+50*r.NormFloat64())
	}
	return b
}

func (b bench) model() design.Model {
	return design.Model{Variables: []design.Variable{category(3, b.a), {Name: "x", Numbers: b.x}},
		Terms: []design.Term{term(0), term(1)}, Weights: b.w}
}

// logDensity is the log density of y under N(Xb, V), or of its error contrasts, by matrices
// of the size of the series, straight from the definitions.
func logDensity(b bench, f *Fit, ratios []float64, restricted bool) float64 {
	n, p := len(b.y), len(f.Coefficients)
	v, x := mat.NewSymDense(n, nil), mat.NewDense(n, p, nil)
	for i := range n {
		for j := range i + 1 {
			s := 0.0
			if b.board[i] == b.board[j] {
				s += ratios[0]
			}
			if b.day[i] == b.day[j] {
				s += ratios[1]
			}
			if i == j {
				s += 1 / b.w[i]
			}
			v.SetSym(i, j, s)
		}
		for j, column := range f.Matrix.Columns {
			x.Set(i, j, column[i])
		}
	}
	var c mat.Cholesky
	c.Factorize(v)
	var vx, xvx, beta mat.Dense
	c.SolveTo(&vx, x)
	xvx.Mul(x.T(), &vx)
	y := mat.NewDense(n, 1, append([]float64(nil), b.y...))
	var xvy, fitted, residual, vResidual mat.Dense
	xvy.Mul(vx.T(), y)
	beta.Solve(&xvx, &xvy)
	fitted.Mul(x, &beta)
	residual.Sub(y, &fitted)
	c.SolveTo(&vResidual, &residual)
	quadratic := 0.0
	for i := range n {
		quadratic += residual.At(i, 0) * vResidual.At(i, 0)
	}
	freedom := float64(n)
	out := c.LogDet()
	if restricted {
		freedom -= float64(p)
		var xx mat.Dense
		xx.Mul(x.T(), x)
		one, _ := mat.LogDet(&xvx)
		two, _ := mat.LogDet(&xx)
		out += one - two
	}
	variance := quadratic / freedom
	return -(freedom*(math.Log(2*math.Pi*variance)+1) + out) / 2
}

// The likelihood is that of the definition, and no ratios nearby give a larger one; for the
// restricted one and for the full one.
func TestLikelihoodIsTheLargest(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 6))
	for range 12 {
		b := newBench(r, 30+r.IntN(20), 5+r.IntN(4), 60*r.Float64(), 40*r.Float64())
		for _, c := range []Criterion{Restricted, Full} {
			f, err := Solve(context.Background(), b.y, b.model(), []Block{{b.board}, {b.day}}, c)
			if err != nil {
				t.Fatal(err)
			}
			ratios := make([]float64, 2)
			for k := range ratios {
				ratios[k] = f.Components[k].SD * f.Components[k].SD / (f.Sigma * f.Sigma)
			}
			best := logDensity(b, f, ratios, c == Restricted)
			near(t, "log likelihood", f.LogLikelihood, best, 1e-9)
			for k := range ratios {
				for _, by := range []float64{0.9, 0.99, 1.01, 1.1} {
					other := []float64{ratios[0], ratios[1]}
					if other[k] *= by; other[k] == 0 {
						other[k] = 1e-3 * by
					}
					if l := logDensity(b, f, other, c == Restricted); l > best+1e-10 {
						t.Errorf("ratios %v give %.12g, more than %.12g at %v", other, l, best, ratios)
					}
				}
			}
			// AICc counts the coefficients, Sigma and the variances above zero (Hurvich and Tsai 1989, from memory).
			n, k, above := float64(len(b.y)), float64(len(f.Coefficients)+1), 0.0
			for _, ratio := range ratios {
				if ratio > 0 {
					k++
				}
				above += ratio
			}
			if c == Restricted && !math.IsNaN(f.AICc) {
				t.Errorf("AICc %g with %v", f.AICc, c)
			}
			if c == Full {
				near(t, "AICc", f.AICc, -2*f.LogLikelihood+2*k+2*k*(k+1)/(n-k-1), 1e-9)
			}
			for i, ratio := range ratios {
				near(t, "part of the variance", f.Components[i].Proportion, ratio/(1+above), 1e-12)
			}
			near(t, "explained", f.Explained, explained(b, f), 1e-9)
		}
	}
}

// explained is the share of the weighted squares about the mean that the terms alone take off, blocks left out.
func explained(b bench, f *Fit) float64 {
	mean, weights := 0.0, 0.0
	for i, y := range b.y {
		mean, weights = mean+b.w[i]*y, weights+b.w[i]
	}
	mean /= weights
	rss, tss := 0.0, 0.0
	for i, y := range b.y {
		expected := 0.0
		for j, c := range f.Coefficients {
			expected += c.Estimate * f.Matrix.Columns[j][i]
		}
		rss, tss = rss+b.w[i]*(y-expected)*(y-expected), tss+b.w[i]*(y-mean)*(y-mean)
	}
	return 1 - rss/tss
}

// The mean of an F with ν degrees of freedom below the line is ν/(ν − 2): of two of 10 it is theirs, of 4 and 6 the
// parts' means add up to 2 + 3/2, and 2·3.5/1.5 is left; one of 2 has none and takes one off the excess.
func TestDenominator(t *testing.T) {
	for _, c := range []struct {
		parts []float64
		want  float64
	}{
		{[]float64{7.5}, 7.5}, {[]float64{1.5}, 1.5}, {[]float64{10, 10}, 10}, {[]float64{4, 6}, 14.0 / 3},
		{[]float64{3, 2}, 6}, {[]float64{10, 2}, 2}, {[]float64{4, 1.5}, 1.5}, {[]float64{8, 8, 8}, 8},
	} {
		near(t, "denominator", denominator(c.parts), c.want, 1e-14)
	}
}

// Nothing depends on the order of rows and of levels, the names of blocks, units, or the
// size of all weights.
func TestBlockedFitsKeepWithUnitsAndOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 7))
		b := newBench(r, rapid.IntRange(20, 40).Draw(rt, "n"), rapid.IntRange(4, 8).Draw(rt, "boards"), 80, 50)
		unit, heavy := math.Ldexp(1, rapid.IntRange(-20, 20).Draw(rt, "unit")),
			math.Ldexp(1, rapid.IntRange(-9, 9).Draw(rt, "weights"))
		order := r.Perm(len(b.y))
		var o bench
		for _, i := range order {
			o.y, o.x, o.w = append(o.y, unit*b.y[i]), append(o.x, b.x[i]), append(o.w, heavy*b.w[i])
			o.a, o.board, o.day = append(o.a, 2-b.a[i]), append(o.board, 100-b.board[i]), append(o.day, b.day[i])
		}
		blocks := func(b bench) []Block { return []Block{{b.board}, {b.day}} }
		f, err := Solve(context.Background(), b.y, b.model(), blocks(b), Restricted)
		if err != nil {
			rt.Fatal(err)
		}
		g, err := Solve(context.Background(), o.y, o.model(), blocks(o), Restricted)
		if err != nil {
			rt.Fatal(err)
		}
		same := func(what string, got, want float64) {
			if !(math.Abs(got-want) <= 1e-7*max(1, math.Abs(want))) {
				rt.Errorf("%s: %.12g became %.12g", what, want, got)
			}
		}
		same("F", g.F, f.F)
		same("against", g.FDF2, f.FDF2)
		same("sd left over", g.Sigma/(unit*math.Sqrt(heavy)), f.Sigma)
		for k, c := range f.Components {
			same("sd of blocks", g.Components[k].SD/unit, c.SD)
		}
		for to, from := range order {
			same("fitted", g.Fitted[to]/unit, f.Fitted[from])
		}
		slope := len(f.Coefficients) - 1
		same("slope", g.Coefficients[slope].Estimate/unit, f.Coefficients[slope].Estimate)
		same("its df", g.Coefficients[slope].DF, f.Coefficients[slope].DF)
	})
}

func TestWhatCannotBeFittedIsNamed(t *testing.T) {
	y := []float64{1, 3, 2, 5, 4, 7, 6, 9}
	codes := []int{0, 0, 0, 0, 1, 1, 1, 1}
	own := []int{0, 1, 2, 3, 4, 5, 6, 7}
	other := []int{5, 5, 5, 5, 2, 2, 2, 2}
	four := []int{0, 0, 1, 1, 2, 2, 3, 3}
	on := design.Model{Variables: []design.Variable{category(2, codes)}, Terms: []design.Term{term(0)}}
	for _, c := range []struct {
		code   string
		m      design.Model
		y      []float64
		blocks []Block
	}{
		{"one-block", on, y, []Block{{make([]int, 8)}}},
		{"each-its-own", on, y, []Block{{own}}},
		{"blocks-in-terms", on, y, []Block{{other}}},
		{"blocks-alike", design.Model{}, y, []Block{{codes}, {other}}},
		{"nothing-left-over", on, []float64{1, 1, 3, 3, 8, 8, 5, 5}, []Block{{four}}},
		{"uneven-lengths", on, y, []Block{{codes[:7]}}},
	} {
		_, err := Solve(context.Background(), c.y, c.m, c.blocks, Restricted)
		if e, ok := err.(*Error); !ok || e.Code != c.code {
			t.Errorf("%s: %v", c.code, err)
		}
	}
}

func BenchmarkFourHundredInForty(b *testing.B) {
	s := newBench(rand.New(rand.NewPCG(1, 1)), 400, 40, 60, 0)
	m := s.model()
	for b.Loop() {
		solve(b, s.y, m, []Block{{s.board}})
	}
}

func BenchmarkCrossed(b *testing.B) {
	s := newBench(rand.New(rand.NewPCG(1, 1)), 400, 40, 60, 30)
	m := s.model()
	for b.Loop() {
		solve(b, s.y, m, []Block{{s.board}, {s.day}})
	}
}

func BenchmarkThreeHundredBoards(b *testing.B) {
	s := newBench(rand.New(rand.NewPCG(1, 1)), 2000, 300, 60, 0)
	m := s.model()
	for b.Loop() {
		solve(b, s.y, m, []Block{{s.board}})
	}
}

// Two block columns that cut the specimens nearly alike can give the likelihood two tops;
// the larger one is found.
func TestSearchFindsTheLargerOfTwoTops(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 4))
	for range 150 {
		b := newBench(r, 14+r.IntN(8), 5, 90*r.Float64(), 60*r.Float64())
		f, err := Solve(context.Background(), b.y, b.model(), []Block{{b.board}, {b.day}}, Restricted)
		if err != nil {
			t.Fatal(err)
		}
		for _, first := range []float64{0, 0.03, 0.1, 0.4, 1.5, 6, 30, 150} {
			for _, second := range []float64{0, 0.03, 0.1, 0.4, 1.5, 6, 30, 150} {
				if l := logDensity(b, f, []float64{first, second}, true); l > f.LogLikelihood+1e-9 {
					t.Errorf("ratios %g and %g give %.9g, the fit has %.9g", first, second, l, f.LogLikelihood)
				}
			}
		}
	}
}
