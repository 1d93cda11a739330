package planning

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// keptRow is the row of a kept table that begins so, its shares in percent.
func keptRow(t *testing.T, file, name string) []float64 {
	t.Helper()
	text, err := os.ReadFile("../../../testdata/measured/" + file)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		rest, ok := strings.CutPrefix(line, name)
		if !ok {
			continue
		}
		var out []float64
		for _, cell := range strings.Fields(rest) {
			var x float64
			if _, err := fmt.Sscan(strings.TrimSuffix(cell, "%"), &x); err != nil {
				t.Fatal(err)
			}
			out = append(out, x)
		}
		return out
	}
	t.Fatalf("%s has no row of %q", file, name)
	return nil
}

// near holds a share counted now to one that was kept, within three and a half standard errors of the smaller count.
func near(t *testing.T, what string, now int, series, kept float64) {
	t.Helper()
	p := min(max(kept/100, 1/series), 1-1/series)
	if math.Abs(float64(now)/series-p) > 3.5*math.Sqrt(p*(1-p)/series) {
		t.Errorf("%s: kept %.1f %%, counted %.1f %%", what, kept, 100*float64(now)/series)
	}
}

// The kept table of adjusted columns is what comes out today.
func TestKeptAdjust(t *testing.T) {
	counts(t)
	const series = 60
	for at, c := range adjustCases() {
		if c.perLevel != 8 || c.denser == 1 {
			continue
		}
		n, err := c.count(t.Context(), at, series, 1)
		if err != nil {
			t.Fatal(err)
		}
		kept := keptRow(t, "planning_adjust.txt", c.name())
		near(t, c.name()+" held", n.held, series, kept[0])
		near(t, c.name()+" bare", n.bare, series, kept[1])
	}
}

// The kept table of past series is what comes out today.
func TestKeptPast(t *testing.T) {
	counts(t)
	const series = 40
	for at, c := range pastCases() {
		if c.series != 2 || c.none != 4 {
			continue
		}
		n, err := c.count(t.Context(), at, series, pastGap, 1)
		if err != nil {
			t.Fatal(err)
		}
		kept := keptRow(t, "planning_past.txt", c.name(pastGap))
		near(t, c.name(pastGap)+" held", n.held, series, kept[0])
		near(t, c.name(pastGap)+" differs", n.differs, series, kept[2])
		near(t, c.name(pastGap)+" doubted", n.doubted, series, kept[3])
	}
}
