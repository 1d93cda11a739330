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
