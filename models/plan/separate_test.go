package plan

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// lnDs is ln|M| − ln|M₂₂| of rows by the determinants of their definition; -Inf where the columns cannot be told apart.
func lnDs(rows [][]float64, of int) float64 {
	p := len(rows[0])
	x := mat.NewDense(len(rows), p, nil)
	for i, row := range rows {
		x.SetRow(i, row)
	}
	var m mat.Dense
	m.Mul(x.T(), x)
	whole, sign := mat.LogDet(&m)
	if sign <= 0 || !(math.Abs(whole) <= 100) {
		return math.Inf(-1)
	}
	other, _ := mat.LogDet(m.Slice(0, p-of, 0, p-of))
	return whole - other
}

// crossed is X'X.
func crossed(rows [][]float64) [][]float64 {
	p := len(rows[0])
	out := make([][]float64, p)
	for i := range out {
		out[i] = make([]float64, p)
		for j := range p {
			for _, row := range rows {
				out[i][j] += row[i] * row[j]
			}
		}
	}
	return out
}

// The choice is as good as the best of every choice there is, on series in which two factors nearly or wholly changed
// together beside another one.
func TestSeparateAgainstEnumeration(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	for round := range 24 {
		var rows [][]float64 // baseline, other, a, b: a and b last
		for i := range 8 + r.IntN(6) {
			a := float64(i % 2)
			b := 10 + 10*a
			if round%3 > 0 { // nearly
				b += 2 * r.NormFloat64()
			}
			rows = append(rows, []float64{1, r.NormFloat64(), a, b})
		}
		var candidates [][][]float64
		for _, a := range []float64{0, 1} {
			for _, b := range []float64{10, 15, 20} {
				candidates = append(candidates, [][]float64{{1, 0.5 * float64(round%2), a, b}})
			}
		}
		n := 1 + round%3
		got, err := Separate(context.Background(), crossed(rows), candidates, []int{2, 3}, n, 1)
		if err != nil {
			t.Fatal(err)
		}
		with := func(chosen []int) float64 {
			all := append([][]float64(nil), rows...)
			for _, c := range chosen {
				all = append(all, candidates[c]...)
			}
			return lnDs(all, 2)
		}
		best := math.Inf(-1)
		var walk func(from int, chosen []int)
		walk = func(from int, chosen []int) {
			if len(chosen) == n {
				best = max(best, with(chosen))
				return
			}
			for c := from; c < len(candidates); c++ {
				walk(c, append(chosen[:len(chosen):len(chosen)], c))
			}
		}
		walk(0, nil)
		if is := with(got.Chosen); !(is >= best-1e-6) {
			t.Errorf("round %d: %v gives %v, the best of all %v", round, got.Chosen, is, best)
		}
		if want := round%3 > 0; got.Settled != want {
			t.Errorf("round %d: settled is %v, want %v", round, got.Settled, want)
		}
		if before := lnDs(rows, 2); got.Settled && !(math.Abs(got.Gain-(with(got.Chosen)-before)) <= 1e-8) {
			t.Errorf("round %d: a gain of %v, want %v", round, got.Gain, with(got.Chosen)-before)
		}
	}
}

// Two categories that always went together are separated by the two combinations that are lacking, as many of each.
func TestSeparateFillsWhatIsLacking(t *testing.T) {
	var rows [][]float64
	for i := range 12 {
		a := float64(i % 2)
		rows = append(rows, []float64{1, a, a})
	}
	candidates := [][][]float64{{{1, 0, 0}}, {{1, 0, 1}}, {{1, 1, 0}}, {{1, 1, 1}}}
	got, err := Separate(context.Background(), crossed(rows), candidates, []int{1, 2}, 6, 1)
	if err != nil || got.Settled || fmt.Sprint(got.Chosen) != "[1 1 1 2 2 2]" {
		t.Errorf("%v %v, want three of each that are lacking", got, err)
	}
}

// Where exchanges end in different places from different starts, the best of them is kept: choices of four of eleven
// rows drawn at random, about four columns of which two count, beside rows that say a hundredth of one, with columns
// so small or large that the determinant is far from 1 either way.
func TestSeparateKeepsTheBestStart(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	for round := range 24 {
		size := []float64{0.05, 30}[round%2]
		draw := func(size float64) []float64 {
			row := make([]float64, 4)
			for i := range row {
				row[i] = size * r.NormFloat64()
			}
			return row
		}
		var rows [][]float64
		for range 5 {
			rows = append(rows, draw(size/10))
		}
		var candidates [][][]float64
		for range 11 {
			candidates = append(candidates, [][]float64{draw(size)})
		}
		got, err := Separate(context.Background(), crossed(rows), candidates, []int{2, 3}, 4, uint64(round))
		if err != nil {
			t.Fatal(err)
		}
		best := math.Inf(-1)
		var walk func(from, left int, all [][]float64)
		walk = func(from, left int, all [][]float64) {
			if left == 0 {
				best = max(best, lnDs(all, 2))
				return
			}
			for c := from; c < len(candidates); c++ {
				walk(c, left-1, append(all[:len(all):len(all)], candidates[c][0]))
			}
		}
		walk(0, 4, rows)
		if want := best - lnDs(rows, 2); !(math.Abs(got.Gain-want) <= 1e-6) {
			t.Errorf("round %d: %v gains %v, the best of all %v", round, got.Chosen, got.Gain, want)
		}
	}
}
