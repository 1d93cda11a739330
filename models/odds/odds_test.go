package odds

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

// TestAgainstIndependentOptimisation: testdata/reference/modes.json, by scipy.optimize on the
// likelihood written out (modes.py, versions inside), two modes and three, parted and not.
func TestAgainstIndependentOptimisation(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/modes.json")
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Odds []struct {
			X                       [][]float64
			Y                       []int
			Modes                   int
			Separated               bool
			Theta, SE, Low, High, P []float64
			LogLikelihood           float64 `json:"log_likelihood"`
			OverallP                float64 `json:"overall_p"`
		}
	}
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Odds) < 6 {
		t.Fatalf("only %d cases", len(r.Odds))
	}
	for n, c := range r.Odds {
		s := Sample{Mode: c.Y, Modes: c.Modes, Columns: make([][]float64, len(c.X[0]))}
		for _, row := range c.X {
			for j, x := range row {
				s.Columns[j] = append(s.Columns[j], x)
			}
		}
		f, err := Solve(context.Background(), s)
		if err != nil {
			t.Fatal(err)
		}
		if f.Separated != c.Separated {
			t.Errorf("case %d: separated %v", n, f.Separated)
		}
		near(t, "log likelihood", f.peak.Value, c.LogLikelihood, 1e-8)
		near(t, "overall p", f.P, c.OverallP, 1e-6)
		d := len(s.Columns)
		for j := range c.Theta {
			w := make([]float64, d)
			w[j%d] = 1
			e, err := f.Combination(context.Background(), 1+j/d, w, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "coefficient", e.Value, c.Theta[j], 1e-6)
			near(t, "SE", e.SE, c.SE[j], 1e-6)
			near(t, "low", e.Range.Low, c.Low[j], 1e-6)
			near(t, "high", e.Range.High, c.High[j], 1e-6)
			near(t, "p", e.P, c.P[j], 1e-6)
			if j == 0 || c.Modes > 2 { // of more modes a column has several coefficients
				continue
			}
			alone, err := f.Without(context.Background(), []int{j})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "p of the column", alone, c.P[j], 1e-6)
		}
	}
}

// table is specimens of a 2 × 2 table: those of mode 1 and of all, without and with the factor.
func table(ones, all [2]int) Sample {
	s := Sample{Modes: 2, Columns: make([][]float64, 2)}
	for g := range 2 {
		for i := range all[g] {
			y := 0
			if i < ones[g] {
				y = 1
			}
			s.Mode = append(s.Mode, y)
			s.Columns[0], s.Columns[1] = append(s.Columns[0], 1), append(s.Columns[1], float64(g))
		}
	}
	return s
}

