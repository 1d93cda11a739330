package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// The most starts the exchange is given, and about how many multiplications all may take.
const suggestStarts, suggestWork = 20, 2e9

// Suggestion is the candidates chosen, each as often as it comes, and by how much they
// raise the ln of the determinant of the information.
type Suggestion struct {
	Chosen []int
	Gain   float64
	Uneven int // of blanks on hand, by how many their boards are spread less evenly than can be wished for
}

// Suggest chooses n of the candidates, any of them more than once, that with what is
// measured already give the information the largest determinant: exchanges of one until none
// helps (Fedorov 1972; Mitchell 1974), from one start candidate by candidate and others at
// random. measured is the information X'V⁻¹X there is; a candidate is rows x whose sum of xx' is
// the information it is expected to bring, several where part of it is left to chance. Errors are
// *Error "singular", where what is measured does not settle the model, and ctx's own.
func Suggest(ctx context.Context, measured [][]float64, candidates [][][]float64, n int,
	seed uint64) (Suggestion, error) {
	return suggest(ctx, measured, candidates, nil, n, seed)
}

// SuggestFrom is Suggest with blanks on hand: each is taken once, and boards are spread before the
// determinant is looked at. A further *Error is "too-few-blanks".
func SuggestFrom(ctx context.Context, measured [][]float64, candidates [][][]float64, on OnHand, n int,
	seed uint64) (Suggestion, error) {
	blanks := slices.Clone(on.Blank)
	slices.Sort(blanks)
	if len(slices.Compact(blanks)) < n {
		return Suggestion{}, &Error{"too-few-blanks"}
	}
	return suggest(ctx, measured, candidates, &on, n, seed)
}

func suggest(ctx context.Context, measured [][]float64, candidates [][][]float64, on *OnHand, n int,
	seed uint64) (_ Suggestion, err error) {
	defer parallel.Catch(&err)
	p := len(measured)
	scale := make([]float64, p) // every column brought to length one
	for i := range scale {
		if scale[i] = 1 / math.Sqrt(measured[i][i]); math.IsInf(scale[i], 0) {
			return Suggestion{}, &Error{"singular"}
		}
	}
	base := scaled(measured, scale)
	start, ok := lnDet(base)
	if !ok {
		return Suggestion{}, &Error{"singular"}
	}
	w := &suggesting{ctx: ctx}
	work := 0.0
	for _, rows := range candidates {
		c := few(rows, scale)
		w.candidates = append(w.candidates, c)
		work += float64(len(c) * p * (p + len(c)))
	}
	draw := resample.Stream(seed, 0)
	best := Suggestion{Gain: math.Inf(-1)}
	starts, report := min(suggestStarts, max(2, int(suggestWork/(3*float64(n)*work)))), parallel.ProgressOf(ctx)
	for s := range starts {
		report(s, starts)
		info := mat.NewSymDense(p, nil)
		info.CopySym(base)
		if on != nil {
			w.hand = newHand(*on, n)
		}
		chosen := make([]int, n)
		for i := range chosen {
			if s == 0 {
				chosen[i], _ = w.widest(info)
			} else {
				chosen[i] = w.free(draw)
			}
			w.add(info, chosen[i], 1)
		}
		w.exchange(info, chosen)
		uneven := 0
		if w.hand != nil {
			uneven = w.hand.uneven()
		}
		if end, ok := lnDet(info); ok && (best.Chosen == nil || uneven < best.Uneven ||
			uneven == best.Uneven && end-start > best.Gain+1e-12) {
			best = Suggestion{chosen, end - start, uneven}
		}
	}
	return best, nil
}

// suggesting is a choice at work: the rows of every candidate, and the blanks on hand, nil where any
// can be made.
type suggesting struct {
	ctx        context.Context
	candidates [][]*mat.VecDense
	hand       *hand
}

// free draws a candidate whose blank is not taken.
func (w *suggesting) free(draw *rand.Rand) int {
	for {
		if c := draw.IntN(len(w.candidates)); w.hand == nil || !w.hand.taken[w.hand.Blank[c]] {
			return c
		}
	}
}

