package linear

import (
	"context"
	"math"
	"testing"

	"breakbook/models/design"
)

// cells is a two-way series: counts[i][j] specimens on level i of a and j of b.
func cells(counts [][]int) (a, b design.Variable) {
	a, b = levelled("a", []string{"a0", "a1", "a2"}), levelled("b", []string{"b0", "b1"})
	for i, row := range counts {
		for j, n := range row {
			for range n {
				a.Codes, b.Codes = append(a.Codes, i), append(b.Codes, j)
			}
		}
	}
	return a, b
}

func value(t *testing.T, f *Fit, p Point) Estimate {
	t.Helper()
	w, ok := f.Weights(p)
	if !ok {
		t.Fatalf("no weights for %+v", p)
	}
	e, ok := f.Combination(context.Background(), w)
	if !ok {
		t.Fatalf("%+v cannot be estimated", p)
	}
	return e
}

// With both terms combined the expected value of a cell is its mean, so an adjusted mean
// is the plain average of cell means, with variance Sigma²/k² · Σ 1/n (textbook, e.g.
// Searle 1971, Linear Models, 8.1).
func TestAdjustedMeansOfCells(t *testing.T) {
	counts := [][]int{{2, 4}, {3, 2}, {5, 2}}
	a, b := cells(counts)
	y := noise(len(a.Codes))
	f := solve(t, y, design.Model{Variables: []design.Variable{a, b},
		Terms: []design.Term{term(0), term(1), term(0, 1)}})
	means := [3][2]float64{}
	for s, v := range y {
		means[a.Codes[s]][b.Codes[s]] += v / float64(counts[a.Codes[s]][b.Codes[s]])
	}
	for i := range 3 {
		got := value(t, f, Point{Levels: map[int]int{0: i}})
		atLeast(t, "a", 14, []figure{{"mean", got.Value, (means[i][0] + means[i][1]) / 2},
			{"se", got.SE, f.Sigma / 2 * math.Sqrt(1/float64(counts[i][0])+1/float64(counts[i][1]))},
			{"df", got.DF, 12}})
		for j := range 2 {
			got := value(t, f, Point{Levels: map[int]int{0: i, 1: j}})
			atLeast(t, "cell", 14, []figure{{"mean", got.Value, means[i][j]},
				{"se", got.SE, f.Sigma / math.Sqrt(float64(counts[i][j]))}})
		}
	}
	w0, _ := f.Weights(Point{Levels: map[int]int{0: 0, 1: 0}})
	w1, _ := f.Weights(Point{Levels: map[int]int{0: 1, 1: 1}})
	c := f.Covariance([][]float64{w0, w1})
	v := f.Sigma * f.Sigma
	atLeast(t, "covariance", 14, []figure{{"first", c[0][0], v / 2}, {"second", c[1][1], v / 2},
		{"between", 1 + c[0][1], 1}, {"between", 1 + c[1][0], 1}})
}

func TestEmptyCombinations(t *testing.T) {
	for name, c := range map[string]struct {
		counts [][]int
		known  []bool // whether the mean of a0, a1, a2 over b can be had
	}{
		"off the baseline": {[][]int{{3, 3}, {3, 3}, {3, 0}}, []bool{true, true, false}},
		"on the baseline":  {[][]int{{3, 0}, {3, 3}, {3, 3}}, []bool{false, true, true}},
	} {
		t.Run(name, func(t *testing.T) {
			a, b := cells(c.counts)
			f := solve(t, noise(15), design.Model{Variables: []design.Variable{a, b},
				Terms: []design.Term{term(0), term(1), term(0, 1)}})
			if f.DF != 10 {
				t.Errorf("%g left over: five cells have specimens", f.DF)
			}
			for i, known := range c.known {
				if _, ok := f.Weights(Point{Levels: map[int]int{0: i}}); ok != known {
					t.Errorf("a%d averaged over b: %v", i, ok)
				}
				e := value(t, f, Point{Levels: map[int]int{0: i, 1: i % 2}})
				if math.IsNaN(e.Value) {
					t.Errorf("cell of a%d", i)
				}
			}
			last := anova(t, f, EachLast)
			if s := last.Sources[0]; s.DF != 1 || s.Lost != 1 {
				t.Errorf("a, each last: %+v", s)
			}
			if s := last.Sources[1]; !s.Untestable || s.Lost != 1 {
				t.Errorf("b, each last: %+v", s)
			}
			if s := last.Sources[2]; s.DF != 1 || s.Lost != 1 {
				t.Errorf("a × b, each last: %+v", s)
			}
			// Without the combined term the additive model fills the cell in.
			additive := solve(t, noise(15), design.Model{Variables: []design.Variable{a, b},
				Terms: []design.Term{term(0), term(1)}})
			for i := range 3 {
				value(t, additive, Point{Levels: map[int]int{0: i}})
			}
		})
	}
}

func TestLevelsThatAreNotThere(t *testing.T) {
	pins := levelled("pins", []string{"none", "single", "pair", "four"}, 1, 1, 1, 3, 3, 3, 1, 3)
	f := solve(t, noise(8), design.Model{Variables: []design.Variable{pins}, Terms: []design.Term{term(0)}})
	if len(f.Coefficients) != 2 || f.Coefficients[1].Label.Levels[0] != 3 {
		t.Fatalf("columns %+v", f.Matrix.Labels)
	}
	if _, ok := f.Weights(Point{Levels: map[int]int{0: 2}}); ok {
		t.Error("an expected value for a level no specimen has")
	}
}

// Every number term at its mean gives the baseline row; a given number moves by f(x) − f(x̄).
func TestPointsOfFunctions(t *testing.T) {
	x := []float64{510, 640, 700, 580, 620, 690, 555, 730, 601, 666}
	mean := 0.0
	for _, v := range x {
		mean += v / 10
	}
	terms := []design.Term{term(0), {Factors: []design.Factor{{Function: design.Squared}}},
		{Factors: []design.Factor{{Function: design.Ln}}}}
	f := solve(t, noise(10), design.Model{Variables: []design.Variable{number("density", x)}, Terms: terms})
	b := f.Coefficients
	at := value(t, f, Point{})
	atLeast(t, "mean", 15, []figure{{"value", at.Value, b[0].Estimate}, {"se", at.SE, b[0].SE}})
	for _, v := range []float64{500, 640.5, 800} {
		d := v - mean
		want := b[0].Estimate + b[1].Estimate*d + b[2].Estimate*d*d + b[3].Estimate*(math.Log(v)-math.Log(mean))
		atLeast(t, "point", 9, []figure{{"value", value(t, f, Point{Numbers: map[int]float64{0: v}}).Value, want}})
	}
	if _, ok := f.Weights(Point{Numbers: map[int]float64{0: -1}}); ok {
		t.Error("ln(−1) was worked out")
	}
	// At zero: x = 0 in the plain and the squared term, ln(x) = 0.
	zero := b[0].Estimate - b[1].Estimate*mean + b[2].Estimate*mean*mean - b[3].Estimate*math.Log(mean)
	atLeast(t, "zero", 9, []figure{{"at zero", f.AtZero, zero}})
}
