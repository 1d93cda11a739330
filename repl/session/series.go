package session

import (
	"math"

	"breakbook/repl/page"
)

// Maybe is a text cell, or an empty one for no text.
func Maybe(s string) page.Cell {
	if s == "" {
		return page.Cell{}
	}
	return page.T(s)
}

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
