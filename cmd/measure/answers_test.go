package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"breakbook/cmd/measure/falseanswers"
	"breakbook/cmd/measure/gates"
	"breakbook/cmd/measure/typed"
	"breakbook/repl/page"
)

// The committed series gives every answer its page of truth says it should, and no
// smaller seed does: what TRUTH.md claims of the seed.
func TestDemoSeedIsTheFirstToGiveEveryAnswer(t *testing.T) {
	for seed := uint64(1); seed <= gates.DemoSeed; seed++ {
		given, err := ask(t.Context(), gates.Make(gates.Known(), seed))
		if err != nil {
			t.Fatal(err)
		}
		var off []string
		for i, q := range questions {
			if given[i] != q.should {
				off = append(off, q.about+": "+given[i])
			}
		}
		if all := len(off) == 0; all != (seed == gates.DemoSeed) {
			t.Errorf("seed %d: every answer as it should be: %v %q", seed, all, off)
		}
	}
}

// A gap far larger than the spread is found, and is no longer called too small.
func TestAnswersFollowTheTruth(t *testing.T) {
	truth := gates.Known()
	truth.ThicknessAdd, truth.PinsAdd[3] = 150, 300
	given, err := ask(t.Context(), gates.Make(truth, gates.DemoSeed))
	if err != nil {
		t.Fatal(err)
	}
	for i, q := range questions {
		if strings.HasPrefix(q.about, "44 mm") || strings.HasPrefix(q.about, "offset") {
			if given[i] != differs {
				t.Errorf("%s: %s, want %s", q.about, given[i], differs)
			}
		}
	}
}

func TestAnswersPrintsAShareOfAllSeries(t *testing.T) {
	counts(t)
	var out, errs bytes.Buffer
	if status := dispatch(t.Context(), []string{"answers", "--seeds", "2", "--series", "1"}, &out, &errs); status != 0 {
		t.Fatalf("status %d: %s", status, &errs)
	}
	text := out.String()
	for _, want := range []string{"2 other series, seeds 1001 to 1002", "pair against none (strong)", "100.0 %"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in:\n%s", want, text)
		}
	}
}

func TestRangeOf(t *testing.T) {
	e := page.Entry{Input: "fit load on density", Tables: []page.Table{{ID: "terms",
		Columns: []page.Column{{ID: "term"}, {ID: "effect"}, {ID: "low"}, {ID: "high"}},
		Rows: [][]page.Cell{
			{page.T("density"), page.N(2), page.N(1), page.N(3)},
			{page.T("thickness"), {}, {}, {}},
		}}}}
	if low, high, err := rangeOf(e, "density"); err != nil || low != 1 || high != 3 {
		t.Errorf("range %v to %v (%v), want 1 to 3", low, high, err)
	}
	for _, term := range []string{"thickness", "pins"} {
		if _, _, err := rangeOf(e, term); err == nil {
			t.Errorf("%s has an interval", term)
		}
	}
}

// The kept table has the shares of false answers that are counted today, within three and a half standard
// errors of a count of a hundred.
func TestKeptFalseAnswers(t *testing.T) {
	counts(t)
	lines := measured(t, "answers.txt")
	const series = 100
	for _, c := range []struct {
		at     int
		name   string
		layout int
		n      int
	}{{1, "compare", 1, 20}, {2, "compare of fit", 2, 60}, {11, "same", 0, 20}} {
		cell, err := falseanswers.Clean(t.Context(), typed.Ask, c.at, c.layout, c.n, series, 1)
		if err != nil {
			t.Fatal(err)
		}
		kept := strings.Fields(lineOf(t, lines, c.name, fmt.Sprint(c.n)))
		if len(kept) != 6 {
			t.Fatalf("%s: kept %q", c.name, kept)
		}
		for i, now := range []int{cell.Differs, cell.None} {
			var percent float64
			if _, err := fmt.Sscanf(kept[2*c.layout+i], "%f%%", &percent); err != nil {
				t.Fatal(err)
			}
			p := percent / 100
			if off := math.Abs(float64(now)/series - p); off > 3.5*math.Sqrt(max(p, 0.01)*(1-p)/series) {
				t.Errorf("%s: kept %.1f %%, counted %d of %d", c.name, percent, now, series)
			}
		}
	}
}
