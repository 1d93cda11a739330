package frames

import (
	"testing"

	"pgregory.net/rapid"
)

func TestRoundestIsBetween(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		low := rapid.Float64Range(-1e6, 1e6).Draw(r, "low")
		high := low + rapid.Float64Range(1e-6, 1e4).Draw(r, "gap")
		if x := roundest(low, high); high > low && !(x > low && x <= high) {
			r.Fatalf("%v is not between %v and %v", x, low, high)
		}
	})
}
