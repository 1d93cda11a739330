package plans

import (
	"errors"
	"testing"

	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// What a plan cannot be is said with the end of what was looked through, which is nearer for shares that are counted,
// and with a way out that goes with what was asked.
func TestPlanProblem(t *testing.T) {
	name := &phrase.Name{Text: "odds1"}
	const counted = "that takes more than a workshop can make: over 395 specimens of each kind"
	const all = "that takes more than a workshop can make: over 2000 specimens of each kind"
	const larger = "look for a larger difference, or take a smaller chance"
	for _, c := range []struct {
		subject       phrase.PlanSubject
		code          string
		message, hint string
		at            int
	}{
		{phrase.PlanModes{}, "out-of-reach", counted, larger, 0},
		{phrase.PlanModes{Odds: name}, "out-of-reach", all, larger, 0},
		{phrase.PlanMeans{}, "out-of-reach", all, larger, 0},
		{phrase.PlanLimit{}, "out-of-reach", all, "name a wider margin, or take a smaller chance", 0},
		{phrase.PlanModes{To: phrase.Amount{At: 9}}, "no-difference", "there is no difference to look for",
			"name two shares that differ", 9},
		{phrase.PlanModes{A: phrase.ColumnRef{Column: "pins", At: 7}}, "too-few-levels",
			"there is one level only, so nothing to compare", "", 7},
		{phrase.PlanLimit{}, "too-few-levels", "there is one level only, so nothing to compare", "", 0},
	} {
		var p *page.Problem
		if err := planProblem(c.subject, &plan.Error{Code: c.code}); !errors.As(err, &p) || p.Message != c.message ||
			p.Hint != c.hint || p.At != c.at {
			t.Errorf("%T %s: %+v, want %q, %q at %d", c.subject, c.code, p, c.message, c.hint, c.at)
		}
	}
}
