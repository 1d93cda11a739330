package compare

import (
	"context"
	"math"
	"slices"

	"breakbook/models/halving"
	"breakbook/models/parallel"
)

// shifts are all differences of a value of the second level less one of the first, as if
// sorted; they are never written out, so that many specimens take little room.
type shifts struct {
	ctx           context.Context
	first, second []float64
}

func newShifts(ctx context.Context, first, second []float64) shifts {
	s := shifts{ctx, slices.Clone(first), slices.Clone(second)}
	parallel.Sort(ctx, s.first)
	parallel.Sort(ctx, s.second)
	return s
}

func (s shifts) len() int { return len(s.first) * len(s.second) }

// at is the c-th smallest shift, c from 1: the smallest number that c shifts do not exceed,
// found by halving all numbers there are.
func (s shifts) at(c int) float64 {
	low := numbered(s.second[0] - s.first[len(s.first)-1])
	high := numbered(s.second[len(s.second)-1] - s.first[0])
	least := halving.Whole(low, high, func(n uint64) bool {
		parallel.Look(s.ctx)
		return s.upTo(number(n)) >= c
	})
	return number(least) + 0 // never −0
}

// upTo counts the shifts that do not exceed x.
func (s shifts) upTo(x float64) int {
	count, at := 0, 0 // the larger a, the more of the second level lies within a + x
	for _, a := range s.first {
		for at < len(s.second) && s.second[at]-a <= x {
			at++
		}
		count += at
	}
	return count
}

// middle is the median of the shifts.
func (s shifts) middle() float64 {
	n := s.len()
	if n%2 == 1 {
		return s.at((n + 1) / 2)
	}
	low, high := s.at(n/2), s.at(n/2+1)
	return low + (high-low)/2
}

// numbered counts the doubles in their order; number is the double so counted.
func numbered(x float64) uint64 {
	b := math.Float64bits(x)
	if b>>63 == 1 {
		return ^b
	}
	return b | 1<<63
}

func number(n uint64) float64 {
	if n>>63 == 1 {
		return math.Float64frombits(n &^ (1 << 63))
	}
	return math.Float64frombits(^n)
}
