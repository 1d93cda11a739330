package mixed

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/design"
	"breakbook/models/linear"
)

// estimators fits a model in every way.
func estimators(t *testing.T, y []float64, m design.Model, blocks []Block) map[string]linear.Estimator {
	t.Helper()
	f, err := linear.Solve(context.Background(), y, m)
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Uneven(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	r, err := f.Resistant(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return map[string]linear.Estimator{"plain": f, "uneven": u, "resistant": r, "blocked": solve(t, y, m, blocks)}
}

// A column that says what others say already changes no answer of any way of fitting that
// can be given without it, and what depends on it cannot be given.
func TestDependentColumnsChangeNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	b := newBench(r, 40, 6, 60, 0)
	m := b.model()
	whole := estimators(t, b.y, m, []Block{{b.board}})
	twice := make([]float64, len(b.x))
	for i, x := range b.x {
		twice[i] = 2*x + 30
	}
	m.Variables = append([]design.Variable{}, m.Variables...)
	m.Variables = append(m.Variables, design.Variable{Name: "twice", Numbers: twice})
	m.Terms = []design.Term{term(0), term(1), term(2)}
	for name, e := range estimators(t, b.y, m, []Block{{b.board}}) {
		for j := range 3 { // baseline and levels: the slope is shared with the column beside it
			w := make([]float64, 4)
			w[j] = 1
			got, ok := e.Combination(context.Background(), append(w, 0))
			want, _ := whole[name].Combination(context.Background(), w)
			if !ok {
				t.Fatalf("%s: coefficient %d cannot be estimated", name, j)
			}
			near(t, name+" value", got.Value, want.Value, 1e-9)
			near(t, name+" standard error", got.SE, want.SE, 1e-8)
			near(t, name+" df", got.DF, want.DF, 1e-7)
		}
		if _, ok := e.Combination(context.Background(), []float64{0, 0, 0, 1, 0}); ok {
			t.Errorf("%s: a slope that two columns share was estimated", name)
		}
		one, _ := e.Specimen(context.Background(), []float64{1, 0, 0, 0, 0})
		two, _ := whole[name].Specimen(context.Background(), []float64{1, 0, 0, 0})
		if name != "uneven" {
			near(t, name+" specimen", one.SE, two.SE, 1e-8)
		} else if !math.IsNaN(one.SE) {
			t.Errorf("uneven spread gives a new specimen %g", one.SE)
		}
	}
}

// Through zero with a category is the same model as with a baseline, told by its level
// means: every way of fitting gives them alike.
func TestThroughZeroIsTheSameModel(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	b := newBench(r, 40, 6, 60, 0)
	m := design.Model{Variables: []design.Variable{category(3, b.a)}, Terms: []design.Term{term(0)}, Weights: b.w}
	with := estimators(t, b.y, m, []Block{{b.board}})
	m.ThroughZero = true
	for name, e := range estimators(t, b.y, m, []Block{{b.board}}) {
		for level := range 3 {
			own, from := make([]float64, 3), []float64{1, 0, 0}
			own[level], from[level] = 1, 1
			got, _ := e.Combination(context.Background(), own)
			want, _ := with[name].Combination(context.Background(), from)
			near(t, name+" mean", got.Value, want.Value, 1e-9)
			near(t, name+" standard error", got.SE, want.SE, 1e-8)
			near(t, name+" df", got.DF, want.DF, 1e-6)
		}
	}
}

// The diagonal of Covariance is the square of Combination's standard error, and each pair
// agrees with the variance of the difference.
func TestCovarianceAgreesWithCombination(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 8))
	b := newBench(r, 50, 7, 60, 30)
	for name, e := range estimators(t, b.y, b.model(), []Block{{b.board}, {b.day}}) {
		w := [][]float64{{1, 0, 0, 0}, {1, 1, 0, 3}, {0, 0, 1, -2}}
		cov := e.Covariance(w)
		for i := range w {
			for j := range w {
				d := make([]float64, 4)
				for c := range d {
					d[c] = w[i][c] + w[j][c]
				}
				sum, _ := e.Combination(context.Background(), d)
				near(t, name, sum.SE*sum.SE, cov[i][i]+cov[j][j]+2*cov[i][j], 1e-10)
			}
		}
	}
}