func (w *suggesting) add(info *mat.SymDense, candidate int, sign float64) {
	if w.hand != nil {
		w.hand.take(candidate, int(sign))
	}
	for _, row := range w.candidates[candidate] {
		info.SymRankOne(info, sign, row)
	}
}

// exchange swaps one of the chosen for another candidate for as long as that helps.
func (w *suggesting) exchange(info *mat.SymDense, chosen []int) {
	for better := true; better; {
		parallel.Look(w.ctx)
		better = false
		for i, old := range chosen {
			w.add(info, old, -1)
			if pick, worth := w.widest(info); worth[pick].better(worth[old]) {
				chosen[i], better = pick, true
			}
			w.add(info, chosen[i], 1)
		}
	}
}

// worth is what a candidate would do: how much less evenly boards would be spread, and the factor less one
// by which the determinant would be raised.
type worth struct {
	uneven int
	gain   float64
}

func (a worth) better(b worth) bool {
	return a.uneven < b.uneven || a.uneven == b.uneven && a.gain > b.gain*(1+1e-9)
}

// widest is the candidate that raises the determinant most among those that spread boards most evenly, and
// the worth of each: of one row x'(X'X)⁻¹x, of several rows Z the determinant of I + Z(X'X)⁻¹Z'
// less one.
func (w *suggesting) widest(info *mat.SymDense) (int, []worth) {
	var c mat.Cholesky
	var inverse mat.SymDense
	known := c.Factorize(info) && c.InverseTo(&inverse) == nil
	best, all := 0, make([]worth, len(w.candidates))
	for i, rows := range w.candidates {
		switch {
		case w.hand != nil && w.hand.taken[w.hand.Blank[i]]:
			all[i].uneven = math.MaxInt
			continue
		case w.hand != nil:
			all[i].uneven = w.hand.adds(i)
		}
		if known {
			all[i].gain = raised(&inverse, rows)
		}
		if all[i].better(all[best]) {
			best = i
		}
	}
	return best, all
}

func raised(inverse *mat.SymDense, rows []*mat.VecDense) float64 {
	if len(rows) == 1 {
		return mat.Inner(rows[0], inverse, rows[0])
	}
	spread := mat.NewSymDense(len(rows), nil)
	for i, a := range rows {
		for j, b := range rows[:i+1] {
			spread.SetSym(i, j, mat.Inner(a, inverse, b))
		}
		spread.SetSym(i, i, spread.At(i, i)+1)
	}
	var c mat.Cholesky
	if !c.Factorize(spread) {
		return 0
	}
	return math.Expm1(c.LogDet())
}

// few are no more rows than columns with the same sum of xx', columns scaled: the
// eigenvectors of that sum, each as long as the root of its eigenvalue.
func few(rows [][]float64, scale []float64) []*mat.VecDense {
	p := len(scale)
	var out []*mat.VecDense
	sum := mat.NewSymDense(p, nil)
	for _, row := range rows {
		x := mat.NewVecDense(p, nil)
		for i, v := range row {
			x.SetVec(i, v*scale[i])
		}
		out = append(out, x)
		sum.SymRankOne(sum, 1, x)
	}
	var e mat.EigenSym
	if len(rows) == 1 || !e.Factorize(sum, true) {
		return out
	}
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	values := e.Values(nil)
	out = nil
	for i, l := range values {
		if l > 1e-13*values[p-1] {
			x := mat.NewVecDense(p, nil)
			x.ScaleVec(math.Sqrt(l), vectors.ColView(i))
			out = append(out, x)
		}
	}
	return out
}

// scaled is an information matrix with its columns scaled.
func scaled(measured [][]float64, scale []float64) *mat.SymDense {
	out := mat.NewSymDense(len(scale), nil)
	for i, a := range scale {
		for j, b := range scale[:i+1] {
			out.SetSym(i, j, measured[i][j]*a*b)
		}
	}
	return out
}

func lnDet(info *mat.SymDense) (float64, bool) {
	var c mat.Cholesky
	if !c.Factorize(info) || c.Cond() > 1e14 {
		return 0, false
	}
	return c.LogDet(), true
}
