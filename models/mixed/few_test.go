package mixed

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/design"
)

func solveFew(t *testing.T, y []float64, m design.Model, blocks []Block) *Fit {
	t.Helper()
	f, err := SolveFew(context.Background(), y, m, blocks)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Six boards of four, with and without a spread between them. The figures are by dense matrices in numpy 1.24.2 from
// the formulas of Kenward and Roger (1997) for the covariance, and 2v²/(g'Wg) with the inverse W of the expected
// information for the degrees of freedom; the ratio is where the derivative of the restricted likelihood is zero, by
// scipy 1.10.1 (optimize.brentq). The sds are those of statsmodels 0.13.5 (MixedLM) to seven digits.
func TestFewBlocks(t *testing.T) {
	x := []float64{14.1, 4.9, 10.8, 8.9, 9.1, 9.6, 6.0, 9.5, 8.3, 16.6, 10.5, 9.3, 9.4, 8.7, 7.9, 9.2, 11.0, 9.5, 11.9,
		9.6, 10.0, 13.1, 11.1, 9.0}
	y := []float64{35.6, 31.7, 36.1, 34.8, 35.7, 36.7, 30.7, 37.1, 36.9, 40.2, 39.5, 39.4, 33.6, 32.5, 33.4, 34.0, 36.7,
		35.2, 35.7, 35.6, 36.8, 37.4, 38.3, 37.2}
	var board, species []int
	for i := range y {
		board, species = append(board, i/4), append(species, []int{0, 1, 0, 1, 1, 0}[i/4])
	}
	m := design.Model{Variables: []design.Variable{{Name: "x", Numbers: x}, category(2, species)},
		Terms: []design.Term{term(0), term(1)}}
	for _, c := range []struct {
		shift            []float64 // of the boards
		sigma, sd        float64
		estimate, se, df []float64
	}{
		{make([]float64, 6), 1.2337695027434887, 1.3826062393716547,
			[]float64{36.693786817598095, 0.47033660379248554, -1.6542403018628584},
			[]float64{0.8773001181014979, 0.11822679519075904, 1.245200431978992},
			[]float64{4.014829484077777, 17.694561311387673, 4.070820544946558}},
		{[]float64{0, 0, -3, 2, 0, -2}, 1.1398618080348666, 0,
			[]float64{35.034271081295536, 0.4590456611123131, 0.6647911707422633},
			[]float64{0.3362353802377193, 0.10917009048508955, 0.4854579626067832},
			[]float64{4.053233826992569, 20.271418347484886, 4.324057599602122}},
	} {
		moved := make([]float64, len(y))
		for i, v := range y {
			moved[i] = v + c.shift[board[i]]
		}
		f := solveFew(t, moved, m, []Block{{board}})
		near(t, "sigma", f.Sigma, c.sigma, 1e-9)
		near(t, "sd of boards", f.Components[0].SD, c.sd, 1e-9)
		for i, row := range f.Coefficients {
			near(t, "estimate", row.Estimate, c.estimate[i], 1e-9)
			near(t, "standard error", row.SE, c.se[i], 1e-9)
			near(t, "df", row.DF, c.df[i], 1e-7)
		}
	}
}

// The covariance and the degrees of freedom are those of the definition, by matrices of the size of the series, for
// two block columns and weights, whether a variance is zero or not.
func TestFewBlocksByDefinition(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 15))
	zero := map[bool]int{}
	for range 24 {
		b := newBench(r, 24+r.IntN(12), 5+r.IntN(3), 60*r.Float64(), 30*r.Float64())
		f := solveFew(t, b.y, b.model(), []Block{{b.board}, {b.day}})
		n, p := len(b.y), len(f.Coefficients)
		along := []*mat.Dense{mat.NewDense(n, n, nil), mat.NewDense(n, n, nil), mat.NewDense(n, n, nil)}
		v, x := mat.NewDense(n, n, nil), mat.NewDense(n, p, nil)
		for i := range n {
			along[0].Set(i, i, 1/b.w[i])
			for j := range n {
				if b.board[i] == b.board[j] {
					along[1].Set(i, j, 1)
				}
				if b.day[i] == b.day[j] {
					along[2].Set(i, j, 1)
				}
			}
			for j, column := range f.Matrix.Columns {
				x.Set(i, j, column[i])
			}
		}
		for k, sd := range []float64{f.Sigma, f.Components[0].SD, f.Components[1].SD} {
			var part mat.Dense
			part.Scale(sd*sd, along[k])
			v.Add(v, &part)
			zero[sd == 0]++
		}
		covariance, df := kenwardRoger(x, v, along)
		rows := make([][]float64, p)
		for j := range rows {
			rows[j] = make([]float64, p)
			rows[j][j] = 1
		}
		for i, row := range f.Covariance(rows) {
			near(t, "df", f.Coefficients[i].DF, df[i], 1e-6)
			for j, got := range row {
				size := math.Sqrt(covariance.At(i, i) * covariance.At(j, j))
				near(t, "covariance", got/size, covariance.At(i, j)/size, 1e-7)
			}
		}
	}
	if zero[true] < 5 || zero[false] < 40 {
		t.Errorf("variances that are zero, and not: %v", zero)
	}
}

