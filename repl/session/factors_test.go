package session

import (
	"testing"

	"breakbook/models/verdict"
)

// What differs by less than is worth having, but not among so many factors, still makes no difference worth having;
// what may differ by more cannot be told.
func TestDecideAmongManyFactors(t *testing.T) {
	less, none, differs := verdict.DiffersLessThanWorth, verdict.NoDifferenceWorth, verdict.Differs
	for _, c := range []struct {
		answers []verdict.Answer
		joined  float64
		want    verdict.Answer
		alone   bool
	}{
		{[]verdict.Answer{less}, 0.04, less, false},
		{[]verdict.Answer{less}, 0.06, none, false},
		{[]verdict.Answer{less, none}, 0.06, none, false},
		{[]verdict.Answer{less, verdict.CannotTell}, 0.06, verdict.CannotTell, true},
		{[]verdict.Answer{differs}, 0.04, differs, false},
		{[]verdict.Answer{differs, none}, 0.06, verdict.CannotTell, true},
		{[]verdict.Answer{none}, 0.9, none, false},
		{[]verdict.Answer{verdict.CannotTell}, 0.01, verdict.CannotTell, false},
	} {
		var d Driven
		if d.Decide(c.answers, c.joined, 0.05); d.Answer != c.want || d.DiffersAlone != c.alone {
			t.Errorf("%v at %g: %v, alone %v", c.answers, c.joined, d.Answer, d.DiffersAlone)
		}
	}
}
