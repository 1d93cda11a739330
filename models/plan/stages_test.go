package plan

import (
	"errors"
	"math"
	"testing"

	"breakbook/models/stages"
)

func staged(levels, number int, spending stages.Spending, delta float64) Stages {
	return Stages{Number: number, Spending: spending, Means: Means{Levels: []int{levels}, Delta: delta, SD: 1,
		HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}}
}

// The chance to be below a stage's p by each stage, nobody stopping for another reason, counted by numpy 1.24.2
// and scipy 1.10.1 over 400,000 series of normal loads (testdata/reference/stages.py; the count is good to
// 0.0016). What the program works out takes the looks as jointly normal: up to 1.3 percentage points too little where
// four a level make a stage, and never too much.
func TestChancesOfStagesAgainstCounts(t *testing.T) {
	for _, c := range []struct {
		levels, each, number int
		delta                float64
		spending             stages.Spending
		by                   []float64
	}{
		{2, 4, 2, 1.5, stages.Late, []float64{0.0666, 0.7941}},
		{2, 4, 2, 1.5, stages.Evenly, []float64{0.2924, 0.7503}},
		{2, 8, 3, 0.9, stages.Late, []float64{0.011, 0.4612, 0.8575}},
		{2, 8, 3, 0.9, stages.Evenly, []float64{0.2196, 0.5772, 0.8181}},
		{4, 5, 3, 1.3, stages.Late, []float64{0.0059, 0.3916, 0.8286}},
		{4, 5, 3, 1.3, stages.Evenly, []float64{0.1553, 0.5065, 0.7854}},
	} {
		s := staged(c.levels, c.number, c.spending, c.delta)
		m, err := s.marked(c.each * c.number)
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.stop {
			m.stop[i] = math.NaN()
		}
		sum := 0.0
		for i, e := range m.ends(s.seen(m, s.Delta, s.SD, 0)) {
			if sum += e.differs; sum < c.by[i]-0.013 || sum > c.by[i]+0.0025 {
				t.Errorf("%+v, stage %d: %.4f, not %.4f", c, i+1, sum, c.by[i])
			}
		}
	}
}

// One stage is the plan for means itself.
func TestOneStageIsThePlanForMeans(t *testing.T) {
	s := staged(2, 1, stages.Late, 0.8)
	want, err := s.Means.Least()
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Least()
	if err != nil || got.PerLevel != want.PerLevel || !(math.Abs(got.Chance-want.Chance) <= 1e-9) ||
		!(math.Abs(got.Detectable-want.Detectable) <= 1e-6) {
		t.Errorf("%+v, %v, not %+v", got, err, want)
	}
}

// A course ends with the chance of its size, spends the error and no more, and takes no more specimens on
// average than there are; those of fewer stages are no fewer than its first.
func TestCourse(t *testing.T) {
	for _, levels := range []int{2, 5} {
		for _, number := range []int{2, 8 - levels} {
			for _, spending := range []stages.Spending{stages.Late, stages.Evenly} {
				s := staged(levels, number, spending, 1)
				size, err := s.Least()
				if err != nil {
					t.Fatal(err)
				}
				if size.Chance < 0.8 || size.PerLevel%number != 0 {
					t.Errorf("%d levels, %d stages: %+v", levels, number, size)
				}
				if fewer, err := s.At(size.PerLevel - number); err == nil && fewer.Chance >= 0.8 {
					t.Errorf("%d levels, %d stages: %d a level are enough", levels, number, fewer.PerLevel)
				}
				if m, err := s.marked(size.PerLevel); err != nil || !(math.Abs(s.chance(m, size.Detectable, 1,
					0)-0.8) <= 1e-6) {
					t.Errorf("%d levels, %d stages: detectable %g, %v", levels, number, size.Detectable, err)
				}
				c, err := s.Course(size.PerLevel)
				if err != nil {
					t.Fatal(err)
				}
				last := c.Stages[number-1]
				if !(math.Abs(last.Chance-size.Chance) <= 1e-12) || last.N != size.N || !math.IsNaN(last.PStop) {
					t.Errorf("%d levels, %d stages: %+v, not %+v", levels, number, last, size)
				}
				for i, e := range c.Expected {
					if e < float64(c.Stages[0].N) || e > float64(size.N) {
						t.Errorf("%d levels, %d stages: %g specimens expected at truth %d", levels, number, e, i)
					}
				}
				for i, one := range c.Stages[:number-1] {
					if !(one.PStop > one.PDiffers) || i > 0 && one.PStop > c.Stages[i-1].PStop {
						t.Errorf("%d levels, stage %d of %d: %+v", levels, i+1, number, one)
					}
				}
			}
		}
	}
}

// The marks for stopping cost a series of the true difference no more than the plan may miss.
func TestMarksForStoppingCostLittle(t *testing.T) {
	for _, number := range []int{2, 3, 5} {
		s := staged(2, number, stages.Late, 0.9)
		size, err := s.Least()
		if err != nil {
			t.Fatal(err)
		}
		m, err := s.marked(size.PerLevel)
		if err != nil {
			t.Fatal(err)
		}
		stop := 0.0
		for _, e := range m.ends(s.seen(m, s.Delta, 1, 0)) {
			stop += e.stop
		}
		if stop > 0.2 {
			t.Errorf("%d stages: %.3f of such series stop without", number, stop)
		}
		for i := range m.stop {
			m.stop[i] = math.NaN()
		}
		if without := s.chance(m, s.Delta, 1, 0); without-size.Chance > 0.05 {
			t.Errorf("%d stages: the marks take the chance from %.3f to %.3f", number, without, size.Chance)
		}
	}
}

func TestStagesThatCannotBe(t *testing.T) {
	two := staged(2, 2, stages.Late, 1)
	two.Levels = []int{2, 3}
	far := staged(2, 2, stages.Late, 0.001)
	for code, s := range map[string]Stages{"stages-of-two-factors": two, "number-of-stages": staged(2, 11, stages.Late,
		1), "out-of-reach": far} {
		var e *Error
		if _, err := s.Least(); !errors.As(err, &e) || e.Code != code {
			t.Errorf("%v, not %s", err, code)
		}
	}
	var e *Error
	if _, err := staged(2, 3, stages.Late, 1).At(3); !errors.As(err, &e) || e.Code != "too-few-specimens" {
		t.Errorf("one a level at a stage: %v", err)
	}
	if _, err := staged(2, 3, stages.Late, 1).At(10); !errors.As(err, &e) || e.Code != "uneven-blocks" {
		t.Errorf("10 in three stages: %v", err)
	}
}
