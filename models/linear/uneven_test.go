package linear

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"breakbook/models/design"
	"breakbook/models/dist"
)

func uneven(t testing.TB, y []float64, m design.Model) *Uneven {
	t.Helper()
	f, err := Solve(context.Background(), y, m)
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Uneven(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// rational is a matrix of fractions.
type rational [][]*big.Rat

func fraction(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }

func (m rational) times(b rational) rational {
	out := make(rational, len(m))
	for i := range m {
		out[i] = make([]*big.Rat, len(b[0]))
		for j := range out[i] {
			out[i][j] = new(big.Rat)
			for k, v := range m[i] {
				out[i][j].Add(out[i][j], new(big.Rat).Mul(v, b[k][j]))
			}
		}
	}
	return out
}

func (m rational) turned() rational {
	out := make(rational, len(m[0]))
	for j := range out {
		for i := range m {
			out[j] = append(out[j], m[i][j])
		}
	}
	return out
}

// solved is m⁻¹b by elimination.
func (m rational) solved(b rational) rational {
	n := len(m)
	work, out := make(rational, n), make(rational, n)
	for i := range m {
		for _, v := range m[i] {
			work[i] = append(work[i], new(big.Rat).Set(v))
		}
		for _, v := range b[i] {
			out[i] = append(out[i], new(big.Rat).Set(v))
		}
	}
	for c := range n {
		at := c
		for work[at][c].Sign() == 0 {
			at++
		}
		work[c], work[at], out[c], out[at] = work[at], work[c], out[at], out[c]
		for r := range n {
			if r == c {
				continue
			}
			by := new(big.Rat).Quo(work[r][c], work[c][c])
			for _, pair := range [][2][]*big.Rat{{work[r], work[c]}, {out[r], out[c]}} {
				for k := range pair[0] {
					pair[0][k].Sub(pair[0][k], new(big.Rat).Mul(by, pair[1][k]))
				}
			}
		}
	}
	for c := range n {
		for k := range out[c] {
			out[c][k].Quo(out[c][k], work[c][c])
		}
	}
	return out
}

// defined holds what the papers define, in fractions: rows of the columns and values of the
// response, both times √weight.
type defined struct {
	weights  rational // on the response, one row a coefficient: (X'X)⁻¹X'
	m, mm    rational // I − H, and its product with itself
	scatter  rational // squared residuals over 1 − leverage, one column
	response rational // one column
}

func define(x, y rational) defined {
	turned := x.turned()
	d := defined{response: y, weights: turned.times(x).solved(turned)}
	d.m = x.times(d.weights)
	for i := range d.m {
		for j, v := range d.m[i] {
			v.Neg(v)
			if i == j {
				v.Add(v, big.NewRat(1, 1))
			}
		}
	}
	d.mm = d.m.times(d.m)
	for i, row := range d.m.times(y) {
		d.scatter = append(d.scatter, []*big.Rat{new(big.Rat).Quo(new(big.Rat).Mul(row[0], row[0]), d.m[i][i])})
	}
	return d
}

// covariance is HC2's of two combinations with these weights on the response (MacKinnon and White 1985).
func (d defined) covariance(a, b []*big.Rat) *big.Rat {
	sum := new(big.Rat)
	for i := range a {
		sum.Add(sum, new(big.Rat).Mul(new(big.Rat).Mul(a[i], b[i]), d.scatter[i][0]))
	}
	return sum
}

// df is trace(G'G)² over the sum of the squares of G'G, column i of G being column i of M
// times a_i/√(1 − h_i) (Bell and McCaffrey 2002; Imbens and Kolesár 2016). The roots leave
// every square a fraction.
func (d defined) df(a []*big.Rat) float64 {
	trace, squares := new(big.Rat), new(big.Rat)
	for i := range a {
		trace.Add(trace, new(big.Rat).Quo(new(big.Rat).Mul(new(big.Rat).Mul(a[i], a[i]), d.mm[i][i]), d.m[i][i]))
		for j := range a {
			both := new(big.Rat).Mul(new(big.Rat).Mul(a[i], a[j]), d.mm[i][j])
			both.Mul(both, both).Quo(both, new(big.Rat).Mul(d.m[i][i], d.m[j][j]))
			squares.Add(squares, both)
		}
	}
	out, _ := new(big.Rat).Quo(trace.Mul(trace, trace), squares).Float64()
	return out
}

// hotelling is the test that combinations with these weights on the response are all zero:
// each entry of the covariance, standardised to be the identity if spread is equal, is a
// quadratic form in the residuals, whose variance for normal values is twice the trace of its
// matrix squared (Pustejovsky and Tipton 2018). The combinations are made uncorrelated one
// after the other; their lengths stay squared, so that all is fractions.
func (d defined) hotelling(a rational) (f, against float64) {
	q := len(a)
	value := make([]*big.Rat, q)
	free := make(rational, 0, q)
	var length []*big.Rat
	dot := func(u, v []*big.Rat) *big.Rat { return (rational{u}).times(rational{v}.turned())[0][0] }
	for _, row := range a {
		own := make([]*big.Rat, len(row))
		for i, v := range row {
			own[i] = new(big.Rat).Set(v)
		}
		for k, before := range free {
			by := new(big.Rat).Quo(dot(own, before), length[k])
			for i := range own {
				own[i].Sub(own[i], new(big.Rat).Mul(by, before[i]))
			}
		}
		free, length = append(free, own), append(length, dot(own, own))
	}
	total := new(big.Rat)
	for s := range free {
		for t := range free {
			form := make(rational, len(d.m)) // M·diag(a_s·a_t/(1 − h))
			for i := range form {
				for j := range d.m {
					v := new(big.Rat).Mul(free[s][j], free[t][j])
					form[i] = append(form[i], v.Mul(v, d.m[i][j]).Quo(v, d.m[j][j]))
				}
			}
			trace := new(big.Rat)
			for i := range form {
				for j := range form {
					trace.Add(trace, new(big.Rat).Mul(form[i][j], form[j][i]))
				}
			}
			trace.Quo(trace, new(big.Rat).Mul(length[s], length[t]))
			total.Add(total, trace.Mul(trace, big.NewRat(2, 1)))
		}
	}
	covariance, turned := make(rational, q), make(rational, q)
	for s := range free {
		for t := range free {
			covariance[s] = append(covariance[s], d.covariance(free[s], free[t]))
		}
	}
	for s := range free {
		value[s] = new(big.Rat)
		for i, v := range free[s] {
			value[s].Add(value[s], new(big.Rat).Mul(v, d.response[i][0]))
		}
		turned[s] = []*big.Rat{value[s]}
	}
	wald := dot(value, covariance.solved(turned).turned()[0])
	eta := new(big.Rat).Quo(big.NewRat(int64(q*(q+1)), 1), total)
	residualDF := new(big.Rat).Sub(eta, big.NewRat(int64(q-1), 1))
	against, _ = residualDF.Float64()
	f, _ = wald.Mul(wald, residualDF).Quo(wald, eta.Mul(eta, big.NewRat(int64(q), 1))).Float64()
	return f, against
}

// agree fails where got is off by more than within of want.
func agree(t interface{ Errorf(string, ...any) }, what string, got, want, within float64) {
	if !(math.Abs(got-want) <= within*math.Abs(want)) {
		t.Errorf("%s: %.15g, by its definition %.15g", what, got, want)
	}
}

// Standard errors, degrees of freedom and tests are those of the definitions in fractions, on
// series of whole numbers, with weights that are squares, some specimens with all but the
// whole leverage, and rows that repeat.
func TestUnevenMatchesItsDefinition(t *testing.T) {
	tested := 0
	for seed := range uint64(16) {
		r := rand.New(rand.NewPCG(seed, 19))
		n := 9 + r.IntN(6)
		codes, x, z := make([]int, n), make([]float64, n), make([]float64, n)
		y, w := make([]float64, n), make([]float64, n)
		for i := range n {
			codes[i] = i % 3
			if seed%4 == 1 { // rows that repeat
				x[i] = float64(r.IntN(2))
			} else {
				x[i] = float64(r.IntN(40))
			}
			z[i] = float64(r.IntN(9))
			y[i] = float64(r.IntN(100)) + 3*x[i]
			w[i] = []float64{1, 4, 0.25, 9}[r.IntN(4)]
		}
		if seed%4 == 3 { // a specimen far out
			x[n-1] = 1e5
		}
		a := design.Variable{Codes: codes, Levels: []string{"a", "b", "c"}}
		m := design.Model{Variables: []design.Variable{a, number("x", x), number("z", z)}}
		m.Terms = []design.Term{term(0), term(1)}
		if seed%3 == 0 {
			m.Terms = []design.Term{term(0), term(1), term(2), term(0, 1)}
		}
		if seed%2 == 0 {
			m.Weights = w
		} else {
			for i := range w {
				w[i] = 1
			}
		}
		u := uneven(t, y, m)
		if len(u.Alone) > 0 {
			continue
		}
		var rows, values rational
		for i := range n {
			root := fraction(math.Sqrt(w[i]))
			b, c := 0.0, 0.0
			switch codes[i] {
			case 1:
				b = 1
			case 2:
				c = 1
			}
			row := []float64{1, b, c, x[i]}
			if len(m.Terms) > 2 {
				row = append(row, z[i], b*x[i], c*x[i])
			}
			var own []*big.Rat
			for _, v := range row {
				own = append(own, new(big.Rat).Mul(root, fraction(v)))
			}
			rows, values = append(rows, own), append(values, []*big.Rat{new(big.Rat).Mul(root, fraction(y[i]))})
		}
		d := define(rows, values)
		// Number columns are centred in the fit, which leaves their own slopes and, without
		// combined terms, the levels as they are.
		same := []int{1, 2, 3}
		if len(m.Terms) > 2 {
			same = []int{4, 5, 6}
		}
		for _, j := range same {
			name := fmt.Sprintf("seed %d, coefficient %d", seed, j)
			variance, _ := d.covariance(d.weights[j], d.weights[j]).Float64()
			agree(t, name+", standard error", u.Coefficients[j].SE, math.Sqrt(variance), 1e-10)
			agree(t, name+", df", u.Coefficients[j].DF, d.df(d.weights[j]), 1e-10)
			tested++
		}
		f, against := d.hotelling(d.weights[1:])
		if against <= 0 {
			if !math.IsNaN(u.F) || !math.IsNaN(u.FDF2) || !math.IsNaN(u.P) {
				t.Errorf("seed %d: F %g against %g, where none are left", seed, u.F, u.FDF2)
			}
		} else {
			agree(t, fmt.Sprintf("seed %d, F of all", seed), u.F, f, 1e-9)
			agree(t, fmt.Sprintf("seed %d, its df", seed), u.FDF2, against, 1e-9)
			agree(t, fmt.Sprintf("seed %d, its p", seed), u.P, dist.FTail(f, u.FDF1, against), 1e-8)
			tested++
		}
		if len(m.Terms) == 2 {
			a, err := u.Anova(context.Background(), Marginal)
			if err != nil {
				t.Fatal(err)
			}
			f, against := d.hotelling(d.weights[1:3])
			agree(t, fmt.Sprintf("seed %d, F of the levels", seed), a.Sources[0].F, f, 1e-9)
			agree(t, fmt.Sprintf("seed %d, its df", seed), a.Sources[0].Against, against, 1e-9)
			slope := u.Coefficients[3]
			agree(t, fmt.Sprintf("seed %d, F of the number", seed), a.Sources[1].F, slope.T*slope.T, 1e-9)
			agree(t, fmt.Sprintf("seed %d, df of the number", seed), a.Sources[1].Against, slope.DF, 1e-9)
			tested++
		}
	}
	if tested < 50 {
		t.Errorf("only %d figures", tested)
	}
}

// With levels alone the difference of two is Welch's: his standard error, and his degrees of
// freedom (Welch 1947, equation 28) by the variances of the two. What other levels there are changes nothing. The test
// of all is his too (Welch 1951, equations 20 to 23).
func TestUnevenLevelsAreWelchs(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		sizes := rapid.SliceOfN(rapid.IntRange(2, 30), 2, 6).Draw(rt, "sizes")
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		var codes []int
		var y []float64
		variable := design.Variable{}
		variances, means := make([]float64, len(sizes)), make([]float64, len(sizes)) // of the means
		for level := range sizes {
			variable.Levels = append(variable.Levels, string(rune('a'+level)))
			sd, n := math.Exp(r.NormFloat64()), float64(sizes[level])
			for range sizes[level] {
				codes, y = append(codes, level), append(y, sd*r.NormFloat64())
			}
			own := y[len(y)-sizes[level]:]
			for _, v := range own {
				means[level] += v / n
			}
			for _, v := range own {
				variances[level] += (v - means[level]) * (v - means[level]) / (n - 1) / n
			}
		}
		variable.Codes = codes
		m := design.Model{Variables: []design.Variable{variable}, Terms: []design.Term{term(0)}}
		f, err := Solve(context.Background(), y, m)
		if err != nil {
			rt.Skip()
		}
		u, err := f.Uneven(context.Background())
		if err != nil {
			rt.Fatal(err)
		}
		var weights [][]float64
		for level := range sizes {
			w, _ := u.Weights(Point{Levels: map[int]int{0: level}})
			weights = append(weights, w)
		}
		all := u.PairFreedom(context.Background(), weights)
		for i := range sizes {
			for j := range i {
				w := make([]float64, len(weights[i]))
				for c := range w {
					w[c] = weights[i][c] - weights[j][c]
				}
				e, _ := u.Combination(context.Background(), w)
				a, b := variances[i], variances[j]
				df := (a + b) * (a + b) / (a*a/float64(sizes[i]-1) + b*b/float64(sizes[j]-1))
				agree(rt, "standard error", e.SE, math.Sqrt(a+b), 1e-9)
				agree(rt, "df", e.DF, df, 1e-9)
				agree(rt, "df of the pair", all[i][j], df, 1e-9)
			}
		}
		total, mean, about, lambda := 0.0, 0.0, 0.0, 0.0
		for i, v := range variances {
			total += 1 / v
			mean += means[i] / v
		}
		mean /= total
		for i, v := range variances {
			about += (means[i] - mean) * (means[i] - mean) / v
			part := 1 - 1/v/total
			lambda += part * part / float64(sizes[i]-1)
		}
		k := float64(len(sizes))
		agree(rt, "F of all", u.F, about/(k-1)/(1+2*(k-2)/(k*k-1)*lambda), 1e-8)
		agree(rt, "df of F", u.FDF2, (k*k-1)/(3*lambda), 1e-9)
	})
}

