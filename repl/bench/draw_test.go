package bench

import (
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// Whoever sees a picture without its book learns from it what its bars and bands are, and
// how sure they are meant to be.
func TestPicturesOfRangesSayWhatTheyAre(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins", "share out of fit1 as parts")
	for _, line := range []string{"load by pins confidence 90%", "failure by pins confidence 90%",
		"load against density by pins line of fit1 confidence 90%",
		"effects of fit1 confidence 90%", "adjusted pins of fit1 confidence 90%", "shares of parts"} {
		want := "90 % interval"
		if !strings.Contains(line, "confidence") {
			want = "95 % interval"
		}
		fig := b.run("draw " + line).Figures[0]
		ranges := 0
		for _, l := range fig.Layers {
			switch l.(type) {
			case page.Interval, page.Band:
				ranges++
			}
		}
		if note := render.Sentence(fig.Note, render.Options{}); ranges == 0 ||
			!strings.HasSuffix(note, want) && !strings.Contains(note, want+";") {
			t.Errorf("%s: %d intervals, and its note is %q", line, ranges, note)
		}
	}
}
