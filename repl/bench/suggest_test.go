package bench

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/mixed"
	"breakbook/repl/plans/blanks"
	"breakbook/repl/session/fitted"
)

// boards is a series of six boards, two of which hold one level only.
const boards = `specimen,load (N),pins,density (kg/m3),weight_of,board
a1,402,none,600,1,A
a2,431,none,612,2,A
a3,396,pair,598,1,A
a4,455,none,621,4,B
a5,479,pair,607,1,B
a6,408,none,603,2,C
b1,386,none,605,1,C
b2,432,pair,611,3,D
b3,461,pair,599,1,D
b4,429,none,618,1,E
b5,483,pair,602,2,E
b6,473,pair,640,1,F
b7,420,none,590,1,F
`

// The information measured is X'V⁻¹X·Sigma² with the blocks' covariance and the weights, by
// matrices of the size of the series, straight from the definition.
func TestSuggestCountsBlocksAndWeights(t *testing.T) {
	for _, line := range []string{"fit load on pins, density", "fit load on pins, density weighted by weight_of",
		"fit load on pins, density blocked by board", "fit load on pins, density blocked by board weighted by " +
			"weight_of"} {
		s, _ := startedSession(t, boards, line)
		r, _ := s.Result("fit1")
		f, ok := fitted.Of(r)
		if !ok {
			t.Fatalf("%s: there is no fit", line)
		}
		n, p := f.Sample.Frame.Len(), len(f.Coefficients)
		v, x := mat.NewDense(n, n, nil), mat.NewDense(n, p, nil)
		ratio := 0.0
		if b, ok := f.Estimator.(*mixed.Fit); ok {
			if ratio = math.Pow(b.Components[0].SD/f.Sigma, 2); ratio == 0 {
				t.Fatalf("%s: the boards do not differ, so this checks nothing", line)
			}
		}
		for i := range n {
			one, _ := f.Sample.Frame.Cell("board", i)
			for j := range n {
				if other, _ := f.Sample.Frame.Cell("board", j); one == other {
					v.Set(i, j, ratio)
				}
			}
			w := 1.0
			if f.Model().Weights != nil {
				w = f.Model().Weights[i]
			}
			v.Set(i, i, v.At(i, i)+1/w)
			for j, c := range f.Matrix.Columns {
				x.Set(i, j, c[i])
			}
		}
		var solved, want mat.Dense
		if err := solved.Solve(v, x); err != nil {
			t.Fatal(err)
		}
		want.Mul(x.T(), &solved)
		got, ok := blanks.MeasuredInformation(t.Context(), f)
		if !ok {
			t.Fatalf("%s: nothing is measured", line)
		}
		for i := range p {
			for j := range p {
				if size := math.Sqrt(want.At(i, i) * want.At(j, j)); math.Abs(got[i][j]-want.At(i, j)) > 1e-9*size {
					t.Errorf("%s: %d, %d is %g, want %g", line, i, j, got[i][j], want.At(i, j))
				}
			}
		}
	}
}

// Six of none and two of pair, with four more of pair set aside: with those back the six joints to make
// are no longer nearly all of pair.
func TestSuggestTellsWhenItHangsOnSpecimensSetAside(t *testing.T) {
	_, e := startedSession(t, planted, `set aside specimen b3, b4, b5, x9 because "knots"`, "fit load on pins",
		"suggest 6 of fit1")
	if !warned(e, "Specimens b3, b4, b5, x9 are set aside, and the main answer depends on that. With them all "+
		"back: Next, make") {
		t.Errorf("nothing says that the suggestion depends on them: %v", e.Cautions)
	}
	if warned(e, "Specimen b3 is set aside") {
		t.Errorf("b3 by itself changes little and is named all the same: %v", e.Cautions)
	}
	if e.Specimens == nil || e.Specimens.SetAside != 4 {
		t.Errorf("the specimens set aside are not counted: %+v", e.Specimens)
	}
}
