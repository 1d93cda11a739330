package bench

import "testing"

// TestResultIsNeverAFactor: a column marked as a result is refused as a term, with the line
// that makes it one, and several columns may be marked so.
func TestResultIsNeverAFactor(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "mark density as result", "mark cure_temp as result")
	for _, line := range []string{"fit load on pins, density", "odds failure is glue on density",
		"share out load on pins, cure_temp",
		"fit load until failure is glue on density"} {
		e, _ := b.try(line)
		if e.Problem == nil || e.Problem.Code != "result-as-factor" {
			t.Errorf("%s: %+v", line, e.Problem)
		}
	}
	if e, _ := b.try("fit load on pins, density"); e.Problem == nil || e.Problem.At != 19 ||
		e.Problem.Hint != "write mark density as given, if the blank had it before the test" {
		t.Errorf("%+v", e.Problem)
	}
	b.run("mark density as given", "fit load on pins, density")
}
