// Package halving finds where a statement begins to hold by halving the range it begins to
// hold in: in come the range and the statement, out come the two ends that are left.
package halving

import "math"

// Between narrows the range from low, where holds is false, to high, where it is true: half
// of it goes each time, until no number lies between the ends or the rounds are through.
// It takes the ends at their word. High may be the smaller one.
func Between(low, high float64, rounds int, holds func(x float64) bool) (last, first float64) {
	for range rounds {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return low, high
}

// Beyond doubles high until holds is true there, then narrows as Between does, from where it
// was last false: at low or further out. NaN twice, once high passes most.
func Beyond(low, high, most float64, rounds int, holds func(x float64) bool) (last, first float64) {
	for !holds(high) {
		low = high
		if high *= 2; high > most {
			return math.NaN(), math.NaN()
		}
	}
	return Between(low, high, rounds, holds)
}

// Whole is the least n from low to high for which holds is true; it is true from there on,
// and taken to be at high.
func Whole[N int | uint64](low, high N, holds func(n N) bool) N {
	for low < high {
		if mid := low + (high-low)/2; holds(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return low
}
