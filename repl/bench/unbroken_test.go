package bench

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// unbrokenSeries has four specimens from each of twelve boards, two with none and two with a pair of pins: on five
// boards all broke in glue, on five all in wood, on two only those with a pair in glue. Beside them come specimens with
// pins as named that did not break.
func unbrokenSeries(unbroken ...string) string {
	var b strings.Builder
	b.WriteString("specimen,pins,board,failure\n")
	for i := range 48 {
		pins, mode := []string{"none", "pair"}[i%2], "wood"
		if board := i / 4; board < 5 || board < 7 && pins == "pair" {
			mode = "glue"
		}
		fmt.Fprintf(&b, "A%02d,%s,K%d,%s\n", i, pins, i/4+1, mode)
	}
	for i, pins := range unbroken {
		fmt.Fprintf(&b, "H%02d,%s,K%d,did not break\n", i, pins, i%12+1)
	}
	return b.String()
}

// How a specimen that did not break would fail is not known: what is asked of how specimens fail has the same answers,
// and the same doubts, as without it, and says so; how often a joint holds is asked of all.
func TestWhatDidNotBreakIsLeftOutOfHowSpecimensFail(t *testing.T) {
	b := newBench(t)
	b.open("broken", unbrokenSeries())
	b.open("held", unbrokenSeries("pair", "pair", "three", "three", "pair", "none"))
	const caution = "6 specimens did not break, and nothing is known of how they would: left out. Nothing is left of " +
		"pins three."
	b.run("switch to broken", "odds failure is glue on pins as odds_broken", "switch to held",
		"odds failure is glue on pins as odds_held")
	for _, line := range []string{"odds failure is glue on pins", "odds failure on pins",
		"share out failure is glue on pins",
		"what drove failure among pins", "what drove failure is glue among pins",
		"plan failure is glue by pins from 20% to 60% of odds_held"} {
		e := b.run(line)
		without := b.run("switch to broken", strings.Replace(line, "held", "broken", 1))
		b.run("switch to held")
		if !reflect.DeepEqual(e.Values, without.Values) || !sameRows(e, without) || e.Specimens.Used != 48 {
			t.Errorf("%s: %v of %d, want %v", line, e.Values, e.Specimens.Used, without.Values)
		}
		reported := strings.ReplaceAll(said(e), " for failure is not \"did not break\"", "")
		if want := strings.ReplaceAll(said(without), "of joints", "of the joints that broke"); line[0] == 'o' &&
			reported != want {
			t.Errorf("%s: %q, want %q", line, reported, want)
		}
		if line[0] != 'p' && (!warned(e, caution) || warned(without, "did not break")) {
			t.Errorf("%s: cautions %v", line, e.Cautions)
		}
	}
	e := b.run("odds failure is glue on pins")
	if _, then := doubtOf(e, "blocks", "board"); then != "differs" {
		t.Errorf("boards are not doubted: %q", then)
	}
	for _, d := range e.Doubts {
		typeAll(t, b.s, d.Try)
	}
	for _, line := range []string{`odds failure is "did not break" on pins`,
		`share out failure is "did not break" on pins`,
		`what drove failure is "did not break" among pins`, `odds failure on pins against "did not break"`} {
		if e := b.run(line); e.Specimens.Used != 54 || warned(e, "nothing is known") {
			t.Errorf("%s: of %d, %v", line, e.Specimens.Used, e.Cautions)
		}
	}
}

// sameRows reports whether the tables of two entries have the same cells.
func sameRows(a, b page.Entry) bool {
	for i, t := range a.Tables {
		if !reflect.DeepEqual(t.Rows, b.Tables[i].Rows) {
			return false
		}
	}
	return len(a.Tables) == len(b.Tables)
}

// Where one way of failing is left, or none, the problem says why, and offers to ask how often a joint holds.
func TestNothingIsLeftOfWhatBroke(t *testing.T) {
	b := newBench(t)
	b.open("held", unbrokenSeries("pair", "pair", "three", "three", "pair", "none"))
	const why = "(6 specimens did not break, and nothing is known of how they would: left out)"
	for line, want := range map[string]string{
		"odds failure is glue on pins for failure is not wood":      "odds",
		"odds failure on pins for failure is not wood":              "odds",
		"share out failure is glue on pins for failure is not wood": "share out",
		"what drove failure among pins for failure is not wood":     "what drove",
		"odds failure on pins for pins is three":                    "",
	} {
		p := b.problem(line)
		if want == "" {
			if p.Message != "none of these specimens broke (failure: did not break)" {
				t.Errorf("%s: %q", line, p.Message)
			}
			continue
		}
		if !strings.HasSuffix(p.Message, why) ||
			!strings.HasPrefix(p.Hint, want+` failure is "did not break"`) {
			t.Errorf("%s: %q, %q", line, p.Message, p.Hint)
			continue
		}
		b.run(p.Hint)
	}
	// What holds or none means in another column is another matter.
	e := b.run(`odds pins on board for pins is not three and failure is not "did not break"`)
	if e.Specimens.Used != 48 {
		t.Errorf("pins: %d used", e.Specimens.Used)
	}
}

// A count is of all specimens; what most of a level did is told of those that broke.
func TestCountsSayWhatDidNotBreak(t *testing.T) {
	b := newBench(t)
	b.open("held", unbrokenSeries("none", "none", "three", "three"))
	e := b.run("count failure by pins")
	const want = "with pins none, wood (14 of 24); with pins pair, glue (14 of 24); with pins three, " +
		"did not break (2 of 2)"
	if !strings.Contains(said(e), want) {
		t.Errorf("%q, want %q", said(e), want)
	}
	if e.Specimens.Used != 52 || !warned(e, `4 specimens did not break, and nothing is known of how they would: `+
		`counted in the table and in p, while "most often" is of those that broke, where any did.`) {
		t.Errorf("of %d: %v", e.Specimens.Used, e.Cautions)
	}
	b.open("broken", unbrokenSeries())
	if e := b.run("count failure by pins"); warned(e, "did not break") {
		t.Errorf("all broke: %v", e.Cautions)
	}
}

// problem runs a command that has to fail.
func (b *bench) problem(line string) *page.Problem {
	b.t.Helper()
	_, err := b.try(line)
	var p *page.Problem
	if !errors.As(err, &p) {
		b.t.Fatalf("%s: no problem, but %v", line, err)
	}
	return p
}
