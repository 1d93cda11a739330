package bench

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/repair"
)

// asTyped is what a hint offers to type; "" where it is no line.
func asTyped(hint string) string {
	line, _ := strings.CutPrefix(hint, "Try: ")
	return line
}

// A fit that took a column as a number has no levels of it: once the column is a category, both the fit and the
// question are offered anew.
func TestAskingANumberOfAFitForItsLevels(t *testing.T) {
	for _, line := range []string{"plan load by thickness of fit1", "compare thickness of fit1",
		"adjusted thickness of fit1", "draw adjusted thickness of fit1 to x.png"} {
		b := newBench(t)
		b.run("open gates.csv", "fit load on thickness curved, pins", "fit load on pins as fit1_levels")
		b.s = typeAll(t, b.s, asTyped(b.wrong(line)))
		p := b.problem(line)
		if p.Message != "fit1 took thickness as a number, so it has no levels there" ||
			!strings.HasPrefix(p.Hint, "Try: fit break_load on thickness, pins as fit1_levels_2; ") {
			t.Errorf("%s: %q, %q", line, p.Message, p.Hint)
			continue
		}
		typeAll(t, b.s, asTyped(p.Hint))
	}
}

// wrong is the hint on a line that is no command, or on one that fails.
func (b *bench) wrong(line string) string {
	b.t.Helper()
	_, err := b.try(line)
	var p *page.Problem
	var read *phrase.Error
	switch {
	case errors.As(err, &p):
		return p.Hint
	case errors.As(err, &read):
		return read.Hint
	}
	b.t.Fatalf("%s: %v", line, err)
	return ""
}

// What is offered for a line works, or is none; the condition is spoken of where there is one.
func TestHintsThatWorkWhenTyped(t *testing.T) {
	b := newBench(t)
	var same strings.Builder
	same.WriteString("specimen,pins,density (kg/m3),load (N),failure,maker,force (N)\n")
	for i := range 12 {
		fmt.Fprintf(&same, "S%d,%s,600,500,glue,%s,%d\n", i, []string{"none", "pair"}[i%2], []string{"Ann", "Ben"}[i/6],
			500+i*i%7)
	}
	b.open("same", same.String())
	b.run("mark load as load", "treat maker as text")
	const widen = "widen the condition after `for`"
	for line, want := range map[string]string{
		"what drove load":                                   "look load",
		"what drove load for pins is none":                  widen,
		"what drove failure":                                "look failure",
		"what drove failure for pins is none":               widen,
		"odds failure on pins":                              "look failure",
		"odds failure is glue on pins":                      "name another level",
		"odds failure is glue on pins for density > 1":      "name another level, or " + widen,
		"count failure by pins":                             "name another column",
		"count failure by pins for pins is none":            "name another column, or " + widen,
		"share out failure is glue on pins":                 "look failure",
		"share out failure is glue on pins for density > 1": widen,
		"fit load on pins, density":                         "leave it out",
		"fit load on pins, density for density > 1":         "leave it out, or " + widen,
		"fit load on step(density)":                         "leave it out",
		"what drove force among maker":                      "treat maker as category",
		"average load by maker":                             "Try: treat maker as category",
		"compare load by maker":                             "Try: treat maker as category",
		"plan load by maker detecting 10%":                  "Try: treat maker as category",
		"average load by specimen":                          "columns with levels are pins, failure",
		"fit load until failure is glue for specimen is S1": "break more, or join ways of breaking with among, or " +
			widen,
	} {
		hint := b.wrong(line)
		if hint != want {
			t.Errorf("%s: %q, want %q", line, hint, want)
		}
		if first, _, _ := strings.Cut(asTyped(want), " "); first == "look" || first == "treat" {
			typeAll(t, b.s, asTyped(hint))
		}
	}
}

// Too few that failed in any way are offered to be counted by the first column with levels; a condition that leaves one
// level of what is asked about is nobody's meaning.
func TestHintsOfFewFailuresAndOfOneLevel(t *testing.T) {
	b := newBench(t)
	b.open("few", "specimen,density (kg/m3),pins,failure\n1,600,none,glue\n2,610,pair,wood\n3,620,none,wood\n"+
		"4,640,pair,wood\n5,650,none,wood\n6,630,pair,wood\n7,645,none,wood\n8,655,pair,glue\n9,615,none,wood\n"+
		"10,605,pair,wood\n11,601,none,wood\n12,609,pair,wood\n")
	hint := b.wrong("what drove failure for density > 1")
	if hint != "count failure by pins for density > 1" {
		t.Errorf("few: %q", hint)
	} else {
		b.run(hint)
	}
	b.run("open gates.csv")
	for _, line := range []string{"odds failure is glue on pins against none", "odds failure on pins against none"} {
		if got := repair.Line(line, b.s); got != "" {
			t.Errorf("%s: %q is offered, with one level of pins", line, got)
		}
	}
}
