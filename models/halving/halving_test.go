package halving

import (
	"math"
	"testing"
)

func TestBetweenLeavesNeighbours(t *testing.T) {
	last, first := Between(0, 2, 100, func(x float64) bool { return x*x >= 2 })
	if first != math.Sqrt2 || last != math.Nextafter(first, 0) {
		t.Errorf("√2 between %v and %v", last, first)
	}
	// downwards, from 0 where it is false to −4 where it is true
	last, first = Between(0, -4, 200, func(x float64) bool { return x <= -3 })
	if first != -3 || last != math.Nextafter(-3, 0) {
		t.Errorf("−3 between %v and %v", last, first)
	}
	if last, first = Between(0, 1, 3, func(x float64) bool { return x >= 0.3 }); last != 0.25 || first != 0.375 {
		t.Errorf("three rounds left %v and %v", last, first)
	}
}

func TestBeyondGoesOutFirst(t *testing.T) {
	if last, first := Beyond(0, 1, 1e9, 200, func(x float64) bool { return x >= 1000 }); first != 1000 ||
		last != math.Nextafter(1000, 0) {
		t.Errorf("1000 between %v and %v", last, first)
	}
	if last, first := Beyond(0, 1, 64, 200, func(x float64) bool { return x >= 100 }); last == last || first == first {
		t.Errorf("beyond the most there is %v and %v", last, first)
	}
}

func TestWhole(t *testing.T) {
	for want := 3; want <= 40; want++ {
		asked := 0
		if got := Whole(3, 40, func(n int) bool { asked++; return n >= want }); got != want || asked > 6 {
			t.Errorf("%d, want %d, asked %d times", got, want, asked)
		}
	}
	if got := Whole(0, uint64(math.MaxUint64), func(n uint64) bool { return n >= 1<<63+5 }); got != 1<<63+5 {
		t.Errorf("%d of the large ones", got)
	}
}

// The real root of x³ − 2x − 5, the example of Wallis and Newton, is OEIS A007493 (digits from memory; the
// cubic changes its sign there from one double to the next but one).
func TestRoot(t *testing.T) {
	const newton = 2.0945514815423265
	cubic := func(x float64) float64 { return x*x*x - 2*x - 5 }
	if cubic(newton-1e-15) >= 0 || cubic(newton+1e-15) <= 0 {
		t.Error("the cubic does not pass zero there")
	}
	for _, c := range []struct {
		near Near
		off  float64
	}{
		{Near{Share: 1e-15}, 1e-15}, {Near{Value: 1e-6}, 1e-6 / 11}, // its slope is 11.2 there
		{Near{Width: 1e-3}, 1e-3}, {Near{Width: math.SmallestNonzeroFloat64}, 1e-15},
	} {
		if got := Root(cubic, 2, 3, c.near); !(math.Abs(got-newton) <= c.off) {
			t.Errorf("%+v: %v, which is off by %g", c.near, got, got-newton)
		}
	}
	asked := 0
	steep := func(x float64) float64 { asked++; return math.Expm1(50 * (x - 0.1)) } // one end stays for long
	if got := Root(steep, 0, 1, Near{Share: 1e-12}); !(math.Abs(got-0.1) <= 1e-12) || asked > 100 {
		t.Errorf("%v after asking %d times", got, asked)
	}
	asked = 0 // the same turned round: the lower end stays
	turned := func(x float64) float64 { asked++; return -math.Expm1(50 * (0.9 - x)) }
	if got := Root(turned, 0, 1, Near{Share: 1e-12}); !(math.Abs(got-0.9) <= 1e-12) || asked > 100 {
		t.Errorf("turned round, %v after asking %d times", got, asked)
	}
	if got := Root(func(x float64) float64 { return x - 0.75 }, 0.5, 1, Near{}); got != 0.75 {
		t.Errorf("a straight line passes zero at %v", got)
	}
}

// The digits that are right grow by a factor of 3^(1/3) a step (Dowell and Jarratt 1971, BIT 11, from memory), so that
// a value within 1e-12 takes few steps; halving takes more than 40 to where the cubic, whose slope is 11, is so small.
// Where less is asked for, the search ends sooner.
func TestRootTakesFewSteps(t *testing.T) {
	steps := func(near Near) int {
		asked := 0
		Root(func(x float64) float64 { asked++; return x*x*x - 2*x - 5 }, 2, 3, near)
		return asked
	}
	if n := steps(Near{Value: 1e-12}); n > 12 {
		t.Errorf("twelve digits took %d steps", n)
	}
	all := steps(Near{})
	for _, near := range []Near{{Width: 1e-3}, {Share: 1e-3}, {Value: 1e-3}} {
		if n := steps(near); n >= all || n > 12 {
			t.Errorf("%+v took %d steps, to the last digit it is %d", near, n, all)
		}
	}
	asked := 0 // never zero: the search ends between two neighbours
	got := Root(func(x float64) float64 { asked++; return x*x - 2 }, 1, 2, Near{})
	if !(math.Abs(got-math.Sqrt2) <= 3e-16) || asked > 80 {
		t.Errorf("√2 is %v after %d steps", got, asked)
	}
}
