package mixed

import (
	"context"
	"math"
	"testing"

	"breakbook/models/design"
)

// A series of six boards against statsmodels 0.13.5 (MixedLM, Debian's python3-statsmodels).
// Its restricted log likelihood differs by definition: it is the density of error contrasts
// without the ½ ln|X'X| that makes it independent of how terms are coded (Harville 1974; here it
// is in, as is said at Fit), so it stands below with that added. The full one is the same.
func TestLogLikelihoodAgainstALibrary(t *testing.T) {
	x := []float64{14.1, 4.9, 10.8, 8.9, 9.1, 9.6, 6.0, 9.5, 8.3, 16.6, 10.5, 9.3, 9.4, 8.7, 7.9, 9.2, 11.0, 9.5, 11.9,
		9.6, 10.0, 13.1, 11.1, 9.0}
	y := []float64{35.6, 31.7, 36.1, 34.8, 35.7, 36.7, 30.7, 37.1, 36.9, 40.2, 39.5, 39.4, 33.6, 32.5, 33.4, 34.0, 36.7,
		35.2, 35.7, 35.6, 36.8, 37.4, 38.3, 37.2}
	board := make([]int, len(y))
	sums := [2]float64{}
	for i := range y {
		board[i] = i / 4
		sums[0], sums[1] = sums[0]+x[i], sums[1]+x[i]*x[i]
	}
	n := float64(len(y))
	halfLogXX := math.Log(n*sums[1]-sums[0]*sums[0]) / 2 // of a column of ones and x
	near(t, "½ ln|X'X|", halfLogXX, 4.033649796596853, 1e-12)
	m := design.Model{Variables: []design.Variable{{Name: "x", Numbers: x}}, Terms: []design.Term{term(0)}}
	for criterion, want := range map[Criterion]float64{Restricted: -44.64077485923147 + halfLogXX,
		Full: -43.84947573261558} {
		f, err := Solve(context.Background(), y, m, []Block{{Codes: board}}, criterion)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "log likelihood", f.LogLikelihood, want, 1e-9) // flat where it is largest
	}
}
