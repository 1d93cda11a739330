package dist

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"breakbook/models/parallel"
)

// Levels against one in fits with several covariates, by plain Monte Carlo
// (testdata/reference/manytoone.json; its script says how): within both errors, and the
// lattice's own below its aim.
func TestManyCovariatesAgainstMonteCarlo(t *testing.T) {
	if testing.Short() {
		t.Skip("a count over many draws, made without -short")
	}
	raw, err := os.ReadFile("../../testdata/reference/manytoone.json")
	if err != nil {
		t.Fatal(err)
	}
	var reference struct {
		Cases []struct {
			Levels, Covariates int
			DF                 float64
			Correlation        [][]float64
			Tails              []struct{ At, P, Error float64 }
		}
	}
	if err := json.Unmarshal(raw, &reference); err != nil {
		t.Fatal(err)
	}
	if len(reference.Cases) != 3 {
		t.Fatalf("%d cases", len(reference.Cases))
	}
	for _, c := range reference.Cases {
		d := NewManyToOne(c.Correlation, c.DF)
		for _, tail := range c.Tails {
			p, within := d.Tail(context.Background(), tail.At)
			if d.Exact() || within > latticeAim || !(math.Abs(p-tail.P) <= within+3.5*tail.Error) {
				t.Errorf("%d levels, %d covariates at %g: %.7g within %.2g, drawn %.7g ± %.2g",
					c.Levels, c.Covariates, tail.At, p, within, tail.P, tail.Error)
			}
			point := d.Point(context.Background(), tail.P)
			if again, within := d.Tail(context.Background(), point); !(math.Abs(again-tail.P) <= 1e-9) ||
				within > latticeAim {
				t.Errorf("%d levels: chance %.7g at the point of %.7g", c.Levels, again, tail.P)
			}
		}
	}
}

// One core sums what many do, and other degrees of freedom by way of a shared lattice are
// those of a lattice of their own to within its error.
func TestLatticeIsTheSameOnOneCore(t *testing.T) {
	ctx := context.Background()
	r := chain(7, 0.3, 0.6)
	many := NewManyToOne(r, 20)
	p, _ := many.Tail(ctx, 2.3)
	before := runtime.GOMAXPROCS(1)
	q, _ := NewManyToOne(r, 20).Tail(ctx, 2.3)
	runtime.GOMAXPROCS(before)
	if p != q {
		t.Errorf("%.17g on many cores, %.17g on one", p, q)
	}
	shared, a := many.WithDF(9).Tail(ctx, 2.3)
	own, b := NewManyToOne(r, 9).Tail(ctx, 2.3)
	if !(math.Abs(shared-own) <= a+b) {
		t.Errorf("9 df: %.9g shared, %.9g alone", shared, own)
	}
}

// Where values are separate the factor is a sum of powers, and where they are one it is 1.
func TestEscapeOfKnownValues(t *testing.T) {
	ctx := context.Background()
	e := newEscape([][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}})
	for _, number := range []int{0, 3, 20, 72} {
		n := e.node(ctx, number)
		stay := 1 - 2*NormalTail(float64(number)*e.step)
		for _, f := range n.factor {
			if !(math.Abs(f-(1+stay+stay*stay)) <= 1e-9) {
				t.Errorf("node %d: %.12g, want %.12g", number, f, 1+stay+stay*stay)
			}
		}
	}
	one := newEscape([][]float64{{1, 1}, {1, 1}})
	n := one.node(ctx, 16)
	if !(math.Abs(n.factor[0]-1) <= 1e-6) {
		t.Errorf("the same value twice: %v", n.factor)
	}
}

// A node whose points were not all summed is not kept, nor the ones of a node that was to get more.
func TestAStoppedNodeIsNotKept(t *testing.T) {
	e := newEscape([][]float64{{1, 0.5, 0.2}, {0.5, 1, 0.3}, {0.2, 0.3, 1}})
	ctx, stop := context.WithCancel(t.Context())
	before := *e.node(ctx, 3)
	before.factor = slices.Clone(before.factor)
	stop()
	for _, work := range []func(){func() { e.node(ctx, 4) }, func() { e.refine(ctx, 3) }} {
		err := func() (err error) {
			defer parallel.Catch(&err)
			work()
			return nil
		}()
		now, kept := e.met(3)
		if _, met := e.met(4); !errors.Is(err, context.Canceled) || met || !kept || now.points != before.points ||
			!slices.Equal(now.factor, before.factor) {
			t.Errorf("%v: %v, a new node is kept: %v", err, now, met)
		}
	}
}

func TestNormalTable(t *testing.T) {
	table := newNormalTable()
	for z := -8.6; z < 8.6; z += 0.00317 {
		if got := table.below(z); !(math.Abs(got-NormalTail(-z)) <= 1e-11) {
			t.Fatalf("below %g: %.15g, want %.15g", z, got, NormalTail(-z))
		}
		if p := NormalTail(-z); z > -7 && z < 7 {
			// Against the upper end a chance has few digits left to tell the point by.
			if got := table.point(p); !(math.Abs(got-z) <= 1e-8+1e-15/math.Exp(-z*z/2)) {
				t.Fatalf("point of %.15g: %.12g, want %.12g", p, got, z)
			}
		}
	}
	for _, w := range []float64{0, 0.25, 2, 9} {
		for _, u := range []float64{1, 0.5, 1e-3, 1e-17} {
			if z := tailPoint(w, NormalTail(w), u); !(relative(NormalTail(z), u*NormalTail(w)) <= 1e-10) || z < w-1e-9 {
				t.Errorf("%g of beyond %g: %.12g", u, w, z)
			}
		}
	}
}

