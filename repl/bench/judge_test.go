package bench

import (
	"math"
	"strings"
	"testing"
)

// The p of a judged series is that of the same terms and blocks fitted by hand.
func TestALookIsByThePlansOwnTerms(t *testing.T) {
	for _, c := range [][2]string{
		{"plan load by place detecting 40 kgf spread 40 kgf in 2 stages", "anova load on place"},
		{"plan load by pins detecting 40 kgf spread 40 kgf in 3 stages", "anova load on pins"},
		{"fit load on pins, density, place; plan load by pins detecting 40 kgf of fit1 in 2 stages",
			"anova load on pins, density, place"},
		{"mark board as block; plan load by pins detecting 40 kgf in 2 stages", "anova load on pins blocked by board"},
	} {
		plan, fit := c[0], c[1]
		b := newBench(t)
		b.run("open gates.csv")
		b.run(strings.Split(plan, "; ")...)
		looked := numberOf(b.run("judge plan1 so far"), "p")
		row := b.run(fit).Tables[0].Rows[0]
		if p := row[len(row)-2].Num; math.Abs(looked-p) > 1e-9*p {
			t.Errorf("%s: p %g, by %s %g", plan, looked, fit, p)
		}
	}
}

// Every look at a plan counts at those after it, whatever series it was made at; a plan that has ended says so.
func TestLooksAreRemembered(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "plan load by place detecting 40 kgf spread 40 kgf in 2 stages", "open gates.csv as most")
	first := b.run(`judge plan1 so far for not board among K1, K2, K3`)
	second := b.run("judge plan1 so far from gates")
	if numberOf(first, "share") >= numberOf(second, "share") {
		t.Fatalf("shares %g and %g", numberOf(first, "share"), numberOf(second, "share"))
	}
	looks := second.Tables[0].Rows
	found := 0
	for _, row := range looks {
		if p := row[len(row)-1]; p.Num == numberOf(first, "p") || p.Num == numberOf(second, "p") {
			found++
		}
	}
	if found != 2 {
		t.Errorf("%d looks with a p in %v", found, looks)
	}
	again := b.run("again judge2")
	if numberOf(again, "p_differs") != numberOf(second, "p_differs") {
		t.Errorf("made again, the look has p %g, not %g", numberOf(again, "p_differs"), numberOf(second, "p_differs"))
	}
	b.run("plan load by place detecting 90 kgf spread 40 kgf in 2 stages",
		`judge plan2 so far for not board among K1, K2, K3`)
	over := b.run("judge plan2 so far")
	answer := over.Values[0].Cell.Text
	if said := words(over.Findings); answer != "the plan has ended" || !strings.Contains(said, "used up") {
		t.Errorf("a look after the last says %q", said)
	}
}
