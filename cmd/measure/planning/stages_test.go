package planning

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/models/plan"
)

// keptStage is what a kept table says in the line of a plan and a truth, its cells as numbers; "–" is NaN.
func keptStage(t *testing.T, plan, truth string) []float64 {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "measured", "planning_stages.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		rest, ok := strings.CutPrefix(line, plan+" ")
		cells := strings.Fields(rest)
		if !ok || len(cells) == 0 || cells[0] != truth {
			continue
		}
		var out []float64
		for _, c := range cells[1:] {
			x := math.NaN()
			if _, err := fmt.Sscanf(strings.TrimSuffix(c, "%"), "%g", &x); err != nil && c != "–" {
				t.Fatalf("%s: %v", line, err)
			}
			out = append(out, x)
		}
		return out
	}
	t.Fatalf("no line of %s, %s", plan, truth)
	return nil
}

var truths = []string{"none", "half", "whole"}

// The kept table holds what stages promise: false answers over all looks in at most 5.5 % from four a level a stage
// on, the chance that is told to within two percentage points, as many specimens as are told, and intervals that hold
// the truth.
func TestKeptStagesKeepTheirPromises(t *testing.T) {
	for _, k := range stagedKinds() {
		s, err := k.model()
		if err != nil {
			t.Fatal(err)
		}
		course, err := s.Course(k.each * k.number)
		if err != nil {
			t.Fatal(err)
		}
		for at, truth := range truths {
			row := keptStage(t, k.name(), truth)
			seen, chance, counted, expected, made, held, all := row[0], row[1], row[2], row[3], row[4], row[5], row[6]
			if truth == "none" && seen > 5.5 {
				t.Errorf("%s: %.2f %% false", k.name(), seen)
			}
			if truth == "whole" && (math.Abs(chance-100*course.Chance) > 0.051 || math.Abs(chance-counted) > 2) {
				t.Errorf("%s: kept chance %.1f, counted %.1f, told today %.1f", k.name(), chance, counted,
					100*course.Chance)
			}
			if math.Abs(expected-course.Expected[at]) > 0.051 || math.Abs(made-expected) > 0.02*expected {
				t.Errorf("%s, %s: kept %.1f, counted %.1f, told today %.1f", k.name(), truth, expected, made,
					course.Expected[at])
			}
			if held < 94 || all < 94 {
				t.Errorf("%s, %s: intervals hold in %.1f and %.1f %%", k.name(), truth, held, all)
			}
		}
	}
}

// A count of as few as here agrees with the kept one.
func TestKeptStagesAgain(t *testing.T) {
	counts(t)
	const series = 1500
	for _, at := range []int{0, 3, 9} {
		k := stagedKinds()[at]
		s, err := k.model()
		if err != nil {
			t.Fatal(err)
		}
		var marks []plan.Look
		if marks, err = k.marks(s); err != nil {
			t.Fatal(err)
		}
		for truth, name := range truths {
			c, err := k.count(t.Context(), marks, s.Delta*float64(truth)/2, series, 77)
			if err != nil {
				t.Fatal(err)
			}
			row := keptStage(t, k.name(), name)
			near(t, k.name()+", "+name+", seen", c.going, float64(series), row[0])
			near(t, k.name()+", "+name+", differs", c.differs, float64(series), row[2])
			near(t, k.name()+", "+name+", held", c.holds, float64(series), row[5])
		}
	}
}

// So do series opened and judged by the program.
func TestKeptTypedPlansAgain(t *testing.T) {
	counts(t)
	const series = 60
	for _, at := range []int{2, 6} {
		k := typedPlans()[at]
		line, err := k.row(t.Context(), 20, series, 88)
		if err != nil {
			t.Fatal(err)
		}
		var seen, chance, counted float64
		if _, err := fmt.Sscanf(line, "%f%% %f%% %f%%", &seen, &chance, &counted); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		row := keptStage(t, k.name, "whole")
		near(t, k.name+", seen", int(math.Round(seen*series/100)), float64(series), row[0])
		near(t, k.name+", differs", int(math.Round(counted*series/100)), float64(series), row[2])
	}
	for _, k := range typedPlans() {
		if row := keptStage(t, k.name, "none"); row[0] > 8.5 { // 5.5 % and three standard errors of 500 series
			t.Errorf("%s: %.1f %% false", k.name, row[0])
		}
		for _, truth := range truths {
			if row := keptStage(t, k.name, truth); row[4] < 92 || row[5] < 92 {
				t.Errorf("%s, %s: intervals hold in %.1f and %.1f %%", k.name, truth, row[4], row[5])
			}
		}
	}
}
