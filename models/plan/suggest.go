package plan

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/resample"
)

// suggestStarts is how many starts the exchange is given.
const suggestStarts = 20

// Suggestion is the candidates chosen, each as often as it comes, and by how much they
// raise the ln of the determinant of the information.
type Suggestion struct {
	Chosen []int
	Gain   float64
}

// Suggest chooses n of the candidates (rows of a model), any of them more than once, that
// with the rows already measured give the information X'X the largest determinant:
// exchanges of one row until none helps (Fedorov 1972; Mitchell 1974), from one start row
// by row and others at random. Errors are *Error: "singular" where the rows measured do not
// settle the model.
func Suggest(measured, candidates [][]float64, n int, seed uint64) (Suggestion, error) {
	p := len(candidates[0])
	base := mat.NewSymDense(p, nil)
	for _, row := range measured {
		base.SymRankOne(base, 1, mat.NewVecDense(p, row))
	}
	start, ok := lnDet(base)
	if !ok {
		return Suggestion{}, &Error{"singular"}
	}
	draw := resample.Stream(seed, 0)
	best := Suggestion{Gain: math.Inf(-1)}
	for s := range suggestStarts {
		var chosen []int
		info := mat.NewSymDense(p, nil)
		info.CopySym(base)
		for range n {
			pick := draw.IntN(len(candidates))
			if s == 0 {
				pick, _ = widest(info, candidates)
			}
			chosen = append(chosen, pick)
			info.SymRankOne(info, 1, mat.NewVecDense(p, candidates[pick]))
		}
		for better := true; better; {
			better = false
			for i, old := range chosen {
				info.SymRankOne(info, -1, mat.NewVecDense(p, candidates[old]))
				pick, spread := widest(info, candidates)
				if spread[pick] > spread[old]*(1+1e-9) {
					chosen[i], better = pick, true
				}
				info.SymRankOne(info, 1, mat.NewVecDense(p, candidates[chosen[i]]))
			}
		}
		if end, ok := lnDet(info); ok && end-start > best.Gain+1e-12 {
			best = Suggestion{chosen, end - start}
		}
	}
	return best, nil
}

// widest is the candidate whose expected value is known least well, and x'(X'X)⁻¹x of all:
// adding a row raises the determinant by 1 and that.
func widest(info *mat.SymDense, candidates [][]float64) (int, []float64) {
	var c mat.Cholesky
	c.Factorize(info)
	best, spread := 0, make([]float64, len(candidates))
	var solved mat.VecDense
	for i, row := range candidates {
		x := mat.NewVecDense(len(row), row)
		if c.SolveVecTo(&solved, x) == nil {
			spread[i] = mat.Dot(x, &solved)
		}
		if spread[i] > spread[best]*(1+1e-9) {
			best = i
		}
	}
	return best, spread
}

func lnDet(info *mat.SymDense) (float64, bool) {
	var c mat.Cholesky
	if !c.Factorize(info) || c.Cond() > 1e14 {
		return 0, false
	}
	return c.LogDet(), true
}
