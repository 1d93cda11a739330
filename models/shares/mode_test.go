package shares

import (
	"errors"
	"math"
	"testing"

	"breakbook/models/design"
)

// A mode that goes with the levels of a factor wholly has all of the likelihood explained, and no reshuffle of two tens
// comes near it: its p is one in the reshuffles and itself, (b + 1)/(N + 1) with b of 0. By chance a column would get
// 1/(n − 1).
func TestAModeThatIsTheFactor(t *testing.T) {
	mode, codes := make([]bool, 20), make([]int, 20)
	for i := range mode {
		mode[i], codes[i] = i%2 == 0, i%2
	}
	m := design.Model{Variables: []design.Variable{{Levels: []string{"a", "b"}, Codes: codes}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}}
	r, err := OfMode(t.Context(), mode, m, Options{Times: 99, Resamples: 39})
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Shares[0]; s.P != 0.01 || !(math.Abs(s.Share-1) <= 1e-9) || !(math.Abs(s.ByChance-1.0/19) <= 1e-15) ||
		!(s.High <= 1+1e-9 && s.Low > 0.99) || r.Times != 99 || r.N != 20 {
		t.Errorf("%+v of %+v", s, r)
	}
}

// A column that stands for weighted specimens has their roots in it: what is constant within blocks is so without them.
func TestConstantWithinBlocks(t *testing.T) {
	blocks := []int{0, 0, 1, 1}
	for _, c := range []struct {
		column, root []float64
		want         bool
	}{
		{[]float64{2, 3, 5, 1}, []float64{2, 3, 5, 1}, true}, {[]float64{2, 3, 10, 2}, []float64{2, 3, 5, 1}, true},
		{[]float64{1, 1, 4, 4}, []float64{1, 2, 1, 1}, false}, {[]float64{1, 1, 4, 4}, []float64{1, 1, 1, 1}, true},
		{[]float64{0, 0, 4, 5}, []float64{1, 1, 1, 1}, false},
	} {
		if got := constantWithin([][]float64{c.column}, c.root, blocks); got != c.want {
			t.Errorf("%+v: %t", c, got)
		}
	}
}

// The likelihood of log odds far out is their own size, or nothing; many specimens are no more than numbers hold.
func TestLikelihoodFarOut(t *testing.T) {
	for _, c := range []struct{ hits, all, odds, want float64 }{
		{0, 1, 800, -800}, {1, 1, 800, 0}, {1, 1, -800, -800}, {0, 1, -800, 0}, {3, 5000, 0, -5000 * math.Ln2},
		{1, 2.5, 0, -2.5 * math.Ln2},
	} {
		d := newClimb(trials{[]float64{c.hits}, []float64{c.all}}, [][]float64{{1}})
		d.next[0] = c.odds
		if got := d.likelihood(t.Context()); math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%g of %g with log odds %g: %g, want %g", c.hits, c.all, c.odds, got, c.want)
		}
	}
}

// Without a degree of freedom beside baseline and columns nothing can be parted: n specimens bear n − 2 columns.
func TestModesNeedSpecimens(t *testing.T) {
	for n := 4; n <= 6; n++ {
		mode := []bool{true, false, false, true, true, false}[:n]
		model := design.Model{}
		for _, x := range [][]float64{{1, 2, 4, 8, 16, 3}, {3, 1, 2, 5, 9, 2}, {2, 7, 1, 8, 2, 8}} {
			model.Terms = append(model.Terms, design.Term{Factors: []design.Factor{{Variable: len(model.Variables)}}})
			model.Variables = append(model.Variables, design.Variable{Numbers: x[:n]})
		}
		_, err := OfMode(t.Context(), mode, model, Options{Times: 9, Resamples: 9})
		var e *Error
		if few := n <= 4; few != (errors.As(err, &e) && e.Code == "too-few-specimens") || !few && err != nil {
			t.Errorf("three columns and %d specimens: %v", n, err)
		}
	}
}

// How many resamples could be fitted: those that have the mode both ways. One odd specimen of twelve is in one with
// chance 1 − (11/12)¹², on one of three boards beside others with 1 − (2/3)³, on one of two with 1 − (1/2)². There
// is an interval where half of them or more could be.
func TestIntervalsNeedHalfOfTheResamples(t *testing.T) {
	number := []float64{3, 1, 4, 1.5, 5, 9, 2, 6, 5.5, 3.5, 8, 7}
	model := design.Model{Variables: []design.Variable{{Numbers: number}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}}
	mode := make([]bool, 12)
	mode[4] = true
	for _, c := range []struct {
		blocks []int
		share  float64
	}{
		{nil, 1 - math.Pow(11.0/12, 12)},
		{[]int{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2}, 1 - 8.0/27},
		{[]int{0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1}, 0.75},
	} {
		const resamples = 600
		r, err := OfMode(t.Context(), mode, model, Options{Times: 9, Resamples: resamples, Blocks: c.blocks})
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(float64(r.Resamples) - c.share*resamples)
		if !(off <= 4*math.Sqrt(c.share*(1-c.share)*resamples)) ||
			math.IsNaN(r.Shares[0].Low) || math.IsNaN(r.Shares[0].High) {
			t.Errorf("blocks %v: %d of %d resamples fitted, %+v", c.blocks, r.Resamples, resamples, r.Shares[0])
		}
	}
	// The odd one alone on its board, and all others on another: both are drawn in half of all resamples.
	alone := []int{0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0}
	seeds := map[bool]int{}
	for seed := range uint64(12) {
		r, err := OfMode(t.Context(), mode, model, Options{Times: 9, Resamples: 101, Blocks: alone, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		enough := 2*r.Resamples >= 101
		if seeds[enough]++; enough == math.IsNaN(r.Shares[0].Low) || enough == math.IsNaN(r.Shares[0].High) {
			t.Errorf("%d of 101 resamples, %+v", r.Resamples, r.Shares[0])
		}
	}
	if seeds[true] == 0 || seeds[false] == 0 {
		t.Errorf("%v: the seeds no longer cover both", seeds)
	}
}

// A column that the others hold already, or that is nothing, changes no supremum; columns on scales far apart and far
// from zero give that of columns about zero; what separates comes up to nothing.
func TestSupremumOfColumns(t *testing.T) {
	n := 24
	one, x, far, zero, apart := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n),
		make([]float64, n)
	d := trials{make([]float64, n), make([]float64, n)}
	for i := range n {
		one[i], x[i], d.all[i] = 1, float64(i*i%7)-3, float64(1+i%3)
		far[i] = 1e6 + x[i]
		if i%5 < 2 {
			d.hits[i], apart[i] = d.all[i], 1
		}
	}
	want := d.supremum(t.Context(), [][]float64{one, x})
	for name, columns := range map[string][][]float64{"twice": {one, x, x}, "nothing": {one, zero, x},
		"far from zero": {one, far}, "with the baseline": {one, x, far}} {
		if got := d.supremum(t.Context(), columns); math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %.15g, want %.15g", name, got, want)
		}
	}
	if got := d.supremum(t.Context(), [][]float64{one, x, apart}); got < -1e-9 || got > 0 {
		t.Errorf("levels separate and ln L comes up to %g", got)
	}
}
