package stages

import (
	"math"
	"testing"

	"breakbook/models/dist"
)

// The boundaries of the reference handbook, section 16: two-sided 0.05, equal steps, by recursive integration
// with 400 nodes a stage; the late row of five agrees with 4.877, 3.357, 2.680, 2.290, 2.031 as printed in
// the literature (from memory).
func TestBoundaries(t *testing.T) {
	for _, c := range []struct {
		spending Spending
		z        []float64
	}{
		{Late, []float64{2.9626, 1.9686}},
		{Late, []float64{3.7103, 2.5114, 1.9930}},
		{Late, []float64{4.3326, 2.9631, 2.3590, 2.0141}},
		{Late, []float64{4.8769, 3.3570, 2.6803, 2.2898, 2.0310}},
		{Evenly, []float64{2.2414, 2.1251}},
		{Evenly, []float64{2.3940, 2.2938, 2.1999}},
		{Evenly, []float64{2.4977, 2.4072, 2.3208, 2.2448}},
		{Evenly, []float64{2.5758, 2.4920, 2.4108, 2.3391, 2.2755}},
	} {
		at := steps(len(c.z))
		p := Nominal(1, at, spentAt(c.spending, at))
		for i, want := range c.z {
			if got := Upper(p[i] / 2); !(math.Abs(got-want) <= 0.00006) {
				t.Errorf("spending %d, stage %d of %d: %.5f, not %.4f", c.spending, i+1, len(c.z), got, want)
			}
		}
	}
}

// Boundaries at other looks, and the chance to be beyond them by each where the drift is 3 at the end, by the box
// of a multivariate normal outside which the error lies: testdata/reference/stages.py, scipy 1.10.1 (Genz's
// integration, to 1e-7).
func TestBoundariesAndChancesAgainstScipy(t *testing.T) {
	for _, c := range []struct {
		spending Spending
		at       []float64
		z, by    []float64
	}{
		{Late, []float64{0.5, 1}, []float64{2.9626, 1.9686}, []float64{0.2001, 0.8496}},
		{Late, steps(3), []float64{3.7103, 2.5114, 1.993}, []float64{0.024, 0.4757, 0.8465}},
		{Late, []float64{0.3, 0.55, 1}, []float64{3.9286, 2.8079, 1.974}, []float64{0.0111, 0.2802, 0.8489}},
		{Late, steps(4), []float64{4.3326, 2.9631, 2.359, 2.0141}, []float64{0.0023, 0.2, 0.598, 0.8442}},
		{Evenly, []float64{0.5, 1}, []float64{2.2414, 2.1251}, []float64{0.4522, 0.8227}},
		{Evenly, steps(3), []float64{2.394, 2.2938, 2.1999}, []float64{0.254, 0.5845, 0.8104}},
		{Evenly, []float64{0.3, 0.55, 1}, []float64{2.4324, 2.383, 2.1597}, []float64{0.215, 0.4653, 0.8149}},
		{Evenly, steps(4), []float64{2.4977, 2.4072, 2.3208, 2.2448}, []float64{0.1592, 0.4118, 0.642, 0.8034}},
	} {
		p := Nominal(1, c.at, spentAt(c.spending, c.at))
		path, sum := NewPath(Correlations(c.at)), 0.0
		for i, at := range c.at {
			z, drift := Upper(p[i]/2), 3*math.Sqrt(at)
			if !(math.Abs(z-c.z[i]) <= 0.0001) {
				t.Errorf("spending %d at %v, look %d: boundary %.5f, not %.4f", c.spending, c.at, i+1, z, c.z[i])
			}
			sum += path.Chance(Region{math.Inf(-1), -z - drift}, Region{z - drift, math.Inf(1)})
			if !(math.Abs(sum-c.by[i]) <= 0.0001) {
				t.Errorf("spending %d at %v, look %d: chance %.5f, not %.4f", c.spending, c.at, i+1, sum, c.by[i])
			}
			path.GoOn(Region{-z - drift, z - drift})
		}
	}
}

// spentAt is what is given out of 5 % at each of several shares.
func spentAt(s Spending, at []float64) []float64 {
	var out []float64
	for _, t := range at {
		out = append(out, s.Spent(0.05, t))
	}
	return out
}

