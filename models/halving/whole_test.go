package halving_test

import (
	"math/bits"
	"testing"

	"breakbook/models/halving"
)

// The least whole number of every short range is found, asked about inside the range alone and no more often than
// halving takes: once for every binary digit of how many numbers there are before the last.
func TestWholeIsFoundInsideItsRange(t *testing.T) {
	for low := -3; low <= 5; low++ {
		for high := low; high <= low+20; high++ {
			for first := low; first <= high; first++ {
				asked := 0
				got := halving.Whole(low, high, func(n int) bool {
					asked++
					if n < low || n >= high || asked > bits.Len(uint(high-low)) {
						t.Fatalf("%d to %d: asked about %d, time %d", low, high, n, asked)
					}
					return n >= first
				})
				if got != first {
					t.Fatalf("%d to %d: %d, want %d", low, high, got, first)
				}
			}
		}
	}
}
