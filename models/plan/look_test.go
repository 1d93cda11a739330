package plan

import (
	"math"
	"testing"

	"breakbook/models/stages"
)

// A look after a planned stage has the plan's own marks.
func TestPlannedLookHasThePlansMarks(t *testing.T) {
	for _, spending := range []stages.Spending{stages.Late, stages.Evenly} {
		s := staged(2, 3, spending, 0.9)
		size, err := s.Least()
		if err != nil {
			t.Fatal(err)
		}
		c, err := s.Course(size.PerLevel)
		if err != nil {
			t.Fatal(err)
		}
		var taken []Taken
		for i, stage := range c.Stages {
			share := float64(stage.PerLevel) / float64(size.PerLevel)
			j, err := s.LookAt(size.PerLevel, share, taken, false)
			if err != nil {
				t.Fatal(err)
			}
			if j.Stage != i+1 || !(math.Abs(j.PDiffers-stage.PDiffers) <= 1e-9) || j.Last != (i == 2) ||
				!(math.Abs(j.PStop-stage.PStop) <= 1e-6) &&
					!(j.Last && math.IsNaN(j.PStop) && math.IsNaN(stage.PStop)) {
				t.Errorf("%+v, not %+v", j, stage)
			}
			if !math.IsNaN(j.Chance) || !math.IsNaN(j.AlarmsAtWhole) || len(j.Course) != 3 {
				t.Errorf("a planned look costs something: %+v", j)
			}
			taken = append(taken, Taken{share, j.Last})
		}
	}
}

// A look that nobody planned is given what the error spent allows, and takes it from those to come: all of them
// together stay at the error.
func TestUnplannedLook(t *testing.T) {
	s := staged(2, 2, stages.Evenly, 0.9)
	size, err := s.Least()
	if err != nil {
		t.Fatal(err)
	}
	j, err := s.LookAt(size.PerLevel, 0.75, []Taken{{0.5, false}}, false)
	if err != nil {
		t.Fatal(err)
	}
	if j.Stage != 0 || j.Last || !(math.Abs(j.Spent-0.0375) <= 1e-12) || len(j.Course) != 3 {
		t.Errorf("%+v", j)
	}
	if !(j.Chance < j.ChanceWithout) || !(j.LastP < j.LastPWithout) || j.ChanceWithout-j.Chance > 0.03 {
		t.Errorf("cost: %+v", j)
	}
	var at, p []float64
	for _, m := range j.Course {
		at, p = append(at, m.Share), append(p, m.PDiffers)
	}
	if all := stages.FalseAlarms(1, at, p); !(math.Abs(all[2]-0.05) <= 1e-9) {
		t.Errorf("false alarms %v", all)
	}
	if j.AlarmsAtWhole < 0.09 || j.AlarmsAtWhole > 0.107 {
		t.Errorf("three looks at 5 %%: %g", j.AlarmsAtWhole)
	}
}

// Half way through a plan of one stage, looking then and at the end at 5 % each gives 0.083 (Armitage, McPherson and
// Rowe 1969, table 2, from memory); judged by the late shape nearly nothing is spent.
func TestLookAtAPlanOfOneStage(t *testing.T) {
	s := staged(2, 1, stages.Late, 0.9)
	j, err := s.LookAt(20, 0.5, nil, false)
	if err != nil || !(math.Abs(j.AlarmsAtWhole-0.083) <= 0.0005) || !(math.Abs(j.PDiffers-0.00305) <= 0.00001) ||
		!(math.Abs(j.LastP-0.0490) <= 0.0001) || !(math.Abs(j.LastPWithout-0.05) <= 1e-9) {
		t.Errorf("%+v, %v", j, err)
	}
}

// The last look spends all that is left, with a few specimens less or more than planned; after it there is nothing.
func TestLastLook(t *testing.T) {
	s := staged(2, 2, stages.Late, 0.9)
	for _, c := range []struct {
		share  float64
		taken  []Taken
		closed bool
		last   bool
		nought bool
	}{
		{22.0 / 24, []Taken{{0.5, false}}, true, true, false},
		{22.0 / 24, []Taken{{0.5, false}}, false, false, false},
		{20.0 / 24, []Taken{{0.5, false}}, true, false, false},
		{26.0 / 24, []Taken{{0.5, false}}, false, true, false},
		{1, nil, false, true, false},
		{1.2, []Taken{{0.5, false}, {1, true}}, false, true, true},
		{1, []Taken{{0.5, false}, {22.0 / 24, true}}, true, true, true},
		{1, []Taken{{0.5, false}, {22.0 / 24, false}}, true, true, false},
	} {
		j, err := s.LookAt(24, c.share, c.taken, c.closed)
		if err != nil {
			t.Fatal(err)
		}
		if j.Last != c.last || (j.PDiffers == 0) != c.nought || c.last && !(math.Abs(j.Spent-0.05) <= 1e-12) {
			t.Errorf("%+v: %+v", c, j)
		}
		if c.nought && !(j.AlarmsAtWhole > 0.05) {
			t.Errorf("a look after the end costs %g", j.AlarmsAtWhole)
		}
	}
}
