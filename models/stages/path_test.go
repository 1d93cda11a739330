package stages

import (
	"math"
	"testing"
)

// The panels are as fine as the narrower of the step into a stage and the one out of it asks for: with a correlation c
// its sd is √(1 − c²).
func TestSmallestStep(t *testing.T) {
	for stage, want := range []float64{0.6, 0.6, 0.28, 0.28} {
		if got := smallestStep([]float64{0.8, 0.6, 0.96}, stage); !(math.Abs(got-want) <= 1e-15) {
			t.Errorf("stage %d: %g, want %g", stage, got, want)
		}
	}
	if got := smallestStep(nil, 0); got != 1 {
		t.Errorf("one stage: %g, want 1", got)
	}
}
