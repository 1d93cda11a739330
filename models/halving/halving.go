// Package halving finds where a statement begins to hold by halving the range it begins to
// hold in, and where a function passes zero by cutting the range shorter: in come the range and
// the statement or the function, out come the ends that are left, or the place.
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

// Near is how near to the place a search for it may end, by whichever comes first; all zero, it ends at
// a function of exactly zero or between two neighbouring numbers.
type Near struct {
	Width float64 // of the range that is left
	Share float64 // the same, as a share of the size of its upper end
	Value float64 // size of the function: below it
}

// mostRounds is after how many steps Root ends wherever it is.
const mostRounds = 200

// Root is where f, below zero at low and above at high, passes zero: the false position, an end that
// stays twice counting half (Dowell and Jarratt 1971, BIT 11: the "Illinois" variant). It takes the ends
// at their word, and mostRounds steps at most.
func Root(f func(x float64) float64, low, high float64, near Near) float64 {
	fLow, fHigh := f(low), f(high)
	side := 0
	for round := 1; ; round++ {
		x := high - fHigh*(high-low)/(fHigh-fLow)
		if !(x > low && x < high) {
			x = low + (high-low)/2
		}
		y := f(x)
		if y == 0 || math.Abs(y) < near.Value || high-low <= max(near.Width, near.Share*math.Abs(high)) ||
			x == low || x == high || round == mostRounds {
			return x
		}
		if y < 0 {
			low, fLow = x, y
			if side < 0 {
				fHigh /= 2
			}
			side = -1
		} else {
			high, fHigh = x, y
			if side > 0 {
				fLow /= 2
			}
			side = 1
		}
	}
}
