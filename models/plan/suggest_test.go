package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The exchange finds what trying every choice finds: candidates on two to twelve places,
// one to five to be chosen, with rows measured at random.
func TestSuggestEqualsEnumeration(t *testing.T) {
	draw := rand.New(rand.NewPCG(12, 1))
	for count := 2; count <= 12; count++ {
		for n := 1; n <= 5; n++ {
			rows := func(k int) [][]float64 {
				out := make([][]float64, k)
				for i := range out {
					out[i] = []float64{1, float64(draw.IntN(3)) - 1, draw.NormFloat64(), float64(draw.IntN(2))}
				}
				return out
			}
			measured, candidates := rows(9), rows(count)
			base := mat.NewSymDense(4, nil)
			for _, row := range measured {
				base.SymRankOne(base, 1, mat.NewVecDense(4, row))
			}
			start, ok := lnDet(base)
			if !ok {
				continue
			}
			most := math.Inf(-1)
			var try func(info *mat.SymDense, from, left int)
			try = func(info *mat.SymDense, from, left int) {
				if left == 0 {
					end, _ := lnDet(info)
					most = math.Max(most, end-start)
					return
				}
				for c := from; c < count; c++ {
					next := mat.NewSymDense(4, nil)
					next.SymRankOne(info, 1, mat.NewVecDense(4, candidates[c]))
					try(next, c, left-1)
				}
			}
			try(base, 0, n)
			s, err := Suggest(measured, candidates, n, 1)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(s.Gain-most) > 1e-9 || len(s.Chosen) != n {
				t.Errorf("%d of %d: gain %g, the most there is %g", n, count, s.Gain, most)
			}
		}
	}
}

// A straight line is narrowed most at its ends, half and half (textbook).
func TestSuggestEndsOfALine(t *testing.T) {
	s, err := Suggest([][]float64{{1, 0}, {1, 0.1}}, [][]float64{{1, -1}, {1, 0}, {1, 1}}, 6, 1)
	if err != nil {
		t.Fatal(err)
	}
	count := make([]int, 3)
	for _, c := range s.Chosen {
		count[c]++
	}
	if count[0] != 3 || count[1] != 0 || count[2] != 3 {
		t.Errorf("chosen %v", count)
	}
	if _, err := Suggest([][]float64{{1, 0}}, [][]float64{{1, 1}}, 1, 1); err == nil {
		t.Error("one row settles a line")
	}
}
