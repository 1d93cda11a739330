package main

import (
	"math"
	"testing"

	"breakbook/cmd/measure/drove"
)

// What drove a failure is found as often as by tests that know the truth, within three points; factors that do
// nothing are told to differ in at most 5 % and what chance adds, as are pairs that do not go together.
func TestKeptDroveOfFailures(t *testing.T) {
	const inert, series = 1000, 500 // at least
	for _, f := range drove.Failures() {
		row := rowOf(t, measured(t, "drove.txt"), f.Name, 4)
		if less := row[0][1] - row[0][0]; less > most {
			t.Errorf("%s: found %.1f %%, %.1f by tests that know the truth", f.Name, row[0][0], row[0][1])
		}
		if bound := 5 + 300*math.Sqrt(0.05*0.95/inert); row[1][0] > min(bound, row[1][1]+most) {
			t.Errorf("%s: %.1f %% of what does nothing is told to differ", f.Name, row[1][0])
		}
		if bound := 1 + 300*math.Sqrt(0.01*0.99/series); row[3][0] > bound {
			t.Errorf("%s: %.1f %% tell a pair that does not go together", f.Name, row[3][0])
		}
	}
	if row := rowOf(t, measured(t, "drove.txt"), "combined", 4); row[2][0] < 95 {
		t.Errorf("the pair that goes together is told in %.1f %%", row[2][0])
	}
}

// The kept table has the shares that are counted today, within three and a half standard errors of a count of
// as few as here.
func TestDroveOfFailuresIsAsKept(t *testing.T) {
	counts(t)
	const series = 25
	for _, f := range drove.Failures() {
		asked, best, err := f.Count(t.Context(), series, 9001)
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		row, now := rowOf(t, measured(t, "drove.txt"), f.Name, 4), [2][]float64{asked.Percent(), best.Percent()}
		for column := range row {
			for i, kept := range row[column] {
				p := min(max(kept/100, 0.01), 0.99)
				if off := math.Abs(now[i][column]/100 - p); off > 3.5*math.Sqrt(p*(1-p)/series) {
					t.Errorf("%s, column %d, %d: kept %.1f %%, counted %.1f %%", f.Name, column, i, kept,
						now[i][column])
				}
			}
		}
	}
}
