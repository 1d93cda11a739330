package main

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"breakbook/cmd/measure/falseanswers"
	"breakbook/cmd/measure/typed"
	"breakbook/repl/page"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// residualSS is the sum of squares that the columns leave of y, by a general
// library's least squares.
func residualSS(t *testing.T, columns [][]float64, y []float64) float64 {
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

// holmOf is Holm's correction over the F tests of effects, each of some columns, by a general library's
// least squares: each probability times how many are no smaller, and no smaller than the one before.
func holmOf(t *testing.T, columns [][]float64, y []float64, effects [][]int) []float64 {
	t.Helper()
	df := float64(len(y) - len(columns))
	full := residualSS(t, columns, y)
	p, at := make([]float64, len(effects)), make([]int, len(effects))
	for e, own := range effects {
		var without [][]float64
		for j, c := range columns {
			if !slices.Contains(own, j) {
				without = append(without, c)
			}
		}
		q := float64(len(own))
		p[e] = distuv.F{D1: q, D2: df}.Survival((residualSS(t, without, y) - full) / q / (full / df))
		at[e] = e
	}
	slices.SortFunc(at, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	out, most := make([]float64, len(p)), 0.0
	for rank, e := range at {
		most = max(most, p[e]*float64(len(p)-rank))
		out[e] = min(most, 1)
	}
	return out
}

// A number with its bend is one effect, tested by both its terms at once: what is told of many effects is
// Holm's correction over such tests.
func TestManyAskedTakesABendWithItsNumber(t *testing.T) {
	counts(t)
	names := []string{"way1", "way2", "size1", "size2"}
	l := layouts[5]
	if l.factors != 2 || l.numbers != 2 || l.levels != 2 {
		t.Fatalf("%s is another layout", l.name)
	}
	doubted := map[string]int{}
	for seed := range uint64(60) {
		m := clean(l, rand.New(rand.NewPCG(77, seed)))
		e, err := typed.Ask(t.Context(), m.CSV(), fmt.Sprintf("worth %g N; fit load on way1, way2, size1 curved, size2",
			worthIt))
		if err != nil {
			t.Fatal(err)
		}
		y, columns := make([]float64, len(m.Rows)), make([][]float64, 6)
		for j := range columns {
			columns[j] = make([]float64, len(y))
		}
		for i, row := range m.Rows {
			cell := func(at int) float64 {
				x, err := strconv.ParseFloat(row[at], 64)
				if err != nil {
					t.Fatal(err)
				}
				return x
			}
			y[i] = cell(len(row) - 1)
			columns[0][i] = 1
			for j := range 2 {
				if row[1+j] == "b" {
					columns[1+j][i] = 1
				}
				columns[3+2*j][i] = (cell(3+j) - 600) / 100
			}
			columns[4][i] = columns[3][i] * columns[3][i]
		}
		want := holmOf(t, columns, y, [][]int{{1}, {2}, {3, 4}, {5}})
		for _, d := range e.Doubts {
			if d.Code != "many-asked" {
				continue
			}
			doubted[d.About]++
			at := slices.Index(names, d.About)
			for _, part := range d.Text {
				if p, ok := part.(page.Chance); ok && (at < 0 || math.Abs(float64(p)-want[at]) > 1e-9) {
					t.Errorf("series %d, %s: %g, want %v", seed, d.About, float64(p), want)
				}
			}
		}
	}
	if doubted["size1"] == 0 || len(doubted) < 3 {
		t.Errorf("told of %v", doubted)
	}
}

// notBorneOut reports whether a term of a series of two levels and numbers has p < 0.05 that Holm's
// correction over all terms takes back: F tests of each term, worked out here.
func notBorneOut(t *testing.T, m falseanswers.Series, terms int) bool {
	t.Helper()
	y, columns := make([]float64, len(m.Rows)), make([][]float64, terms+1)
	for j := range columns {
		columns[j] = make([]float64, len(m.Rows))
	}
	for i, row := range m.Rows {
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
	full := residualSS(t, columns, y)
	var p []float64
	for j := range terms {
		without := slices.Delete(slices.Clone(columns), j+1, j+2)
		p = append(p, distuv.F{D1: 1, D2: df}.Survival((residualSS(t, without, y)-full)/(full/df)))
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
	counts(t)
	doubted := 0
	for i, l := range layouts {
		if !l.fit || l.levels != 2 || l.boards > 0 || l.factors+l.numbers < 2 {
			continue
		}
		const series, seed = 60, 600
		invent := func(r *rand.Rand) falseanswers.Series { return clean(l, r) }
		all, err := questioned(t.Context(), series, seed+uint64(i), invent)
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
				doubted++
			}
		}
	}
	if doubted < 10 {
		t.Errorf("only %d series are told of", doubted)
	}
}
