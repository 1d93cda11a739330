package mixed

import (
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/design"
	"breakbook/models/linear"

	"gonum.org/v1/gonum/mat"
)

// The variance that a residual has of its specimen's is the diagonal of P = V⁻¹ − V⁻¹X(X'V⁻¹X)⁻¹X'V⁻¹ (Harville 1977,
// J. Amer. Statist. Assoc. 72, section 3), worked out here with the whole matrices; and a residual over it is
// what the specimen lies off the prediction of all others, with blocks crossed and weights.
func TestResidualShares(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	const n = 24
	boards, days, weights := make([]int, n), make([]int, n), make([]float64, n)
	x, y := make([]float64, n), make([]float64, n)
	shifts := []float64{3, -2, 0.5, -4, 2, 1}
	for i := range n {
		boards[i], days[i], weights[i] = r.IntN(6), i%4, 1+float64(i%3)
		x[i] = r.NormFloat64()
		y[i] = 2*x[i] + shifts[boards[i]] + shifts[days[i]]/2 + r.NormFloat64()/math.Sqrt(weights[i])
	}
	m := design.Model{Variables: []design.Variable{{Name: "x", Numbers: x}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}, Weights: weights}
	f, err := Solve(t.Context(), y, m, []Block{{boards}, {days}}, Restricted)
	if err != nil {
		t.Fatal(err)
	}
	if f.Components[0].SD == 0 || f.Components[1].SD == 0 {
		t.Fatal("a variance is zero, which tests nothing here")
	}
	v := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			c := 0.0
			if i == j {
				c = f.Sigma * f.Sigma / weights[i]
			}
			if boards[i] == boards[j] {
				c += f.Components[0].SD * f.Components[0].SD
			}
			if days[i] == days[j] {
				c += f.Components[1].SD * f.Components[1].SD
			}
			v.SetSym(i, j, c)
		}
	}
	terms := mat.NewDense(n, 2, nil)
	for i := range n {
		terms.SetRow(i, []float64{1, x[i]})
	}
	var inverse, vx, xvx, solved, p mat.Dense
	if err := inverse.Inverse(v); err != nil {
		t.Fatal(err)
	}
	vx.Mul(&inverse, terms)
	xvx.Mul(terms.T(), &vx)
	if err := solved.Solve(&xvx, vx.T()); err != nil {
		t.Fatal(err)
	}
	p.Mul(&vx, &solved)
	p.Sub(&inverse, &p)
	var residuals mat.VecDense
	residuals.MulVec(&p, mat.NewVecDense(n, y))
	for i, share := range f.ResidualShares(t.Context()) {
		own := f.Sigma * f.Sigma / weights[i]
		if want := own * p.At(i, i); math.Abs(share-want) > 1e-9 {
			t.Errorf("specimen %d has a share of %v and not %v", i, share, want)
		}
		if got, want := f.Residuals[i]/share, residuals.AtVec(i)/p.At(i, i); math.Abs(got-want) > 1e-7 {
			t.Errorf("specimen %d lies %v off what the others let expect, and not %v", i, got, want)
		}
	}
}

// Where blocks are found not to differ, the terms alone have leverage.
func TestResidualSharesWithoutBlocks(t *testing.T) {
	m := design.Model{Variables: []design.Variable{{Name: "x", Numbers: []float64{1, 2, 3, 4, 5, 6}}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}}
	y := []float64{1, 2.2, 2.9, 4.1, 5.2, 5.8}
	f, err := Solve(t.Context(), y, m, []Block{{[]int{0, 1, 0, 1, 0, 1}}}, Restricted)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := linear.Solve(t.Context(), y, m)
	if err != nil {
		t.Fatal(err)
	}
	if f.Components[0].SD != 0 {
		t.Fatal("the blocks differ")
	}
	for i, share := range f.ResidualShares(t.Context()) {
		if math.Abs(share-(1-plain.Leverage[i])) > 1e-12 {
			t.Errorf("specimen %d: %v", i, share)
		}
	}
}
