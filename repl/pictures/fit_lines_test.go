package pictures

import (
	"slices"
	"testing"
)

// A line is computed at even steps and wherever it turns between its ends, each place once and in order.
func TestStepsAlong(t *testing.T) {
	even := stepsAlong(10, 20, nil)
	if len(even) != lineSteps+1 || even[0] != 10 || even[lineSteps] != 20 || !slices.IsSorted(even) {
		t.Fatalf("even steps %v", even)
	}
	for _, c := range []struct {
		turn float64
		more int
	}{{10.01, 1}, {19.99, 1}, {15.003, 1}, {10, 0}, {20, 0}, {9.9, 0}, {20.1, 0}} {
		got := stepsAlong(10, 20, []float64{c.turn, c.turn})
		if len(got) != len(even)+c.more || c.more == 1 && !slices.Contains(got, c.turn) || !slices.IsSorted(got) {
			t.Errorf("with a turn at %v: %d places, want %d", c.turn, len(got), len(even)+c.more)
		}
	}
}
