package likelihood

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// Root is the Cholesky factor of a symmetric matrix. Climbs take many thousands of small ones: it does without the
// condition number, which mat.Cholesky works out with each and which costs more than the factor.
type Root struct{ upper blas64.Triangular }

// Factorise is the root of a matrix; false where it is not positive definite.
func Factorise(a *mat.SymDense) (Root, bool) {
	raw := a.RawSymmetric() // its upper half
	out := blas64.Symmetric{Uplo: blas.Upper, N: raw.N, Stride: raw.N, Data: make([]float64, raw.N*raw.N)}
	for i := range raw.N {
		copy(out.Data[i*raw.N+i:(i+1)*raw.N], raw.Data[i*raw.Stride+i:i*raw.Stride+raw.N])
	}
	upper, ok := lapack64.Potrf(out)
	return Root{upper}, ok
}

// Solve is what the matrix times comes to right.
func (r Root) Solve(right []float64) []float64 {
	out := append([]float64(nil), right...)
	lapack64.Potrs(r.upper, blas64.General{Rows: len(out), Cols: 1, Stride: 1, Data: out})
	return out
}

// LogDet is ln of the determinant of the matrix.
func (r Root) LogDet() float64 {
	sum := 0.0
	for i := range r.upper.N {
		sum += 2 * math.Log(r.upper.Data[i*r.upper.Stride+i])
	}
	return sum
}

// Inverse is that of the matrix; the root is lost. False where there is none.
func (r Root) Inverse() (*mat.Dense, bool) {
	upper, ok := lapack64.Potri(r.upper)
	n := upper.N
	for i := range n {
		for j := range i {
			upper.Data[i*n+j] = upper.Data[j*n+i]
		}
	}
	return mat.NewDense(n, n, upper.Data), ok
}
