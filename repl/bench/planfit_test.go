package bench

import (
	"strings"
	"testing"
)

// A plan of a fit goes by the specimens of the fit: a condition of its own is refused, with its place.
func TestPlanOfAFitTakesNoCondition(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins")
	line := "plan load by pins of fit1 for place is shed"
	e, err := b.try(line)
	if err == nil || e.Problem == nil || e.Problem.Code != "two-samples" ||
		e.Problem.At != strings.Index(line, "place")+1 {
		t.Errorf("%s: %v, %+v", line, err, e.Problem)
	}
	b.run("plan load by pins of fit1")
}