func solve(t *testing.T, s Sample) *Fit {
	t.Helper()
	f, err := Solve(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestTwoByTwoByHand: the log odds ratio of a table is ln(ad/bc), its SE √(1/a + 1/b + 1/c + 1/d).
func TestTwoByTwoByHand(t *testing.T) {
	f := solve(t, table([2]int{6, 3}, [2]int{10, 15}))
	e, err := f.Combination(context.Background(), 1, []float64{0, 1}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "log odds ratio", e.Value, math.Log(3.0/12/(6.0/4)), 1e-9)
	near(t, "SE", e.SE, math.Sqrt(1.0/6+1.0/4+1.0/3+1.0/12), 1e-9)
	near(t, "chance", f.Chances([]float64{1, 1})[1], 0.2, 1e-9)
	near(t, "chance of the other mode", f.Chances([]float64{1, 1})[0], 0.8, 1e-9)
	near(t, "overall p is the factor's", f.P, e.P, 1e-9)
	if f.Separated || f.DF != 1 || f.N != 25 {
		t.Errorf("nothing is parted here, and one coefficient stands beside the baseline: %+v", f)
	}
	a, b, c, d := 6.0, 4.0, 3.0, 12.0
	near(t, "log likelihood", f.LogLikelihood,
		a*math.Log(a/10)+b*math.Log(b/10)+c*math.Log(c/15)+d*math.Log(d/15), 1e-9)
}

// TestPenaltyAddsHalfToEachCell: in a 2 × 2 table Firth's estimate is that of the table with
// ½ added to each cell (Heinze & Schemper 2002).
func TestPenaltyAddsHalfToEachCell(t *testing.T) {
	f := solve(t, table([2]int{7, 0}, [2]int{12, 9}))
	if !f.Separated {
		t.Fatal("the modes are parted")
	}
	near(t, "log odds ratio", f.Coefficients[0][1], math.Log(0.5/9.5/(7.5/5.5)), 1e-8)
	near(t, "baseline", f.Coefficients[0][0], math.Log(7.5/5.5), 1e-8)
}

// TestPenalisedRatioByHand: of a 2 × 2 table the penalised likelihood is the likelihood with ½ more in each cell,
// and with the same chance p in both rows the penalty is ln p(1 − p): two specimens more, one of each mode. Where the
// modes are parted, the fit's own ratio is that one already.
func TestPenalisedRatioByHand(t *testing.T) {
	for _, cells := range [][2][2]int{{{6, 3}, {10, 15}}, {{1, 4}, {9, 8}}, {{7, 0}, {12, 9}}} {
		f := solve(t, table(cells[0], cells[1]))
		r, err := f.Penalised(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		got, err := r.Without(context.Background(), []int{1})
		if err != nil {
			t.Fatal(err)
		}
		two, ones, all := 0.0, 1.0, 2.0
		for g := range 2 {
			y, n := float64(cells[0][g]), float64(cells[1][g])
			two += 2 * ((y+0.5)*math.Log((y+0.5)/(n+1)) + (n-y+0.5)*math.Log((n-y+0.5)/(n+1)))
			ones, all = ones+y, all+n
		}
		two -= 2 * (ones*math.Log(ones/all) + (all-ones)*math.Log(1-ones/all))
		near(t, "penalised p", got, math.Erfc(math.Sqrt(two/2)), 1e-8)
		if f.Separated {
			near(t, "the fit's own", f.P, got, 1e-8)
		}
	}
}

// TestPenalisedRatiosKeepTheirProbability: of columns that do nothing, three levels and three numbers of a few dozen
// specimens, the penalised ratio finds no more than it should, at 0.05 and at a sixth of it; the plain one does.
func TestPenalisedRatiosKeepTheirProbability(t *testing.T) {
	const series = 400
	var plain, penalised, tests [2]float64
	for seed := range uint64(series) {
		r := rand.New(rand.NewPCG(seed, 31))
		n := []int{18, 24, 36}[seed%3]
		s := Sample{Columns: make([][]float64, 6), Modes: 2}
		for i := range n {
			row := []float64{1, 0, 0, r.NormFloat64(), float64(r.IntN(5)), float64(r.IntN(2))}
			if level := i % 3; level > 0 {
				row[level] = 1
			}
			for c, x := range row {
				s.Columns[c] = append(s.Columns[c], x)
			}
			s.Mode = append(s.Mode, min(r.IntN(5)/2, 1))
		}
		f := solve(t, s)
		ratios, err := f.Penalised(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for _, columns := range [][]int{{1, 2}, {3}, {4}, {5}} {
			p, err := f.Without(context.Background(), columns)
			q, err2 := ratios.Without(context.Background(), columns)
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			for i, level := range []float64{0.05, 0.05 / 6} {
				tests[i]++
				if p < level {
					plain[i]++
				}
				if q < level {
					penalised[i]++
				}
			}
		}
	}
	for i, level := range []float64{0.05, 0.05 / 6} {
		error := math.Sqrt(level * (1 - level) / tests[i])
		if share := penalised[i] / tests[i]; share > level+3*error {
			t.Errorf("%.4f of the penalised ratios are under %.4f", share, level)
		}
	}
	if share := plain[0] / tests[0]; share < 0.06 {
		t.Errorf("%.4f of the plain ratios are under 0.05: no penalty is called for", share)
	}
}

// TestSeparationIsFound parts modes by a number, with a tie and without, and by three modes.
func TestSeparationIsFound(t *testing.T) {
	ones := []float64{1, 1, 1, 1, 1, 1, 1, 1}
	for _, c := range []struct {
		x    []float64
		mode []int
		is   bool
	}{
		{[]float64{1, 2, 3, 4, 5, 6, 7, 8}, []int{0, 0, 0, 0, 1, 1, 1, 1}, true},
		{[]float64{1, 2, 3, 4, 4, 6, 7, 8}, []int{0, 0, 0, 0, 1, 1, 1, 1}, true},
		{[]float64{1, 2, 3, 4, 3, 6, 7, 8}, []int{0, 0, 0, 0, 1, 1, 1, 1}, false},
		{[]float64{601, 612.5, 633, 644.25, 630, 666, 677, 688}, []int{0, 0, 0, 0, 1, 1, 1, 1}, false},
		{[]float64{1, 2, 3, 2, 5, 4, 7, 8}, []int{0, 1, 0, 1, 1, 0, 2, 2}, true},
		{[]float64{1, 2, 3, 2, 5, 4, 2, 8}, []int{0, 1, 0, 1, 2, 0, 2, 1}, false},
		// Mode 2 never without the factor, where modes 0 and 1 are both met.
		{[]float64{0, 0, 0, 0, 1, 1, 1, 1}, []int{0, 1, 0, 1, 0, 1, 2, 2}, true},
	} {
		s := Sample{Columns: [][]float64{ones, c.x}, Mode: c.mode, Modes: 1}
		for _, m := range c.mode {
			s.Modes = max(s.Modes, m+1)
		}
		if f := solve(t, s); f.Separated != c.is {
			t.Errorf("%v %v: separated %v", c.x, c.mode, f.Separated)
		}
	}
}

// TestLinearProgramPartsWithoutTheClimb: what the linear program says by itself of numbers that part modes and of some
// that do not, of two modes and of three, of few rows and of so many that some are asked first.
func TestLinearProgramPartsWithoutTheClimb(t *testing.T) {
	for _, n := range []int{12, 2000} {
		for _, modes := range []int{2, 3} {
			for _, c := range []struct {
				swapped int // specimens that stand on the wrong side of a border
				is      bool
			}{{0, true}, {1, false}, {2, false}} {
				s := Sample{Columns: make([][]float64, 2), Modes: modes}
				for i := range n {
					s.Columns[0], s.Columns[1] = append(s.Columns[0], 1), append(s.Columns[1], 600+float64(i)/8)
					s.Mode = append(s.Mode, i*modes/n)
				}
				for border := 1; border < modes; border++ { // the outermost that far from the border change places
					at, off := border*n/modes, 1+c.swapped
					if c.swapped > 0 {
						s.Mode[at-off], s.Mode[at+off-1] = s.Mode[at+off-1], s.Mode[at-off]
					}
				}
				if m := newModel(t.Context(), s); m.mayBeSeparated(t.Context()) != c.is {
					t.Errorf("%d specimens in %d modes, %d swapped: parted %t", n, modes, c.swapped, !c.is)
				}
			}
		}
	}
}

// TestUnitsDoNotMatter: a column in thousandths has a coefficient in thousands, penalised or not.
func TestUnitsDoNotMatter(t *testing.T) {
	for _, s := range []Sample{table([2]int{6, 3}, [2]int{10, 15}), table([2]int{7, 0}, [2]int{12, 9})} {
		one, err := solve(t, s).Combination(context.Background(), 1, []float64{0, 1}, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		for _, unit := range []float64{1000, 1e-6} {
			small := Sample{Columns: [][]float64{s.Columns[0], nil}, Mode: s.Mode, Modes: 2}
			for _, x := range s.Columns[1] {
				small.Columns[1] = append(small.Columns[1], x/unit)
			}
			other, err := solve(t, small).Combination(context.Background(), 1, []float64{0, 1}, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "coefficient", other.Value/unit, one.Value, 1e-7)
			near(t, "low", other.Range.Low/unit, one.Range.Low, 1e-6)
			near(t, "high", other.Range.High/unit, one.Range.High, 1e-6)
			near(t, "p", other.P, one.P, 1e-7)
		}
	}
}

// TestRepeatedSeries: a series repeated has the same estimate, the log likelihood times as large
// and standard errors by the root of that smaller; alike specimens are one pattern, however many.
func TestRepeatedSeries(t *testing.T) {
	const times = 1000
	one := table([2]int{6, 3}, [2]int{10, 15})
	many := Sample{Modes: 2, Columns: make([][]float64, 2)}
	for range times {
		many.Mode = append(many.Mode, one.Mode...)
		for c := range many.Columns {
			many.Columns[c] = append(many.Columns[c], one.Columns[c]...)
		}
	}
	f, g := solve(t, one), solve(t, many)
	if n := len(g.model.patterns); n != 2 {
		t.Errorf("%d patterns, want 2", n)
	}
	near(t, "log likelihood", g.LogLikelihood/times, f.LogLikelihood, 1e-10)
	a, _ := f.estimate(1, []float64{0, 1})
	b, err := g.Combination(context.Background(), 1, []float64{0, 1}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "log odds ratio", b.Value, a.Value, 1e-9)
	near(t, "SE", b.SE*math.Sqrt(times), a.SE, 1e-9)
	// So many specimens make the likelihood all but a parabola.
	near(t, "low", b.Range.Low, b.Value-1.959963984540054*b.SE, 1e-3)
	near(t, "high", b.Range.High, b.Value+1.959963984540054*b.SE, 1e-3)
}

func TestOneModeIsRefused(t *testing.T) {
	if _, err := Solve(context.Background(), Sample{Columns: [][]float64{{1, 1}}, Mode: []int{0, 0},
		Modes: 1}); !errors.Is(err, ErrOneMode) {
		t.Error(err)
	}
}
