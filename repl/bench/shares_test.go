package bench

import (
	"math"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// shareOf is a cell of the shares table.
func shareOf(e page.Entry, factor, column string) float64 {
	for i, c := range e.Tables[0].Columns {
		for _, row := range e.Tables[0].Rows {
			if c.ID == column && row[0].Text == factor && row[i].Kind == page.Number {
				return row[i].Num
			}
		}
	}
	return math.NaN()
}

func TestSharesNameTheSpecimenTheyHangOn(t *testing.T) {
	for _, line := range []string{"share out load on pins, density", "share out of fit1"} {
		_, e := startedSession(t, planted, `set aside specimen x9 because "tore at its knot"`,
			"fit load on pins, density", line)
		if !warned(e, "Specimen x9 is set aside, and the main answer depends on that") {
			t.Errorf("%s: %v", line, e.Cautions)
		}
		if _, e = startedSession(t, planted, `set aside specimen a1 because "spoiled"`, "fit load on pins, density",
			line); warned(e, "the main answer hangs") {
			t.Errorf("%s: a1 changes nothing: %v", line, e.Cautions)
		}
	}
}

func TestSharesAddUpToWhatTheFitExplains(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	fit := b.run("fit load on together(pins, place), density curved")
	shares := b.run("share out of fit1")
	again := b.run("share out load on together(pins, place), density curved")
	sum := 0.0
	for i, row := range shares.Tables[0].Rows {
		sum += row[1].Num
		if row[1] != again.Tables[0].Rows[i][1] || row[2] != again.Tables[0].Rows[i][2] ||
			row[7] != again.Tables[0].Rows[i][7] {
			t.Errorf("of a fit %v, straight from the columns %v", row, again.Tables[0].Rows[i])
		}
	}
	if explained := fit.Values[0]; explained.ID != "explained" || math.Abs(sum-explained.Cell.Num) > 1e-10 {
		t.Errorf("shares add up to %g of %v", sum, explained)
	}
	want := []string{"pins", "place", "pins × place", "density", "density²"}
	for i, row := range shares.Tables[0].Rows {
		if row[0].Text != want[i] {
			t.Errorf("row %d is %s, want %s", i, row[0].Text, want[i])
		}
	}
}

func TestAnotherSeedMovesTheRangesAlone(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	a := b.run("share out load on pins, density")
	again := b.run("share out load on pins, density")
	b.run("seed 8")
	other := b.run("share out load on pins, density")
	for i, row := range a.Tables[0].Rows {
		if row[2] != again.Tables[0].Rows[i][2] {
			t.Errorf("the same seed gives %v and %v", row, again.Tables[0].Rows[i])
		}
		if row[1] != other.Tables[0].Rows[i][1] || row[2] == other.Tables[0].Rows[i][2] {
			t.Errorf("another seed gives %v and %v", row, other.Tables[0].Rows[i])
		}
	}
}

func TestFactorsThatWentTogetherAreNamedWithTheirShares(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	e := b.run("share out load on pins, place, cure_temp")
	reported := ""
	for _, f := range e.Findings {
		reported += render.Sentence(f, render.Options{}) + "\n"
	}
	if !strings.Contains(reported, "place and cure_temp changed together") ||
		!strings.Contains(reported, "both together get") {
		t.Errorf("what cannot be separated is not said: %s", reported)
	}
	if both := shareOf(e, "place", "share") + shareOf(e, "cure_temp", "share"); both < 0.02 {
		t.Errorf("together they get %g", both)
	}
	e = b.run("share out load on pins, density")
	if !strings.HasPrefix(render.Sentence(e.Findings[len(e.Findings)-1], render.Options{}),
		"No two of these factors changed together") {
		t.Errorf("%v", e.Findings)
	}
}

func TestBlocksMarkedAfterAFitAreKeptWhole(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on pins, density")
	e := b.run("share out of fit1")
	if !warned(e, "type: mark board as block; share out of fit1") {
		t.Errorf("the way out is not offered: %v", e.Cautions)
	}
	b.run("mark board as block")
	whole := b.run("share out of fit1")
	if warned(whole, "values of board") || shareOf(whole, "pins", "share") != shareOf(e, "pins", "share") ||
		shareOf(whole, "pins", "low") == shareOf(e, "pins", "low") {
		t.Errorf("%v: %v and %v", whole.Cautions, e.Tables[0].Rows, whole.Tables[0].Rows)
	}
}

func TestSharesThatCannotBe(t *testing.T) {
	for line, code := range map[string]string{
		"share out of blocked":                                  "no-shares",
		"share out of resisting":                                "no-shares",
		"share out load on load":                                "response-among-terms",
		"share out failure is glue on failure":                  "response-among-terms",
		"share out failure is glue on pins for failure is glue": "all-equal",
		"share out failure is glue on pins for pins is none":    "one-level",
	} {
		b := newBench(t)
		b.run("open gates.csv", "fit load on pins blocked by board as blocked",
			"fit load on pins resistant as resisting")
		if e, err := b.try(line); err == nil || e.Problem == nil || string(e.Problem.Code) != code ||
			e.Problem.At == 0 {
			t.Errorf("%s: %+v %v, want %s", line, e.Problem, err, code)
		}
	}
}
