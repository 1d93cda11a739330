package plan

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// ridge is the share of a column's own length that is added to the information about it where what is measured does not
// settle the model: columns that always changed together are what is to be separated.
const ridge = 1e-8

// Separation is the candidates chosen to separate some columns from each other and from the rest.
type Separation struct {
	Chosen  []int
	Gain    float64 // of the ln of the determinant of the information about the columns
	Settled bool    // what is measured tells them apart already, if badly
}

// Separate chooses n of the candidates, any of them more than once, that with what is measured give the information
// about the columns `of`, all others being estimated too, the largest determinant, |M|/|M₂₂| with M₂₂ that of the
// others (D_s-optimal: Kiefer 1961, Ann. Math. Statist. 32; Atkinson and Donev 1992, Optimum Experimental Designs,
// section 10.3, from memory): exchanges of one until none helps, from one start candidate by candidate and others at
// random. measured is X'X, a candidate rows x whose sum of xx' is what it is expected to bring. The error is ctx's own.
func Separate(ctx context.Context, measured [][]float64, candidates [][][]float64, of []int, n int,
	seed uint64) (_ Separation, err error) {
	defer parallel.Catch(&err)
	p := len(measured)
	scale := make([]float64, p)
	for i := range scale {
		scale[i] = 1
		if measured[i][i] > 0 {
			scale[i] = 1 / math.Sqrt(measured[i][i])
		}
	}
	w := &separating{}
	for i := range p {
		if !slices.Contains(of, i) {
			w.others = append(w.others, i)
		}
	}
	w.base = scaled(measured, scale)
	_, settled := lnDet(w.base)
	for i := range p {
		if !settled {
			w.base.SetSym(i, i, w.base.At(i, i)+ridge)
		}
	}
	work := 0.0
	for _, rows := range candidates {
		c := few(rows, scale)
		w.rows = append(w.rows, c)
		var rest []*mat.VecDense
		for _, row := range c {
			x := mat.NewVecDense(max(1, len(w.others)), nil)
			for k, i := range w.others {
				x.SetVec(k, row.AtVec(i))
			}
			rest = append(rest, x)
		}
		w.rest = append(w.rest, rest)
		work += float64(len(c) * p * (p + len(c)))
	}
	start, _ := w.determinant(nil)
	draw := resample.Stream(seed, 0)
	best := Separation{Gain: math.Inf(-1), Settled: settled}
	starts, report := min(suggestStarts, max(2, int(suggestWork/(6*float64(n)*work)))), parallel.ProgressOf(ctx)
	for s := range starts {
		report(s, starts)
		var chosen []int
		for range n {
			pick := draw.IntN(len(w.rows))
			if s == 0 {
				pick, _ = w.widest(chosen)
			}
			chosen = append(chosen, pick)
		}
		for better := true; better; {
			better = false
			for i := range chosen {
				parallel.Look(ctx)
				without := slices.Delete(slices.Clone(chosen), i, i+1)
				if pick, worth := w.widest(without); worth[pick] > worth[chosen[i]]*(1+1e-9) {
					chosen[i], better = pick, true
				}
			}
		}
		if end, ok := w.determinant(chosen); ok && end-start > best.Gain+1e-10 {
			slices.Sort(chosen)
			best.Chosen, best.Gain = chosen, end-start
		}
	}
	return best, nil
}

// separating is a choice at work: what is measured, and the rows of every candidate, whole and of the other columns.
type separating struct {
	base       *mat.SymDense
	others     []int
	rows, rest [][]*mat.VecDense
}

// information is that of what is measured with some candidates, and that about the other columns.
func (w *separating) information(chosen []int) (all, rest *mat.SymDense) {
	p := w.base.SymmetricDim()
	all = mat.NewSymDense(p, nil)
	all.CopySym(w.base)
	for _, c := range chosen {
		for _, row := range w.rows[c] {
			all.SymRankOne(all, 1, row)
		}
	}
	if len(w.others) == 0 {
		return all, nil
	}
	rest = mat.NewSymDense(len(w.others), nil)
	for a, i := range w.others {
		for b, j := range w.others[:a+1] {
			rest.SetSym(a, b, all.At(i, j))
		}
	}
	return all, rest
}

// determinant is the ln of |M|/|M₂₂|.
func (w *separating) determinant(chosen []int) (float64, bool) {
	all, rest := w.information(chosen)
	var c mat.Cholesky
	if !c.Factorize(all) {
		return 0, false
	}
	d := c.LogDet()
	if rest != nil {
		if !c.Factorize(rest) {
			return 0, false
		}
		d -= c.LogDet()
	}
	return d, true
}

// widest is the candidate that, beside those chosen, raises the determinant most, and by what factor each does.
func (w *separating) widest(chosen []int) (int, []float64) {
	all, rest := w.information(chosen)
	var c mat.Cholesky
	var inverse, other mat.SymDense
	worth := make([]float64, len(w.rows))
	if !c.Factorize(all) || c.InverseTo(&inverse) != nil {
		return 0, worth
	}
	if rest != nil && (!c.Factorize(rest) || c.InverseTo(&other) != nil) {
		return 0, worth
	}
	best := 0
	for i, rows := range w.rows {
		worth[i] = 1 + raised(&inverse, rows)
		if rest != nil {
			worth[i] /= 1 + raised(&other, w.rest[i])
		}
		if worth[i] > worth[best]*(1+1e-9) {
			best = i
		}
	}
	return best, worth
}
