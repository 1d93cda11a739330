package mixed

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
)

func solve(t testing.TB, y []float64, m design.Model, blocks []Block) *Fit {
	t.Helper()
	f, err := Solve(context.Background(), y, m, blocks, Restricted)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func term(variables ...int) design.Term {
	var out design.Term
	for _, v := range variables {
		out.Factors = append(out.Factors, design.Factor{Variable: v})
	}
	return out
}

func category(levels int, codes []int) design.Variable {
	return design.Variable{Codes: codes, Levels: []string{"1", "2", "3", "4", "5", "6"}[:levels]}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Max(1, math.Abs(want))) {
		t.Errorf("%s: %.14g, want %.14g", what, got, want)
	}
}

// splitPlot is a balanced split-plot series: whole treatments a on whole pieces, treatments
// b within each piece, with its sums of squares worked out as a textbook does.
type splitPlot struct {
	y                     []float64
	a, b, piece           []int
	msA, msWhole          float64 // of a, and of pieces within a
	msB, msAB, msResidual float64
	dfA, dfWhole          float64
	dfB, dfAB, dfResidual float64
}

func newSplitPlot(r *rand.Rand, na, nb, pieces int, between float64) splitPlot {
	s := splitPlot{dfA: float64(na - 1), dfWhole: float64(na * (pieces - 1)), dfB: float64(nb - 1),
		dfAB: float64((na - 1) * (nb - 1)), dfResidual: float64(na * (pieces - 1) * (nb - 1))}
	cell := make([][][]float64, na)
	for i := range na {
		cell[i] = make([][]float64, pieces)
		for k := range pieces {
			shift := between * r.NormFloat64()
			for j := range nb {
				v := 100 + 5*float64(i) + 3*float64(j*i) + shift + r.NormFloat64()
				cell[i][k] = append(cell[i][k], v)
				s.y = append(s.y, v)
				s.a, s.b, s.piece = append(s.a, i), append(s.b, j), append(s.piece, i*pieces+k)
			}
		}
	}
	mean := func(pick func(i, j, k int) bool) float64 {
		sum, n := 0.0, 0.0
		for i := range na {
			for k := range pieces {
				for j := range nb {
					if pick(i, j, k) {
						sum += cell[i][k][j]
						n++
					}
				}
			}
		}
		return sum / n
	}
	all := mean(func(int, int, int) bool { return true })
	for i := range na {
		ma := mean(func(x, _, _ int) bool { return x == i })
		s.msA += float64(nb*pieces) * (ma - all) * (ma - all) / s.dfA
		for k := range pieces {
			mp := mean(func(x, _, z int) bool { return x == i && z == k })
			s.msWhole += float64(nb) * (mp - ma) * (mp - ma) / s.dfWhole
			for j := range nb {
				mab := mean(func(x, y, _ int) bool { return x == i && y == j })
				residual := cell[i][k][j] - mp - mab + ma
				s.msResidual += residual * residual / s.dfResidual
			}
		}
		for j := range nb {
			mb := mean(func(_, y, _ int) bool { return y == j })
			mab := mean(func(x, y, _ int) bool { return x == i && y == j })
			s.msAB += float64(pieces) * (mab - ma - mb + all) * (mab - ma - mb + all) / s.dfAB
		}
	}
	for j := range nb {
		mb := mean(func(_, y, _ int) bool { return y == j })
		s.msB += float64(na*pieces) * (mb - all) * (mb - all) / s.dfB
	}
	return s
}

// On a balanced split plot restricted likelihood gives the F tests of the textbook exactly
// (Cochran and Cox, Experimental Designs, 7.1), as long as pieces differ by more than
// their parts do.
func TestSplitPlotIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 11))
	seen := 0
	for range 40 {
		na, nb, pieces := 2+r.IntN(3), 2+r.IntN(3), 3+r.IntN(4)
		s := newSplitPlot(r, na, nb, pieces, 3*r.Float64())
		if s.msWhole <= s.msResidual {
			continue
		}
		seen++
		m := design.Model{Variables: []design.Variable{category(na, s.a), category(nb, s.b)},
			Terms: []design.Term{term(0), term(1), term(0, 1)}}
		f := solve(t, s.y, m, []Block{{s.piece}})
		near(t, "sd left over", f.Sigma*f.Sigma, s.msResidual, 1e-9)
		near(t, "sd of pieces", f.Components[0].SD*f.Components[0].SD, (s.msWhole-s.msResidual)/float64(nb), 1e-8)
		for _, adjustment := range []linear.Adjustment{linear.Marginal, linear.EachLast} {
			table, err := f.Anova(context.Background(), adjustment)
			if err != nil {
				t.Fatal(err)
			}
			for i, want := range []struct{ f, df, against float64 }{{s.msA / s.msWhole, s.dfA, s.dfWhole},
				{s.msB / s.msResidual, s.dfB, s.dfResidual}, {s.msAB / s.msResidual, s.dfAB, s.dfResidual}} {
				got := table.Sources[i]
				near(t, "F", got.F, want.f, 1e-8)
				near(t, "df", got.DF, want.df, 1e-12)
				near(t, "against", got.Against, want.against, 1e-8)
				near(t, "p", got.P, dist.FTail(want.f, want.df, want.against), 1e-8)
			}
		}
	}
	if seen < 25 {
		t.Fatalf("only %d series with scatter between pieces", seen)
	}
}

// Where pieces differ by less than their parts do, their variance is zero, it is dropped,
// and the fit is that of least squares.
func TestZeroVarianceIsDropped(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	seen := 0
	for range 60 {
		s := newSplitPlot(r, 2, 3, 4, 0)
		if s.msWhole >= s.msResidual {
			continue
		}
		seen++
		m := design.Model{Variables: []design.Variable{category(2, s.a), category(3, s.b)},
			Terms: []design.Term{term(0), term(1), term(0, 1)}}
		f := solve(t, s.y, m, []Block{{s.piece}})
		plain, err := linear.Solve(context.Background(), s.y, m)
		if err != nil {
			t.Fatal(err)
		}
		if f.Components[0].SD != 0 || f.Components[0].Proportion != 0 {
			t.Errorf("component %+v", f.Components[0])
		}
		for j, c := range f.Coefficients {
			near(t, "effect", c.Estimate, plain.Coefficients[j].Estimate, 1e-13)
			near(t, "standard error", c.SE, plain.Coefficients[j].SE, 1e-13)
			near(t, "df", c.DF, plain.DF, 1e-13)
		}
		near(t, "F", f.F, plain.F, 1e-12)
	}
	if seen < 15 {
		t.Fatalf("only %d series without scatter between pieces", seen)
	}
}
