package likelihood

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// A root is that of gonum's own Cholesky factorisation (gonum v0.17.0), and there is none of a saddle.
func TestRootIsCholeskys(t *testing.T) {
	a := mat.NewSymDense(3, []float64{4, 1, -2, 0, 3, 0.5, 0, 0, 5})
	var whole mat.Cholesky
	var inverse mat.SymDense
	var want mat.VecDense
	right := []float64{1, -2, 3}
	if !whole.Factorize(a) || whole.InverseTo(&inverse) != nil ||
		whole.SolveVecTo(&want, mat.NewVecDense(3, right)) != nil {
		t.Fatal("no factor")
	}
	root, ok := Factorise(a)
	if got := mat.NewVecDense(3, root.Solve(right)); !ok || !mat.EqualApprox(got, &want, 1e-15) {
		t.Errorf("solved: %v, want %v", got.RawVector().Data, want.RawVector().Data)
	}
	if got := root.LogDet(); !(math.Abs(got-whole.LogDet()) <= 1e-15) {
		t.Errorf("ln determinant %g, want %g", got, whole.LogDet())
	}
	if got, ok := root.Inverse(); !ok || !mat.EqualApprox(got, &inverse, 1e-15) {
		t.Errorf("inverse %v, want %v", mat.Formatted(got), mat.Formatted(&inverse))
	}
	if _, ok := Factorise(mat.NewSymDense(2, []float64{1, 2, 0, 1})); ok {
		t.Error("a saddle has a root")
	}
}
