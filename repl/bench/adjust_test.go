package bench

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
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
	m, err := f.ExpectedChange(context.Background(), r.Fit.(*fitted.Fit).Sample.Frame, map[int]float64{})
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range m {
		if x != 0 {
			t.Errorf("specimen %d is moved by %v to where it is", i, x)
		}
	}
	at := map[int]float64{1: 640}
	if m, err = f.ExpectedChange(context.Background(), f.Sample.Frame, at); err != nil {
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

// All terms of a number are tested together: the figures are p of f_test by statsmodels 0.13.5 on the file, of density
// and its square beside pins, and of density and its combined terms with them.
func TestTermsOfANumberTogether(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	for line, want := range map[string]float64{
		"fit load on density curved, pins as bent":     0.00010561753876415052,
		"fit load on together(density, pins) as mixed": 0.000660942152703964,
	} {
		e := b.run(line)
		r, _ := b.s.Result(e.Name)
		f, _ := fitted.Of(r)
		p := f.TogetherOf(context.Background(), slices.Index(f.Columns(), "density"))
		if !(math.Abs(p-want) <= 1e-9*want) {
			t.Errorf("%s: p = %v, want %v", line, p, want)
		}
	}
}

// A curve that is level at the reference still takes scatter away; what a number does in no term is warned of, whatever
// its terms. By statsmodels 0.13.5 x and its square have p = 4.6e-9 on the hump, and 0.93 without it.
func TestAdjustingByWhatDoesNothingIsWarnedOf(t *testing.T) {
	b := newBench(t)
	series := func(loads ...int) string {
		var lines strings.Builder
		lines.WriteString("specimen,temp (degF),load (lbf)\n")
		for i, load := range loads {
			fmt.Fprintf(&lines, "S%02d,%d,%d\n", i, i+1, load)
		}
		return lines.String()
	}
	b.open("hump", series(76, 82, 91, 98, 98, 101, 98, 98, 89, 84, 76, 63))
	b.open("level", series(101, 98, 100, 102, 99, 101, 99, 102, 98, 100, 101, 99))
	const words = ": adjusting by it may add more scatter than it takes away."
	const curve = "What temp does in flat is not clear of zero (all its terms together, p = "
	for i, c := range []struct{ on, want string }{
		{"temp", "The slope of temp in flat is not clear of zero"}, {"temp curved", curve + "0.93)"},
		{"step(temp)", curve}, {"kink(temp)", curve},
	} {
		name := strconv.Itoa(i)
		fit := "fit load on " + c.on + " as "
		e := b.run("switch to level", fit+"flat"+name, "adjust load to temp 6 of flat"+name+" as fair"+name)
		if !warned(e, strings.Replace(c.want, "flat", "flat"+name, 1)) || !warned(e, words) {
			t.Errorf("%s: %v", c.on, e.Cautions)
		}
		if c.on != "temp curved" && c.on != "kink(temp)" {
			continue // as high on both sides
		}
		e = b.run("switch to hump", fit+"bent"+name, "adjust load to temp 6 of bent"+name+" as fair"+name)
		if warned(e, "not clear of zero") {
			t.Errorf("%s of a hump: %v", c.on, e.Cautions)
		}
		if said := said(e); c.on == "temp curved" && !strings.Contains(said, " of temp at 6 °F, on its curve (") {
			t.Errorf("curve: %q", said)
		}
	}
	e := b.run("switch to hump", "fit load on temp curved")
	if got := e.Tables[0].Rows[2]; got[0].Text != "temp²" || got[1].Unit != "lbf per degF2" {
		t.Errorf("the effect of the square is %v", got)
	}
}
