package bench

import (
	"slices"
	"testing"

	"breakbook/repl/page"
)

// The curve of a plan goes through its own table's sizes, rises, and the rule is at the chance asked for.
func TestDrawnChanceIsThePlans(t *testing.T) {
	b := newBench(t)
	sizes := b.run("open gates.csv", "plan load by pins detecting 40% chance 90%").Tables[0]
	fig := b.run("draw chance of plan1").Figures[0]
	if rule, ok := fig.Layers[0].(page.Rule); !ok || rule.Y != 90 {
		t.Errorf("the rule is %v, want one at 90", fig.Layers[0])
	}
	for layer, column := range map[int]int{1: 2, 2: 6} { // chance; chance_if_spread_high
		line := fig.Layers[layer].(page.Line)
		if !slices.IsSorted(line.Y) || line.X[0] != 2 {
			t.Errorf("layer %d starts at %g or does not rise: %v", layer, line.X[0], line.Y)
		}
		for _, row := range sizes.Rows {
			at := slices.Index(line.X, row[0].Num)
			if at < 0 || line.Y[at] != 100*row[column].Num {
				t.Errorf("layer %d: %g specimens per level are not as in the plan's table", layer, row[0].Num)
			}
		}
	}
}
