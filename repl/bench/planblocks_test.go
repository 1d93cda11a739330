package bench

import (
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// What blocks differ by is among a plan's figures where the series tells it and the plan
// uses it: not where no level has several boards, where every specimen has a board of its
// own, or where the plan counts specimens from a board each. Of shared boards its square is
// a half of the mean square of boards less that left over, the textbook's randomised block table.
func TestPlansTellWhatBlocksDifferBy(t *testing.T) {
	none, pair := []float64{402, 388, 431, 377, 410}, []float64{455, 430, 470, 441, 446}
	var boards, residual, n = 0.0, 0.0, float64(len(none))
	mean := func(x []float64) (m float64) {
		for _, v := range x {
			m += v / n
		}
		return m
	}
	grand, rise := (mean(none)+mean(pair))/2, mean(pair)-mean(none)
	for i := range none {
		boards += 2 * math.Pow((none[i]+pair[i])/2-grand, 2) / (n - 1)
		residual += math.Pow(pair[i]-none[i]-rise, 2) / 2 / (n - 1)
	}
	const (
		shared = "load (N),pins,board\n402,none,A\n388,none,B\n431,none,C\n377,none,D\n410,none,E\n" +
			"455,pair,A\n430,pair,B\n470,pair,C\n441,pair,D\n446,pair,E\n"
		confounded = "load (N),pins,board\n402,none,A\n395,none,A\n410,none,A\n455,pair,B\n462,pair,B\n448,pair,B\n"
		single     = "load (N),pins,board\n402,none,A\n395,none,B\n410,none,C\n455,pair,D\n462,pair,E\n448,pair,F\n"
	)
	for _, c := range []struct {
		name, series, plan string
		want               float64 // 0 for none
	}{
		{"shared", shared, "plan load by pins detecting 10%", math.Sqrt((boards - residual) / 2)},
		{"shared, but from a board each", shared, "plan characteristic load within 20%", 0},
		{"not told", confounded, "plan load by pins detecting 10%", 0},
		{"a board each", single, "plan load by pins detecting 10%", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			if err := os.WriteFile("blocks.csv", []byte(c.series), 0o600); err != nil {
				t.Fatal(err)
			}
			e := b.run("open blocks.csv", "mark board as block", c.plan)
			at := slices.IndexFunc(e.Values, func(v page.Value) bool { return v.ID == "block_sd" })
			switch {
			case at < 0 != (c.want == 0):
				t.Errorf("block_sd among the values: %t (%+v)", at >= 0, e.Values)
			case at >= 0 && math.Abs(e.Values[at].Cell.Num-c.want) > 1e-9:
				t.Errorf("block_sd %v, want %v", e.Values[at].Cell.Num, c.want)
			}
		})
	}
}

// A plan within levels says how many blocks it takes, where a block holds several specimens.
func TestPlansWithinLevelsCountBlocks(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "mark board as block")
	reported := ""
	for _, f := range b.run("plan load by pins, place detecting 10%").Findings {
		_, within, _ := strings.Cut(render.Sentence(f, render.Options{}), "within each level of pins, ")
		reported += within
	}
	found := regexp.MustCompile(`make (\d+) specimens of each of the combinations of pins and place, ` +
		`(\d+) in all, from (\d+) values of board\.`).FindStringSubmatch(reported)
	if found == nil {
		t.Fatalf("no blocks are counted in:\n%s", reported)
	}
	each, _ := strconv.Atoi(found[1])
	all, _ := strconv.Atoi(found[2])
	blocks, _ := strconv.Atoi(found[3])
	if all != 8*each || blocks < each { // each combination once in a block
		t.Errorf("%d of each of eight, %d in all, from %d", each, all, blocks)
	}
}
