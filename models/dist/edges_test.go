package dist

import (
	"context"
	"math"
	"testing"
)

// What every distribution says at the ends of its range, and of what is no argument, is by its definition.
func TestEndsOfTheRange(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	three, none, loose := NewStudentisedRange(3, 10), NewStudentisedRange(1, 10), NewStudentisedRange(3, 0)
	phi := 0.8413447460685429 // normal area below 1: Abramowitz & Stegun (1964), table 26.1
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"t at 0", TwoSidedT(0, 3), 1}, {"t without end", TwoSidedT(-inf, 3), 0}, {"no t", TwoSidedT(nan, 3), nan},
		{"t of no freedom", TwoSidedT(1, 0), nan},
		{"F at 0", FTail(0, 2, 3), 1}, {"F below 0", FTail(-1, 2, 3), 1}, {"F without end", FTail(inf, 2, 3), 0},
		{"F of no freedom above", FTail(1, 0, 3), nan}, {"F of none below", FTail(1, 2, 0), nan},
		{"F of all freedom above", FTail(1, inf, 3), nan}, {"no F", FTail(nan, 2, 3), nan},
		{"chi-square at 0", ChiSquareTail(0, 3), 1}, {"chi-square below 0", ChiSquareTail(-2, 3), 1},
		{"chi-square without end", ChiSquareTail(inf, 3), 0}, {"chi-square of no freedom", ChiSquareTail(1, 0), nan},
		{"chi-square of all freedom", ChiSquareTail(1, inf), nan}, {"no chi-square", ChiSquareTail(nan, 3), nan},
		{"t's point at 0", TQuantile(0, 3), -inf}, {"t's point at 1", TQuantile(1, 3), inf},
		{"t's middle", TQuantile(0.5, 3), 0}, {"t's point below 0", TQuantile(-0.1, 3), nan},
		{"t's point above 1", TQuantile(1.1, 3), nan}, {"t's point of no freedom", TQuantile(0.9, 0), nan},
		{"t's point of no chance", TQuantile(nan, 3), nan},
		{"noncentral t at 0", NoncentralTTail(0, 4, 1), phi},
		{"noncentral t at 0, below", NoncentralTTail(0, 4, -1), 1 - phi},
		{"noncentral t without end", NoncentralTTail(inf, 4, 1), 0}, {"and below", NoncentralTTail(-inf, 4, 1), 1},
		{"noncentral t of no freedom", NoncentralTTail(1, 0, 1), nan},
		{"no noncentral t", NoncentralTTail(nan, 4, 1), nan},
		{"noncentral t of no effect", NoncentralTTail(1, 4, nan), nan},
		{"of an endless one", NoncentralTTail(1, 4, inf), nan},
		{"noncentral F at 0", NoncentralFTail(0, 3, 5, 2), 1}, {"and below", NoncentralF(0, 3, 5, 2), 0},
		{"noncentral F without effect", NoncentralFTail(2, 3, 5, 0), FTail(2, 3, 5)},
		{"noncentral F of an endless one", NoncentralFTail(2, 3, 5, inf), nan},
		{"noncentral F of less than none", NoncentralFTail(2, 3, 5, -1), nan},
		{"noncentral F of no freedom", NoncentralFTail(2, 0, 5, 1), nan},
		// scipy 1.10.1: ncx2.sf(7.5, 3, 4.5) and ncx2.cdf
		{"noncentral chi-square", NoncentralFTail(2.5, 3, inf, 4.5), 0.4239590666057103},
		{"and below", NoncentralF(2.5, 3, inf, 4.5), 0.5760409333942894},
		{"range at 0", three.Tail(0), 1},
		{"range below 0", three.Tail(-1), 1},
		{"range without end", three.Tail(inf), 0},
		{"no range", three.Tail(nan), nan},
		{"range of one", none.Tail(1), nan},
		{"range of no freedom", loose.Tail(1), nan},
		{"below a range of 0", three.CDF(0), 0}, {"below one without end", three.CDF(inf), 1},
		{"below none", three.CDF(nan), nan}, {"below a range of one", none.CDF(1), nan},
		{"point of a range at 0", three.Point(0), inf}, {"at 1", three.Point(1), 0}, {"above 1", three.Point(1.5), nan},
		{"point of a range below 0", three.Point(-0.1), nan}, {"of no chance", three.Point(nan), nan},
		{"point of a range of one", none.Point(0.05), nan}, {"point of a range of no freedom", loose.Point(0.05), nan},
		{"inside of no freedom", InsideChance(3, 2, 0), nan}, {"inside of no limit", InsideChance(nan, 2, 5), nan},
		{"inside of no interval", InsideChance(3, 0, 5), nan}, {"inside 0", InsideChance(0, 2, 5), 0},
		// By chance alone |t| of 10 passes 0.7 in half of all series, so that any smaller chance needs no difference.
		{"what passes anyway", NoncentralityFor(0.4, 0.7, 10), 0}, {"of no freedom", NoncentralityFor(0.8, 2, 0), nan},
		{"of no critical value", NoncentralityFor(0.8, nan, 10), nan},
		{"of an endless one", NoncentralityFor(0.8, inf, 10), nan},
	} {
		if math.IsNaN(c.want) != math.IsNaN(c.got) || c.got != c.want && !math.IsNaN(c.want) &&
			!(math.Abs(c.got-c.want) <= 1e-14) {
			t.Errorf("%s: %.16g, want %.16g", c.what, c.got, c.want)
		}
	}
}

// The chance of an interval inside limits, by scipy 1.10.1: the normal area within what the interval leaves of the
// limit, integrated (quad) over the density of the sd, from chi2.
func TestInsideChanceAgainstAnIntegration(t *testing.T) {
	for _, c := range []struct{ limit, critical, df, want float64 }{
		{3, 2, 10, 0.6647969498659797},
		{2.5, 1.2, 3, 0.7930484965822728},
		{4, 2.2281388519649385, 10, 0.8977143616289149},
		{1.5, 1, 40, 0.3851302572714863},
		{6, 3, 1, 0.910431658777606},
	} {
		if got := InsideChance(c.limit, c.critical, c.df); !(math.Abs(got-c.want) <= 1e-10) {
			t.Errorf("limit %g, critical %g, df %g: %.12g, want %.12g", c.limit, c.critical, c.df, got, c.want)
		}
	}
}

// Many to one at the ends of its range, and of correlations that are none.
func TestManyToOneAtItsEnds(t *testing.T) {
	m := NewManyToOne(fromLoads([]float64{0.7, 0.7, 0.7}), 12)
	for x, want := range map[float64]float64{0: 1, -1: 1, math.Inf(1): 0} {
		if got, _ := m.Tail(context.Background(), x); got != want {
			t.Errorf("tail at %g: %g", x, got)
		}
	}
	if got, _ := m.Tail(context.Background(), math.NaN()); !math.IsNaN(got) {
		t.Errorf("tail of no number: %g", got)
	}
	for _, tail := range []float64{-0.1, 1.5, math.NaN()} {
		if got := m.Point(context.Background(), tail); !math.IsNaN(got) {
			t.Errorf("point at %g: %g", tail, got)
		}
	}
	for tail, want := range map[float64]float64{0: math.Inf(1), 1: 0} {
		if got := m.Point(context.Background(), tail); got != want {
			t.Errorf("point at %g: %g", tail, got)
		}
	}
}
