package checks

import (
	"context"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"breakbook/models/design"
)

func code(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

func TestNothingToCheck(t *testing.T) {
	for _, c := range []struct {
		values []float64
		code   string
	}{{nil, "too-few-specimens"}, {[]float64{1, 2}, "too-few-specimens"}, {[]float64{5, 5, 5, 5}, "all-equal"},
		{make([]float64, 5001), "too-many-specimens"}, {[]float64{1, math.NaN(), 3}, "not-a-number"},
		{[]float64{1, 2, math.Inf(1)}, "not-a-number"}} {
		if _, _, err := ShapiroWilk(c.values); code(err) != c.code {
			t.Errorf("%d values: %v, want %s", len(c.values), err, c.code)
		}
	}
	// Three specimens on a line leave one degree of freedom: no deleted residual exists.
	line := design.Model{Variables: []design.Variable{{Numbers: []float64{1, 2, 3}}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}}
	if _, err := Oddest(solve(t, []float64{1, 2, 4}, line), 0.05); code(err) != "no-freedom-left" {
		t.Errorf("three on a line: %v", err)
	}
	if _, err := SpreadAgainstFit(context.Background(), solve(t, []float64{1, 2, 4, 3},
		design.Model{})); code(err) != "nothing-varies" {
		t.Errorf("no terms: %v", err)
	}
}

// The bound on the chance of the furthest is no more than one, and how far it is from the others has no more freedom
// than they leave: of ten evenly spread, the ends are as far as can be expected.
func TestNothingOdd(t *testing.T) {
	odd, err := Oddest(solve(t, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, design.Model{}), 0.05)
	if err != nil || odd.P != 1 || odd.DF != 8 || odd.G > odd.Critical {
		t.Errorf("%+v (%v)", odd, err)
	}
	near(t, "G", odd.G, 4.5/math.Sqrt(82.5/9), 1e-14) // (10 − 5.5)/sd by hand
}

// A specimen alone on its level is named and has no figure that rests on the others.
func TestAlone(t *testing.T) {
	m := design.Model{Variables: []design.Variable{{Codes: []int{0, 0, 0, 0, 1}, Levels: []string{"a", "b"}}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}}
	f := solve(t, []float64{1, 2, 4, 3, 9}, m)
	all := Influences(t.Context(), f)
	for i, one := range all {
		if one.Alone != (i == 4) || one.Alone != math.IsNaN(one.Deleted) || one.Alone != math.IsNaN(one.Distance) {
			t.Errorf("specimen %d: %+v", i, one)
		}
	}
	if odd, err := Oddest(f, 0.05); err != nil || odd.Specimen == 4 {
		t.Errorf("odd %+v (%v)", odd, err)
	}
}

// A line over eight specimens, of which the last stands apart: leverages, deleted residuals and distances are those of
// statsmodels 0.13.5 (OLS, get_influence), the edge of the distances is scipy 1.10.1's f.ppf(0.10, 2, 6).
func TestInfluencesOfALine(t *testing.T) {
	line := design.Model{Variables: []design.Variable{{Numbers: []float64{1, 2, 3, 4, 5, 6, 7, 9}}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}}}
	f := solve(t, []float64{2, 3, 5, 4, 6, 9, 8, 14}, line)
	all := Influences(t.Context(), f)
	last := all[7]
	near(t, "leverage", last.Leverage, 0.5087719298245612, 1e-13)
	near(t, "deleted", last.Deleted, 2.204294221924054, 1e-12)
	near(t, "distance", last.Distance, 1.531338885728513, 1e-12)
	near(t, "deleted of the fourth", all[3].Deleted, -1.3277677510055053, 1e-12)
	for _, one := range all {
		if one.DF != 5 { // eight less two of the line and the one left out
			t.Errorf("%+v", one)
		}
	}
	limits := LimitsOf(f)
	near(t, "limit of leverage", limits.Leverage, 3*2.0/8, 1e-15)
	near(t, "limit of distance", limits.Distance, 0.10723250595385884, 1e-13)
	if limits.Deleted != 3 {
		t.Errorf("limit of deleted residuals %g", limits.Deleted)
	}
}

// Whole numbers far from zero have the W they have near it, to the last digits; W and p by scipy 1.10.1 (single
// precision in W: seven digits).
func TestShapeFarFromZero(t *testing.T) {
	x := []float64{3, 1, 4, 1, 5, 8, 2, 6}
	far := make([]float64, len(x))
	for i, v := range x {
		far[i] = 1e13 + v
	}
	w, p, err := ShapiroWilk(x)
	near(t, "W", w, 0.9412427544593811, 4e-7)
	near(t, "p", p, 0.6233482956886292, 4e-6)
	if away, there, e := ShapiroWilk(far); err != nil || e != nil || away != w || there != p {
		t.Errorf("W %v and p %v, far away %v and %v (%v, %v)", w, p, away, there, err, e)
	}
}

// A square that is there already, and a column of two values, are not asked about.
func TestUnbent(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6, 7}
	m := design.Model{Variables: []design.Variable{{Numbers: x}, {Numbers: []float64{0, 1, 0, 1, 1, 0, 0}}},
		Terms: []design.Term{{Factors: []design.Factor{{}}}, {Factors: []design.Factor{{Function: design.Squared}}},
			{Factors: []design.Factor{{Variable: 1}}}}}
	bends, err := Bends(context.Background(), solve(t, []float64{1, 3, 2, 5, 8, 5, 9}, m))
	if err != nil || len(bends) != 2 || bends[0].Reason != "curved-already" || bends[1].Reason != "two-values" {
		t.Errorf("%+v (%v)", bends, err)
	}
}

// Units and where zero lies change no test of a plain sample.
func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(100, 900), 5, 40).Draw(rt, "x")
		scale, shift := rapid.Float64Range(0.01, 50).Draw(rt, "scale"),
			rapid.Float64Range(-2000, 2000).Draw(rt, "shift")
		w, p, err := ShapiroWilk(x)
		if err != nil {
			rt.Skip()
		}
		y := make([]float64, len(x))
		for i, v := range x {
			y[i] = scale*v + shift
		}
		w2, p2, err := ShapiroWilk(y)
		if err != nil || !(math.Abs(w-w2) <= 1e-9) || !(math.Abs(p-p2) <= 1e-6) {
			rt.Fatalf("W %g and %g, p %g and %g (%v)", w, w2, p, p2, err)
		}
		a, err := Oddest(solve(t, x, design.Model{}), 0.05)
		if err != nil {
			rt.Skip()
		}
		b, err := Oddest(solve(t, y, design.Model{}), 0.05)
		if err != nil || !(math.Abs(a.G-b.G) <= 1e-8*a.G) {
			rt.Fatalf("G %g and %g (%v)", a.G, b.G, err)
		}
	})
}
