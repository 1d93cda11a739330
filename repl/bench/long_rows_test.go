package bench

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"breakbook/frames/proofread"
	"breakbook/repl/render"
)

// A long series is opened without a look at every row, which `open` and `pool` say, and `check series` then
// finds what was not looked for; one row less and it is said when the file is opened.
func TestLongSeriesLeaveRowsToCheckSeries(t *testing.T) {
	withoutShort(t)
	b := newBench(t)
	for name, rows := range map[string]int{"long": proofread.Long, "short": proofread.Long - 1} {
		r := rand.New(rand.NewPCG(1, 1))
		var csv strings.Builder
		csv.WriteString("Specimen,Pins,Load (N)\n")
		for i := range rows {
			load := 4000 + 200*r.NormFloat64()
			if i == 7000 {
				load = 41234
			}
			fmt.Fprintf(&csv, "%d,%s,%.3f\n", i+1, []string{"none", "pair"}[i%2], load)
		}
		if err := os.WriteFile(name+".csv", []byte(csv.String()), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const left = "were not looked for; to look for them, type: check series"
	said := func(line, want string) {
		t.Helper()
		e := b.run(line)
		var all []string
		for _, s := range append(e.Findings, e.Cautions...) {
			all = append(all, render.Sentence(s, render.Options{}))
		}
		if text := strings.Join(all, "\n"); !strings.Contains(text, want) ||
			(want != left) == strings.Contains(text, left) {
			t.Errorf("%s: %s; want %s", line, text, want)
		}
	}
	said("open long.csv", left)
	said("check series", "1 thing looks odd in the 100000 rows of long")
	said("open short.csv", "load of 7001 (line 7002), 41234 N, is about 10 times")
	said("pool long, short as both", left)
}