// kenwardRoger is their adjusted covariance of the coefficients where V is the sum of variances times these matrices,
// and the degrees of freedom of each.
func kenwardRoger(x, v *mat.Dense, along []*mat.Dense) (covariance *mat.Dense, df []float64) {
	product := func(list ...mat.Matrix) *mat.Dense {
		out := mat.DenseCopyOf(list[0])
		for _, m := range list[1:] {
			var next mat.Dense
			next.Mul(out, m)
			out = &next
		}
		return out
	}
	invert := func(m *mat.Dense) *mat.Dense {
		var out mat.Dense
		if err := out.Inverse(m); err != nil {
			panic(err)
		}
		return &out
	}
	vi := invert(v)
	phi := invert(product(x.T(), vi, x))
	var projected mat.Dense
	projected.Sub(vi, product(vi, x, phi, x.T(), vi))
	k := len(along)
	information := mat.NewDense(k, k, nil)
	var slopes []*mat.Dense
	for a, ga := range along {
		for b, gb := range along {
			information.Set(a, b, mat.Trace(product(&projected, ga, &projected, gb))/2)
		}
		slope := product(x.T(), vi, ga, vi, x)
		slope.Scale(-1, slope)
		slopes = append(slopes, slope)
	}
	w := invert(information)
	p, _ := phi.Dims()
	middle := mat.NewDense(p, p, nil)
	for a, ga := range along {
		for b, gb := range along {
			one := product(x.T(), vi, ga, vi, gb, vi, x)
			one.Sub(one, product(slopes[a], phi, slopes[b]))
			one.Scale(w.At(a, b), one)
			middle.Add(middle, one)
		}
	}
	covariance = product(phi, middle, phi)
	covariance.Scale(2, covariance)
	covariance.Add(covariance, phi)
	for j := range p {
		uncertain := 0.0
		for a := range along {
			for b := range along {
				uncertain += w.At(a, b) * product(phi, slopes[a], phi).At(j, j) * product(phi, slopes[b], phi).At(j, j)
			}
		}
		df = append(df, 2*phi.At(j, j)*phi.At(j, j)/uncertain)
	}
	return covariance, df
}

// On a balanced split plot nothing is added to the covariance, and the degrees of freedom are those of the textbook:
// for whole pieces those of pieces, also where they are estimated not to differ (Cochran and Cox, Experimental
// Designs, 7.1).
func TestFewBlocksOfASplitPlot(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 4))
	seen := map[bool]int{}
	for range 40 {
		s := newSplitPlot(r, 2, 3, 4, r.Float64())
		m := design.Model{Variables: []design.Variable{category(2, s.a), category(3, s.b)},
			Terms: []design.Term{term(0), term(1)}}
		f, plain := solveFew(t, s.y, m, []Block{{s.piece}}), solve(t, s.y, m, []Block{{s.piece}})
		seen[f.Components[0].SD == 0]++
		for j, c := range f.Coefficients[1:] {
			near(t, "standard error", c.SE, plain.Coefficients[1+j].SE, 1e-9)
		}
		near(t, "df of whole pieces", f.Coefficients[1].DF, s.dfWhole, 1e-7)
		near(t, "df within pieces", f.Coefficients[2].DF, s.dfResidual+s.dfAB, 1e-7)
	}
	if seen[true] < 5 || seen[false] < 5 {
		t.Errorf("pieces that do not differ, and that do: %v", seen)
	}
}

// Where four blocks are estimated not to differ, what lies between them has the two degrees of freedom that they leave
// and not those of specimens.
func TestFewBlocksKeepZeroVariances(t *testing.T) {
	y := []float64{31, 29, 33, 30, 28, 32, 34, 30, 31, 27, 33, 32}
	board := []int{0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3}
	m := design.Model{Variables: []design.Variable{category(2, []int{0, 0, 0, 1, 1, 1, 0, 0, 0, 1, 1, 1})},
		Terms: []design.Term{term(0)}}
	f := solveFew(t, y, m, []Block{{board}})
	if f.Components[0].SD != 0 || f.Components[0].Levels != 4 {
		t.Errorf("component %+v", f.Components[0])
	}
	near(t, "df of a level", f.Coefficients[1].DF, 2, 1e-9)
	near(t, "df of the least squares", solve(t, y, m, []Block{{board}}).Coefficients[1].DF, 10, 1e-12)
}
