package bench

import (
	"context"
	"math"
	"slices"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/session/fitted"
)

// ownSlopes is a series whose two kinds of pins have slopes of their own in density: 0.5 and 1 N per kg/m3, without
// scatter
// but for one specimen in eight.
const ownSlopes = `specimen,pins,density (kg/m3),load (N)
1,none,600,300
2,none,620,310
3,none,640,320
4,none,660,331
5,pair,600,400
6,pair,620,420
7,pair,640,440
8,pair,660,461
9,other,650,500
10,pair,,450
`

// A specimen moves by the slope of its own level: the fit of the two levels by themselves is that of both with a
// combined
// term. One of a level that the fit has not seen, or without a density, cannot be moved.
func TestAdjustByTheSlopeOfEachLevel(t *testing.T) {
	s, _ := startedSession(t, ownSlopes, "fit load on together(pins, density) for pins among none, pair",
		"adjust load to density 640 of fit1")
	f, _ := s.Frame("series")
	got, err := f.Numbers("load_adjusted")
	if err != nil {
		t.Fatal(err)
	}
	load, _ := f.Numbers("load")
	density, _ := f.Numbers("density")
	// by hand: least squares of each level; Σ(x−x̄)(y−ȳ)/Σ(x−x̄)² = (−30·−15.25 + −10·−5.25 + 10·4.75 + 30·15.75)/2000,
	// and twice as steep
	slopes := []float64{1030.0 / 2000, 2030.0 / 2000}
	for i := range 8 {
		want := load[i] - slopes[i/4]*(density[i]-640)
		if math.Abs(got[i]-want) > 1e-9 {
			t.Errorf("specimen %d: %v, want %v", i+1, got[i], want)
		}
	}
	if !math.IsNaN(got[8]) || !math.IsNaN(got[9]) {
		t.Errorf("specimens of another level and without density: %v, want none", got[8:])
	}
}

// Moves of a fit to where every specimen is already are none, and those to two places differ by one slope.
func TestMovesOfAFit(t *testing.T) {
	s, _ := startedSession(t, ownSlopes, "fit load on pins, density curved, ln(density) for pins among none, pair")
	r, _ := s.Result("fit1")
	f, _ := fitted.Of(r)
	m, err := f.Moves(context.Background(), r.Fit.(*fitted.Fit).Sample.Frame, map[int]float64{})
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range m {
		if x != 0 {
			t.Errorf("specimen %d is moved by %v to where it is", i, x)
		}
	}
	at := map[int]float64{1: 640}
	if m, err = f.Moves(context.Background(), f.Sample.Frame, at); err != nil {
		t.Fatal(err)
	}
	density, _ := f.Sample.Frame.Numbers("density")
	for i, x := range m {
		if same := density[i] == 640; same != (x == 0) {
			t.Errorf("density %v: moved by %v", density[i], x)
		}
	}
}

// Once more without a specimen, a comparison of an adjusted column is still that of the fit with the covariate, whose
// slope is then another than the one it was adjusted by.
func TestAgainFitsTheSlopeAnew(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins", "adjust load to density 640", "compare load_adjusted by pins",
		`set aside specimen G54, G61, G03 because "a knot"`)
	got := b.run("again compare1").Tables[1]
	want := b.run("fit load on pins, density", "compare pins of fit2").Tables[1]
	if len(got.Rows) != 6 || len(want.Rows) != 6 {
		t.Fatalf("%d and %d rows", len(got.Rows), len(want.Rows))
	}
	for i, row := range got.Rows {
		for _, id := range []string{"difference", "standard_error", "low", "high", "p"} {
			c := slices.IndexFunc(got.Columns, func(c page.Column) bool { return c.ID == id })
			if a, b := row[c].Num, want.Rows[i][c].Num; !(math.Abs(a-b) <= 1e-9*math.Abs(b)) {
				t.Errorf("row %d, %s: %v, and of the fit %v", i+1, id, a, b)
			}
		}
	}
}
