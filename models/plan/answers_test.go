package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/dist"
	"breakbook/models/verdict"
)

// The chances by scipy 1.10.1's nct and studentized_range, and its quad over χ²; half the interval by the mean
// of χ. Both sides integrate smooth pieces to 1e-9.
func TestAnswersAgainstAnIndependentIntegration(t *testing.T) {
	for _, c := range []struct {
		levels, n               int
		sd, truth, worth, conf  float64
		others                  int
		differs, none, halfWide float64
	}{
		{2, 8, 30, 0, 40, 0.95, 0, 0.0500000000001, 0.623135585963, 31.6028799016},
		{2, 8, 30, 40, 40, 0.95, 0, 0.698725947167, 0.0473295723133, 31.6028799016},
		{2, 20, 30, 20, 40, 0.95, 0, 0.53778684642, 0.453198821532, 19.0791692424},
		{4, 10, 30, 0, 40, 0.95, 0, 0.0106765313064, 0.4520299394, 35.88340875},
		{4, 25, 30, 40, 40, 0.95, 0, 0.980752992586, 0.00909830169034, 22.1279749511},
		{2, 5, 10, 10, 25, 0.90, 3, 0.391769120598, 0.552268807699, 12.1266058902},
	} {
		m := Means{Levels: []int{c.levels}, Delta: 1, SD: c.sd, HighSD: math.NaN(), Confidence: c.conf, Wanted: 0.8,
			Others: c.others}
		a, err := m.Answers(c.n, c.truth, c.worth)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range [][2]float64{{a.Differs, c.differs}, {a.None, c.none}, {a.Half / 100, c.halfWide / 100},
			{a.Cannot, 1 - c.differs - c.none}} {
			if !(math.Abs(f[0]-f[1]) <= 1e-8) { // the studentised range agrees to nine digits
				t.Errorf("%d levels of %d, %g apart: %+v, want %g, %g, %g", c.levels, c.n, c.truth, a, c.differs,
					c.none, c.halfWide)
				break
			}
		}
	}
}

// The chances are the shares of the three answers over 10,000 series that are drawn and judged as a
// comparison of two levels does.
func TestAnswersAgainstSimulation(t *testing.T) {
	const series, n, sd, truth, worth = 10_000, 7, 30.0, 25.0, 45.0
	m := Means{Levels: []int{2}, Delta: 1, SD: sd, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}
	want, err := m.Answers(n, truth, worth)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(11, 12))
	var got [4]int
	for range series {
		var mean, squares [2]float64
		for g := range mean {
			x := make([]float64, n)
			for i := range x {
				x[i] = truth*float64(g) + sd*r.NormFloat64()
				mean[g] += x[i] / n
			}
			for _, v := range x {
				squares[g] += (v - mean[g]) * (v - mean[g])
			}
		}
		d, se := mean[1]-mean[0], math.Sqrt((squares[0]+squares[1])/(2*n-2)*2/n)
		within := func(p float64) verdict.Range {
			h := dist.TQuantile(p, 2*n-2) * se
			return verdict.Range{Low: d - h, High: d + h}
		}
		got[verdict.Decide(within(0.975), within(0.95), worth)]++
	}
	for _, c := range []struct {
		what   string
		n      int
		chance float64
	}{{"differs", got[verdict.Differs] + got[verdict.DiffersLessThanWorth], want.Differs},
		{"none", got[verdict.NoDifferenceWorth], want.None}, {"cannot tell", got[verdict.CannotTell], want.Cannot}} {
		if share := float64(c.n) / series; !(math.Abs(share-c.chance) <= 3.5*math.Sqrt(c.chance*(1-c.chance)/series)) {
			t.Errorf("%s in %.4f of series, told %.4f", c.what, share, c.chance)
		}
	}
}
