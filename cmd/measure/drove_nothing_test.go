package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"breakbook/cmd/measure/drove"
)

// nothingTold are the per cents of a layout in the kept table; NaN for none.
func nothingTold(t *testing.T, layout string) (out [2]float64) {
	t.Helper()
	cells := strings.Fields(strings.TrimPrefix(lineOf(t, measured(t, "drove.txt"), layout), layout))
	if len(cells) != 2 {
		t.Fatalf("%s: %q", layout, cells)
	}
	for i, c := range cells {
		if c == "–" {
			out[i] = math.NaN()
		} else if _, err := fmt.Sscan(c, &out[i]); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// In the kept table, where nothing does anything a cause is told without a doubt in at most five series of a hundred;
// the species, of which each board has one, in one of them, as one of four factors that share what may be false; and
// what chance adds to a count of 800. The same is counted today, within three and a half standard errors.
func TestNothingDroveIt(t *testing.T) {
	counts(t)
	const kept, series = 800, 100
	for _, n := range drove.Nothings() {
		told, err := n.Count(t.Context(), series, 7001)
		if err != nil {
			t.Fatal(err)
		}
		table, now := nothingTold(t, n.Name), told.Percent()
		for i, most := range []float64{0.05, 0.01} {
			if math.IsNaN(now[i]) != math.IsNaN(table[i]) {
				t.Errorf("%s: kept %.1f %%, counted %.1f %%", n.Name, table[i], now[i])
			}
			if bound := 100 * (most + 2*math.Sqrt(most*(1-most)/kept)); table[i] > bound {
				t.Errorf("%s: %.1f %% are told a cause, at most %.1f %%", n.Name, table[i], bound)
			}
			p := max(table[i]/100, 0.01)
			if off := math.Abs(now[i] - table[i]); off > 350*math.Sqrt(p*(1-p)/series) {
				t.Errorf("%s: kept %.1f %%, counted %.1f %%", n.Name, table[i], now[i])
			}
		}
	}
}