// Sums by moments, one by one and of shared rows are one figure: that of all pairs of
// specimens, for combinations of any number.
func TestPairsAddUpByEveryRoute(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		n := rapid.IntRange(20, 300).Draw(rt, "n")
		numbers := rapid.IntRange(0, 5).Draw(rt, "numbers")
		levels := rapid.IntRange(2, 5).Draw(rt, "levels")
		far := rapid.Bool().Draw(rt, "far out")
		m := design.Model{Variables: []design.Variable{{}}, Terms: []design.Term{term(0)}}
		y := make([]float64, n)
		for i := range n {
			m.Variables[0].Codes = append(m.Variables[0].Codes, i%levels)
			y[i] = r.NormFloat64()
		}
		for level := range levels {
			m.Variables[0].Levels = append(m.Variables[0].Levels, string(rune('a'+level)))
		}
		for k := range numbers {
			x := make([]float64, n)
			for i := range x {
				x[i] = r.NormFloat64()
			}
			if far && k == 0 {
				x[r.IntN(n)] = 1e3
			}
			m.Variables, m.Terms = append(m.Variables, number("x", x)), append(m.Terms, term(1+k))
		}
		u := uneven(t, y, m)
		rows := u.Rows(context.Background())
		q := rapid.IntRange(1, u.Rank()).Draw(rt, "combinations")
		var of []combination
		var weights, whole [][]float64
		for range q {
			direction := make([]float64, u.Rank())
			for j := range direction {
				direction[j] = r.NormFloat64()
			}
			one := u.pairs.combination(context.Background(), direction)
			of, weights = append(of, one), append(weights, one.weights)
			own := make([]float64, n)
			for i, row := range rows {
				for j, v := range row {
					own[i] += v * direction[j]
				}
			}
			whole = append(whole, own)
		}
		want := 0.0
		for i := range n {
			for j := range n {
				h, p := 0.0, 0.0
				for k, v := range rows[i] {
					h += v * rows[j][k]
				}
				for s := range whole {
					p += whole[s][i] * whole[s][j]
				}
				if i == j {
					want += p * p
					continue
				}
				want += h * p * h * p / ((1 - u.Leverage[i]) * (1 - u.Leverage[j]))
			}
		}
		agree(rt, fmt.Sprintf("J of %d", q), u.pairs.sum(context.Background(), of), want, 1e-9)
		low := u.pairs.low()
		want4 := u.pairs.moments(context.Background(), weights, low)
		for _, columns := range []bool{false, true} {
			if columns && u.pairs.root == nil {
				continue
			}
			got := u.pairs.fourthMoments(context.Background(), low, columns).squares(context.Background(), u.pairs, of)
			agree(rt, fmt.Sprintf("fourth moments, of columns %v", columns), got, want4, 1e-9)
		}
		var all []int
		for g := range u.pairs.many {
			all = append(all, g)
		}
		own := make([]float64, len(all))
		for g := range own {
			for _, a := range weights {
				own[g] += a[g] * a[g]
			}
		}
		agree(rt, "J one by one", u.pairs.singly(context.Background(), weights, own, all, nil), want, 1e-9)
	})
}
