package held

import "testing"

// A range that never holds the truth, and one that always does, are told as such.
func TestCoverageCounts(t *testing.T) {
	if holds(1, 2, 0.1, 10) || !holds(1, 1.1, 0.1, 10) {
		t.Error("holds")
	}
	// t with 10 degrees of freedom stays within 2.228 with chance 0.95 (Fisher's table).
	if !holds(0, 2.228, 1, 10) || holds(0, 2.229, 1, 10) {
		t.Error("the edge is not that of t")
	}
}
