package session

import (
	"math"

	"breakbook/repl/page"
)

// MinMax is the least and the largest of the values that exist.
func MinMax(v []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		if x == x {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	return lo, hi
}

// Seen is a value within a range, to a thousandth of the range or finer: what a conversion
// made of a round number has digits without end.
func Seen(x, lo, hi float64, unit string) page.Num {
	if d := 3 - math.Floor(math.Log10(hi-lo)); d >= 0 && d < 300 {
		x = math.Round(x*math.Pow(10, d)) / math.Pow(10, d)
	}
	return page.Num{Value: x, Unit: unit, Style: page.Exact}
}
