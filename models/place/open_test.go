package place

import (
	"math"
	"testing"

	"breakbook/models/design"
	"breakbook/models/linear"
)

// A model of one step left open expects, at a place with k specimens before it, the mean of those before or beyond;
// the standard error is by what is left over n − 3, the place being a parameter. Within a gap the sides have their
// parts by where in it the point lies. All by hand.
func TestExpectedBesideAStep(t *testing.T) {
	d := Data{Base: [][]float64{make([]float64, 12)}}
	y := []float64{410, 402, 418, 399, 407, 431, 445, 422, 452, 439, 448, 436}
	for i, v := range y {
		d.X, d.Y, d.Base[0][i] = append(d.X, float64(10+2*i)), append(d.Y, v), 1
	}
	found := find(t, Step, d)
	m := design.Model{Variables: []design.Variable{{Name: "x", Numbers: d.X}},
		Terms: []design.Term{{Factors: []design.Factor{{Function: design.Step}}}}}
	open, err := LeaveOpen(t.Context(), d.Y, m, 0, found)
	if err != nil {
		t.Fatal(err)
	}
	side := func(from, to int) (mean, n float64) {
		for _, v := range y[from:to] {
			mean += v / float64(to-from)
		}
		return mean, float64(to - from)
	}
	for _, x := range []float64{5, 19.5, 20, 20.75, 40} {
		mean, specimen, ok := open.Expected(t.Context(), linear.Point{Numbers: map[int]float64{0: x}})
		if !ok {
			t.Fatal("nothing expected")
		}
		sum, expected, got, gotSpecimen := 0.0, 0.0, 0.0, 0.0
		spread, gotSpread := 0.0, 0.0 // of the parts' variances
		for i, p := range mean {
			sum, got, gotSpread = sum+p.Share, got+p.Share*p.Value, gotSpread+p.Share*p.SE*p.SE
			if gotSpecimen += specimen[i].Share * specimen[i].Value; p.DF != 9 || specimen[i].DF != 9 {
				t.Errorf("%g and %g degrees of freedom", p.DF, specimen[i].DF)
			}
		}
		specimens := 0.0
		for _, p := range specimen {
			specimens += p.Share * p.SE * p.SE
		}
		expectedVariance := 0.0
		for _, p := range found.Places {
			k := int(p.From-10)/2 + 1
			before, n := side(0, k)
			beyond, rest := side(k, 12)
			variance := p.RSS / 9
			expectedVariance += p.Share * variance
			part := min(1, max(0, (x-p.From)/(p.To-p.From))) // that the place lies before x
			expected += p.Share * (part*beyond + (1-part)*before)
			spread += p.Share * variance * (part/rest + (1-part)/n)
		}
		for _, c := range [][2]float64{{sum, 1}, {got, expected}, {gotSpecimen, expected}, {gotSpread, spread},
			{specimens, spread + expectedVariance}} {
			if !near(c[0], c[1], 1e-6) { // places with a share under 1e-7 are left out
				t.Errorf("at %g: %.12g, want %.12g", x, c[0], c[1])
			}
		}
	}
	// Where x is not given it is at its mean, 21, half way in the gap from 20 to 22.
	at, _, _ := open.Expected(t.Context(), linear.Point{})
	same, _, _ := open.Expected(t.Context(), linear.Point{Numbers: map[int]float64{0: 21}})
	if len(at) != len(same) || len(at) == 0 {
		t.Fatalf("%d and %d parts", len(at), len(same))
	}
	for i := range at {
		if !near(at[i].Value, same[i].Value, 1e-12) || !near(at[i].Share, same[i].Share, 1e-12) {
			t.Errorf("at its mean %+v, there %+v", at[i], same[i])
		}
	}
}

// Of five places four stand for all: the middles of four parts of the likelihood are at 1/8, 3/8, 5/8 and 7/8, and
// the shares 0.1, 0.4, 0.05, 0.35 and 0.1 end at 0.1, 0.5, 0.55, 0.9 and 1, so that the second holds two and the
// fourth two.
func TestStandingPlaces(t *testing.T) {
	var all []Place
	for i, share := range []float64{0.1, 0.4, 0.05, 0.35, 0.1} {
		all = append(all, Place{At: float64(i), Share: share})
	}
	got := standing(all, 4)
	if len(got) != 2 || got[0] != (Place{At: 1, Share: 0.5}) || got[1] != (Place{At: 3, Share: 0.5}) {
		t.Errorf("%+v", got)
	}
	if got := standing(all, 2); len(got) != 2 || got[0].At != 1 || got[1].At != 3 { // 1/4 and 3/4
		t.Errorf("%+v", got)
	}
	if got := standing(all, 5); len(got) != 5 || got[0].Share != 0.1 {
		t.Errorf("%+v", got)
	}
}

// Half of a mixture lies below the value between two equal parts far apart, and a quantile of parts without an error is
// one of their values.
func TestQuantileOfAMixture(t *testing.T) {
	two := Mixture{{0.25, 0, 1, 5}, {0.75, 100, 2, 8}}
	// A tenth of all is two fifths of the first part: t of 5 passes −0.2672 with chance 0.6 (any table of t, more
	// digits by scipy 1.10.1, betaincinv). Of the second, a half of all is a third: by the same of 8 degrees −0.4471.
	for _, c := range [][2]float64{{0.1, -0.26718086570414454}, {0.5, 100 - 2*0.44708996993481515}} {
		if got := two.Quantile(c[0]); !(math.Abs(got-c[1]) <= 1e-7) {
			t.Errorf("%g: %.9g, want %.9g", c[0], got, c[1])
		}
	}
	sure := Mixture{{0.3, 7, 0, 5}, {0.7, 9, 0, 5}}
	if a, b := sure.Quantile(0.2), sure.Quantile(0.5); !(math.Abs(a-7) <= 1e-9) || !(math.Abs(b-9) <= 1e-9) {
		t.Errorf("%g and %g", a, b)
	}
	if one := (Mixture{{1, 7, 0, 5}}).Quantile(0.9); one != 7 {
		t.Errorf("%g", one)
	}
}