// Away from the ends a point is four terms of the series around the nearest part of the
// table, at most half a part away. Its fifth is (7 + 46z² + 24z⁴)x⁵/120 (Hill & Davis 1968,
// Ann. Math. Statist. 39, whose rule makes it of the fourth), and no error is more.
func TestNormalPointIsFromTheNearestPart(t *testing.T) {
	table := newNormalTable()
	for i := range 50021 {
		p := (tableEdge + float64(i)/50020*(tableParts-2*tableEdge)) / tableParts
		z := math.Sqrt2 * math.Erfinv(2*p-1)
		x := 0.5 / tableParts * math.Sqrt(2*math.Pi) * math.Exp(z*z/2)
		fifth := (7 + 46*z*z + 24*z*z*z*z) * math.Pow(x, 5) / 120
		if got := table.point(p); !(math.Abs(got-z) <= 1.05*fifth+4e-15) {
			t.Fatalf("point of %.15g: off by %.3g, at most %.3g", p, got-z, fifth)
		}
	}
}

// The generating vector, built again from its definition for its first components.
func TestGeneratorIsTheBestInEveryStep(t *testing.T) {
	const low, high, again = 9, 15, 3
	kernel, product := map[int][]float64{}, map[int][]float64{}
	for k := low; k <= high; k++ {
		for i := range 1 << k {
			x := float64(i) / float64(int(1)<<k)
			kernel[k] = append(kernel[k], 2*math.Pi*math.Pi*(x*x-x+1./6))
			product[k] = append(product[k], 1)
		}
	}
	for s := range again {
		weight := 1 / float64(s+1)
		// The squared error of each candidate at each number of points, and the least.
		errors, least := map[int][]float64{}, map[int]float64{}
		for k := low; k <= high; k++ {
			n := 1 << k
			errors[k], least[k] = make([]float64, n), math.Inf(1)
			for g := 1; s > 0 && g < n/2; g += 2 {
				sum, at, each := 0.0, 0, kernel[k]
				for _, p := range product[k] {
					sum += p * (1 + weight*each[at])
					at = (at + g) & (n - 1)
				}
				sum = sum/float64(n) - 1
				errors[k][g], errors[k][n-g] = sum, sum
				least[k] = math.Min(least[k], sum)
			}
		}
		best, ratio := 1, math.Inf(1)
		for g := 1; s > 0 && g < 1<<(high-1); g += 2 {
			worst := 0.0
			for k := low; k <= high; k++ {
				worst = math.Max(worst, errors[k][g&(1<<k-1)]/least[k])
			}
			if worst < ratio {
				best, ratio = g, worst
			}
		}
		if component(s) != best {
			t.Fatalf("component %d is %d, want %d", s, component(s), best)
		}
		for k := low; k <= high; k++ {
			for j := range product[k] {
				product[k][j] *= 1 + weight*kernel[k][j*best&(1<<k-1)]
			}
		}
	}
}

// A lattice over a product form comes to what that is exactly. Its error is of sixteen
// shifts: eight standard errors, where three are told, are passed once in a million.
func TestLatticeComesToProductForms(t *testing.T) {
	if testing.Short() {
		t.Skip("digits of many values, compared without -short")
	}
	rapid.Check(t, func(t *rapid.T) {
		loads := drawLoads(t, rapid.IntRange(3, 5).Draw(t, "levels"), 6)
		df := math.Max(1, drawDF(t))
		c := rapid.Float64Range(0.2, 6).Draw(t, "c")
		r := fromLoads(loads)
		want, _ := NewManyToOne(r, df).Tail(context.Background(), c)
		got, within := newLattice(newEscape(r), df).at(context.Background(), c)
		if within > latticeAim || !(math.Abs(got-want) <= 8./3*within+3e-7) {
			t.Fatalf("loads %v, %g df at %g: %.9g within %.2g, want %.9g", loads, df, c, got, within, want)
		}
	})
}

// Between nodes the factor of five values as tight as these bends more than a polynomial
// through nodes an eighth apart does: off by 8.6e-6 of 1e-5.
func TestLatticeTellsWhatIsOffBetweenNodes(t *testing.T) {
	if testing.Short() {
		t.Skip("digits of many values, compared without -short")
	}
	ctx := context.Background()
	loads := []float64{0.8944271909999159, 0.7337993857053428, 0.9438798074485389, 0.944911182523068,
		0.9276125895432153}
	const df, c = 1, 0.21828341484069824
	r := fromLoads(loads)
	want, _ := NewManyToOne(r, df).Tail(ctx, c)
	e := newEscape(r)
	got, within := newLattice(e, df).at(ctx, c)
	if within > latticeAim || !(math.Abs(got-want) <= within) || e.halved == 0 {
		t.Errorf("%.9g within %.2g after %d halvings, want %.9g", got, within, e.halved, want)
	}
	// Where nodes may come no closer, the error that is told holds what is off between them.
	stiff := newEscape(r)
	stiff.nodes, stiff.halved = map[int]*node{}, mostHalved
	got, within = newLattice(stiff, df).at(ctx, c)
	if within < 8e-6 || !(math.Abs(got-want) <= within) {
		t.Errorf("without halving %.9g within %.2g, want %.9g", got, within, want)
	}
}
