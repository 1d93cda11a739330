package dist

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// A step of Levenberg (1944) and Marquardt (1963) from loads L is the least-squares solution
// of the slopes of every product L_i·L_j against what it misses, with a row of root damping
// for each load. Here the slopes are differences of the products, which are exact but for
// rounding as each is a straight line in any one load, and the solution is by QR.
func TestDampedStep(t *testing.T) {
	for name, c := range map[string]struct {
		loads   []float64 // two a row
		damping float64
	}{
		"three values":      {[]float64{0.7, 0.2, 0.5, -0.4, 0.3, 0.6}, 0.1},
		"four, hardly held": {[]float64{0.7, 0.2, 0.5, -0.4, 0.3, 0.6, 0.8, -0.1}, 1e-3},
		"five, held tight":  {[]float64{0.7, 0.2, 0.5, -0.4, 0.3, 0.6, 0.8, -0.1, -0.2, 0.4}, 20},
	} {
		t.Run(name, func(t *testing.T) {
			m := len(c.loads) / 2
			r := make([][]float64, m)
			for i := range r {
				r[i] = make([]float64, m)
				for j := range r[i] {
					r[i][j] = 0.3 + 0.05*float64((i+1)*(j+1)%7)
				}
			}
			product := func(l []float64, i, j int) float64 { return l[2*i]*l[2*j] + l[2*i+1]*l[2*j+1] }
			pairs := m * (m - 1) / 2
			slopes, missed := mat.NewDense(pairs+2*m, 2*m, nil), mat.NewVecDense(pairs+2*m, nil)
			row := 0
			for i := range m {
				for j := range i {
					missed.SetVec(row, r[i][j]-product(c.loads, i, j))
					for p := range 2 * m {
						moved := append([]float64(nil), c.loads...)
						moved[p]++
						slopes.Set(row, p, product(moved, i, j)-product(c.loads, i, j))
					}
					row++
				}
			}
			for p := range 2 * m {
				slopes.Set(pairs+p, p, math.Sqrt(c.damping))
			}
			var step mat.VecDense
			if err := step.SolveVec(slopes, missed); err != nil {
				t.Fatal(err)
			}
			next, ok := improved(r, mat.NewDense(m, 2, append([]float64(nil), c.loads...)), c.damping)
			if !ok {
				t.Fatal("no step")
			}
			for p := range 2 * m {
				if got, want := next.At(p/2, p%2), c.loads[p]+step.AtVec(p); !(math.Abs(got-want) <= 1e-11) {
					t.Errorf("load %d of value %d: got %.14g, want %.14g", p%2, p/2, got, want)
				}
			}
		})
	}
}
