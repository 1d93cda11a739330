package judging

import (
	"math"
	"slices"
	"strings"
	"testing"

	"breakbook/models/plan"
	"breakbook/models/verdict"
	"breakbook/repl/phrase"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// What a look says follows from p against its two marks, and from the answers of the pairs.
func TestAnswer(t *testing.T) {
	const differs, cannot, none, less = verdict.Differs, verdict.CannotTell, verdict.NoDifferenceWorth,
		verdict.DiffersLessThanWorth
	planned := plan.Look{PDiffers: 0.01, PStop: 0.4}
	last := plan.Look{PDiffers: 0.045, PStop: math.NaN(), Last: true}
	for _, c := range []struct {
		look  plan.Look
		p     float64
		pairs []verdict.Answer
		want  string
	}{
		{planned, 0.009, []verdict.Answer{differs, cannot, cannot}, "differs"},
		{planned, 0.009, []verdict.Answer{cannot, cannot, cannot}, "differs"}, // shown by the test of all
		{planned, 0.009, []verdict.Answer{less, none, none}, less.Key()},
		{planned, 0.009, []verdict.Answer{less, cannot, none}, "differs"},
		{planned, 0.01, []verdict.Answer{less, none, none}, goOn},
		{planned, 0.2, []verdict.Answer{none, none, none}, none.Key()},
		{planned, 0.2, []verdict.Answer{none, cannot, none}, goOn},
		{planned, 0.4, []verdict.Answer{cannot}, goOn},
		{planned, 0.41, []verdict.Answer{cannot}, mayStop},
		{last, 0.2, []verdict.Answer{cannot}, cannot.Key()},
		{last, 0.044, []verdict.Answer{cannot}, "differs"},
		{plan.Look{Last: true}, 0.0001, []verdict.Answer{differs}, ended},
	} {
		j := judging{p: c.p, look: &c.look}
		for _, a := range c.pairs {
			j.pairs = append(j.pairs, comparedPair{answer: a})
		}
		if got := j.answer(); got != c.want {
			t.Errorf("p %v at %+v, pairs %v: %q, want %q", c.p, c.look, c.pairs, got, c.want)
		}
	}
}

// What is left goes to the next planned look that is not this one, level by level; after the last nothing is.
func TestRemaining(t *testing.T) {
	for _, c := range []struct {
		stages, perLevel int
		n                []int
		look             plan.Look
		each             []int
		says             string // of a series that goes on
	}{
		{3, 12, []int{4, 4}, plan.Look{Share: 1. / 3, Stage: 1}, []int{4, 4},
			"To the next look: 4 more of each of the levels of pins, 8 in all."},
		{3, 12, []int{5, 4}, plan.Look{Share: 4.44 / 12, Stage: 1}, []int{3, 4},
			"To the next look: 3 more of none, 4 more of pair, 7 in all."},
		{3, 12, []int{9, 9}, plan.Look{Share: 0.75}, []int{3, 3},
			"To the next look: 3 more of each of the levels of pins, 6 in all."},
		{2, 12, []int{9, 3}, plan.Look{Share: 4.5 / 12}, []int{0, 3},
			"To the next look: 0 more of none, 3 more of pair, 3 in all."},
		{1, 12, []int{6, 6}, plan.Look{Share: 0.5}, []int{6, 6},
			"To the end: 6 more of each of the levels of pins, 12 in all."},
		{3, 12, []int{12, 12}, plan.Look{Share: 1, Stage: 3, Last: true}, nil, ""},
	} {
		j := judging{n: c.n, look: &c.look, model: plan.Stages{Number: c.stages},
			of:   phrase.PlanMeans{ByLevels: phrase.ByLevels{A: phrase.ColumnRef{Column: "pins"}}},
			kept: &session.Plan{PerLevel: c.perLevel, Levels: [][]string{{"none", "pair"}}}}
		all, each := j.remaining()
		if sum := 0; !slices.Equal(each, c.each) {
			t.Errorf("%v of %d in %d stages: %v left, want %v", c.n, c.perLevel, c.stages, each, c.each)
		} else {
			for _, n := range each {
				sum += n
			}
			if all != sum {
				t.Errorf("%v of %d: %d left in all, want %d", c.n, c.perLevel, all, sum)
			}
		}
		if got := render.Prose(j.next(goOn, all, each), render.Options{Digits: 4}); got != c.says {
			t.Errorf("%v of %d: %q, want %q", c.n, c.perLevel, got, c.says)
		}
		if all == 0 {
			continue
		}
		want := "If you go on: " + c.says[strings.Index(c.says, ": ")+2:]
		if got := render.Prose(j.next(mayStop, all, each), render.Options{Digits: 4}); got != want {
			t.Errorf("may stop: %q", got)
		}
		if got := j.next("differs", all, each); got != nil {
			t.Errorf("of a series that has its answer: %q", got)
		}
	}
}

// A look that was not planned costs next to nothing while it takes less than half a per cent of the chance and less
// than 0.001 of the last mark.
func TestCost(t *testing.T) {
	for _, c := range []struct {
		chance, without, last, lastWithout float64
		want                               string
	}{
		{0.803, 0.8079, 0.0441, 0.04505,
			"the look costs next to nothing: the chance to show what was planned stays 80.3 %"},
		{0.803, 0.8081, 0.0441, 0.0441,
			"the look costs a little: the chance to show what was planned is 80.3 % in place of 81 %"},
		{0.803, 0.803, 0.044, 0.0451, "the last stage differs with p below 0.044 in place of 0.045"},
	} {
		j := judging{model: plan.Stages{Number: 2}, look: &plan.Look{Chance: c.chance, ChanceWithout: c.without,
			LastP: c.last, LastPWithout: c.lastWithout, AlarmsAtWhole: 0.083}}
		j.model.Confidence = 0.95
		got := strings.ReplaceAll(render.Prose(j.cost(), render.Options{Digits: 4}), "\u00a0", " ")
		if !strings.Contains(got, c.want) || !strings.HasSuffix(got,
			"Judged with p below 0.050 at every look, not 5 % "+
				"but 8.3 % of series without a difference would seem to have one.") {
			t.Errorf("%+v: %q, want %q", c, got, c.want)
		}
	}
	if got := (&judging{look: &plan.Look{Chance: math.NaN()}}).cost(); got != nil {
		t.Errorf("a planned look costs %q", got)
	}
}
