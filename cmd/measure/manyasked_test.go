package main

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// leftOver is the sum of squares that the columns leave of y, by a general
// library's least squares.
func leftOver(t *testing.T, columns [][]float64, y []float64) float64 {
	t.Helper()
	x := mat.NewDense(len(y), len(columns), nil)
	for j, c := range columns {
		x.SetCol(j, c)
	}
	var b, fitted mat.VecDense
	if err := b.SolveVec(x, mat.NewVecDense(len(y), y)); err != nil {
		t.Fatal(err)
	}
	fitted.MulVec(x, &b)
	sum := 0.0
	for i := range y {
		sum += (y[i] - fitted.AtVec(i)) * (y[i] - fitted.AtVec(i))
	}
	return sum
}

// notBorneOut reports whether a term of a series of two levels and numbers has p < 0.05 that Holm's
// correction over all terms takes back: F tests of each term, worked out here.
func notBorneOut(t *testing.T, m madeUp, terms int) bool {
	t.Helper()
	y, columns := make([]float64, len(m.rows)), make([][]float64, terms+1)
	for j := range columns {
		columns[j] = make([]float64, len(m.rows))
	}
	for i, row := range m.rows {
		var err error
		if y[i], err = strconv.ParseFloat(row[len(row)-1], 64); err != nil {
			t.Fatal(err)
		}
		columns[0][i] = 1
		for j := range terms {
			if x, err := strconv.ParseFloat(row[j+1], 64); err == nil {
				columns[j+1][i] = (x - 600) / 100
			} else if row[j+1] == "b" {
				columns[j+1][i] = 1
			}
		}
	}
	df := float64(len(y) - terms - 1)
	full := leftOver(t, columns, y)
	var p []float64
	for j := range terms {
		without := slices.Delete(slices.Clone(columns), j+1, j+2)
		p = append(p, distuv.F{D1: 1, D2: df}.Survival((leftOver(t, without, y)-full)/(full/df)))
	}
	slices.Sort(p)
	most := 0.0
	for i, one := range p {
		if most = max(most, one*float64(terms-i)); one < 0.05 && most >= 0.05 {
			return true
		}
	}
	return false
}

// The doubt many-asked is Holm's correction over the terms' F tests, and nothing more: it is told of just
// those series of which tests made apart from the program say so.
func TestManyAskedIsHolmsCorrection(t *testing.T) {
	told := 0
	for i, l := range layouts {
		if !l.fit || l.levels != 2 || l.boards > 0 || l.factors+l.numbers < 2 {
			continue
		}
		const series, seed = 60, 600
		invent := func(r *rand.Rand) madeUp { return clean(l, r) }
		all, err := questioned(t.Context(), t.TempDir(), series, seed+uint64(i), invent)
		if err != nil {
			t.Fatal(err)
		}
		for at, o := range all {
			m := clean(l, rand.New(rand.NewPCG(seed+uint64(i), uint64(at))))
			want := notBorneOut(t, m, l.factors+l.numbers)
			if o.has("many-asked") != want {
				t.Errorf("%s, series %d: told %v, want %v", l.name, at, !want, want)
			}
			if want {
				told++
			}
		}
	}
	if told < 10 {
		t.Errorf("only %d series are told of", told)
	}
}