func steps(n int) []float64 {
	var out []float64
	for i := range n {
		out = append(out, float64(i+1)/float64(n))
	}
	return out
}

// Looking again and again at 5 %: Armitage, McPherson and Rowe (1969), table 2: 0.05, 0.083, 0.107, 0.126,
// 0.142 (from memory).
func TestLookingAgainAtFivePercent(t *testing.T) {
	got := FalseAlarms(1, steps(5), []float64{0.05, 0.05, 0.05, 0.05, 0.05})
	for i, want := range []float64{0.05, 0.083, 0.107, 0.126, 0.142} {
		if !(math.Abs(got[i]-want) <= 0.0005) {
			t.Errorf("%d looks: %.4f, not %.3f", i+1, got[i], want)
		}
	}
}

// The nominal p of any looks use the error spent, look by look, whatever their distances are.
func TestNominalSpendsTheError(t *testing.T) {
	for _, at := range [][]float64{{0.1, 0.11, 0.5, 1}, {0.3, 1.3}, {0.02, 0.98, 1}, steps(10)} {
		for _, s := range []Spending{Late, Evenly} {
			for _, dimensions := range []int{1, 2, 5} {
				for i, got := range FalseAlarms(dimensions, at, Nominal(dimensions, at, spentAt(s, at))) {
					if want := s.Spent(0.05, at[i]); !(math.Abs(got-want) <= 1e-9) {
						t.Errorf("%d dimensions, spending %d at %v, look %d: %.10f, not %.10f", dimensions, s, at, i+1,
							got, want)
					}
				}
			}
		}
	}
	if p := Nominal(1, []float64{0.5, 1, 1.4}, []float64{0.01, 0.05, 0.05}); p[2] != 0 {
		t.Errorf("a look after everything is spent has p %g", p[2])
	}
}

// Several dimensions: the p of the looks found among 2 million random walks by numpy 1.24.2 and scipy 1.10.1
// (testdata/reference/stages.py; good to about 0.0003).
func TestNominalOfSeveralDimensions(t *testing.T) {
	for _, c := range []struct {
		dimensions int
		spending   Spending
		p          []float64
	}{
		{2, Late, []float64{0.0031, 0.0489}},
		{2, Evenly, []float64{0.0252, 0.0329}},
		{3, Late, []float64{0.0002, 0.0120, 0.0460}},
		{3, Evenly, []float64{0.0167, 0.0210, 0.0267}},
		{5, Late, []float64{0, 0.0008, 0.0073, 0.0215, 0.0407}},
		{5, Evenly, []float64{0.0100, 0.0122, 0.0148, 0.0178, 0.0209}},
		{9, Late, []float64{0.0002, 0.0120, 0.0452}},
		{9, Evenly, []float64{0.0169, 0.0205, 0.0258}},
	} {
		at := steps(len(c.p))
		for i, got := range Nominal(c.dimensions, at, spentAt(c.spending, at)) {
			if !(math.Abs(got-c.p[i]) <= 0.0004) {
				t.Errorf("%d dimensions, spending %d, look %d of %d: %.5f, not %.4f", c.dimensions, c.spending, i+1,
					len(at), got, c.p[i])
			}
		}
	}
}

// A radial process of one dimension is the two-sided one.
func TestRadialOfOneDimension(t *testing.T) {
	at, p := steps(4), []float64{0.01, 0.02, 0.03, 0.04}
	want, r := FalseAlarms(1, at, p), &radial{dimensions: 1, correlation: Correlations(at)}
	sum := 0.0
	for i, x := range p {
		if sum += r.below(x); !(math.Abs(sum-want[i]) <= 1e-9) {
			t.Errorf("look %d: %.12f, not %.12f", i+1, sum, want[i])
		}
		r.goOn(x)
	}
}

// Without a boundary a path loses nothing, and the chance of a stretch is the normal one.
func TestPathKeepsAll(t *testing.T) {
	p := NewPath(Correlations([]float64{0.2, 0.5, 0.501, 1}))
	all := Region{math.Inf(-1), math.Inf(1)}
	for stage := range 4 {
		want := dist.NormalTail(0.7) - dist.NormalTail(2)
		if got := p.Chance(Region{0.7, 2}); !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("stage %d: %.15f, not %.15f", stage, got, want)
		}
		p.GoOn(all)
	}
}
