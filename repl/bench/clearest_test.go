package bench

import (
	"math"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// column is the place of a column of a table.
func column(t *testing.T, table page.Table, id string) int {
	t.Helper()
	for i, c := range table.Columns {
		if c.ID == id {
			return i
		}
	}
	t.Fatalf("%s has no column %s", table.ID, id)
	return -1
}

// Of several differences the clearest is told first: the one furthest from zero for its standard error,
// as the table's own t has it.
func TestClearestOfACombinedTermIsReported(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	for _, terms := range []string{"together(pins, species)", "together(pins, test_day)", "together(test_day, pins)",
		"together(species, test_day)"} {
		e := b.run("fit load on density, " + terms)
		table := e.Tables[0]
		name, at := column(t, table, "term"), column(t, table, "t")
		best, largest := "", 0.0
		for _, row := range table.Rows {
			if strings.Contains(row[name].Text, " × ") && math.Abs(row[at].Num) > largest {
				best, largest = row[name].Text, math.Abs(row[at].Num)
			}
		}
		reported := ""
		for _, s := range e.Findings {
			if text := render.Sentence(s, render.Options{}); strings.Contains(text, ": together they give ") {
				reported = text
			}
		}
		if best == "" || !strings.HasPrefix(reported, best+":") {
			t.Errorf("%s: the clearest row is %q (t %.2f), told is %q", terms, best, largest, reported)
		}
	}
}

// Of joints that are asked about, the one that is clearest against the first is told.
func TestClearestOfSeveralJointsIsReported(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins")
	compared := b.run("compare pins of fit1").Tables[1]
	first, second, statistic := column(t, compared, "first"), column(t, compared, "second"),
		column(t, compared, "statistic")
	clear := map[string]float64{}
	for _, row := range compared.Rows {
		if row[first].Text == "none" {
			clear[row[second].Text] = math.Abs(row[statistic].Num)
		}
	}
	best := ""
	for _, level := range []string{"single", "pair", "offset"} {
		if clear[level] > clear[best] {
			best = level
		}
	}
	e := b.run("predict fit1 given pins none or single or pair or offset")
	reported := words(e.Findings)
	if best == "single" || !strings.Contains(reported, "With pins "+best) ||
		strings.Contains(reported, "With pins single") {
		t.Errorf("the clearest against none is %s (%v), told is:\n%s", best, clear, reported)
	}
}
