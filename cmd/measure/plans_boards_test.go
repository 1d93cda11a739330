package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
	"breakbook/models/dist"
	"breakbook/models/lists"
	"breakbook/repl/page"
)

// A plan that counts no boards is doubted for them as often as their test shows them to differ, which is in one of
// twenty series where they are alike: F with one of its mean squares larger by 1 + 4·ratio², the ratio being that of
// the sd of boards to that of their specimens.
func TestPlansAreDoubtedForBoardsThatDiffer(t *testing.T) {
	counts(t)
	const boards, each, series = 6, 4, 100
	top, below := float64(boards-2), float64(boards*(each-1))
	for _, c := range []struct {
		ratio float64
		line  string
	}{{0, "plan load by pins detecting 10% with 24"}, {0, "plan load by pins detecting 10%"},
		{1, "plan load by pins detecting 10% with 24"}, {2, "plan load by pins detecting 10%"}} {
		told, err := counted.Share(t.Context(), series, func(ctx context.Context, i int) (bool, error) {
			e, err := typed.Ask(ctx, inWholeBoards(uint64(i), boards, each, c.ratio), c.line)
			return slices.ContainsFunc(e.Doubts, func(d page.Doubt) bool { return d.Code == "blocks" }), err
		})
		if err != nil {
			t.Fatal(err)
		}
		want := dist.FTail(dist.FPoint(0.05, top, below)/(1+each*c.ratio*c.ratio), top, below)
		if off := 3 * math.Sqrt(want*(1-want)/series); math.Abs(told-want) > off {
			t.Errorf("boards %g times as far apart as specimens, %s: doubted in %.2f, by the test %.2f ± %.2f", c.ratio,
				c.line, told, want, off)
		}
	}
}

// inWholeBoards is a series whose levels lie between boards, which differ by ratio times what their specimens do.
func inWholeBoards(seed uint64, boards, each int, ratio float64) string {
	r := rand.New(rand.NewPCG(seed, 61))
	shift := lists.Made(boards, func(int) float64 { return 40 * ratio * r.NormFloat64() })
	var rows [][]string
	for i := range boards * each {
		b := i / each
		rows = append(rows, []string{fmt.Sprintf("S%02d", i+1), []string{"none", "pair"}[b%2], fmt.Sprintf("B%d", b+1),
			fmt.Sprintf("%.1f", 400+shift[b]+40*r.NormFloat64())})
	}
	return typed.CSV([]string{"specimen", "pins", "board", "load (N)"}, rows)
}
