package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"breakbook/cmd/measure/drove"
)

// most is by how many points of a hundred `what drove` may be right less often than the best possible
// analysis.
const most = 3.0

// rowOf are the figures of a truth in a kept table of so many columns: a pair for each, `what drove` and the best.
func rowOf(t *testing.T, lines []string, truth string, columns int) [][2]float64 {
	t.Helper()
	for _, line := range lines {
		rest, ok := strings.CutPrefix(line, fmt.Sprintf("%-24s", truth))
		cells := strings.Fields(rest)
		if !ok || len(cells) != 2*columns {
			continue
		}
		out := make([][2]float64, columns)
		for i, c := range cells {
			if c == "–" {
				out[i/2][i%2] = math.NaN()
			} else if _, err := fmt.Sscan(c, &out[i/2][i%2]); err != nil {
				t.Fatal(err)
			}
		}
		return out
	}
	t.Fatalf("no line of %s", truth)
	return nil
}

// In the kept table what drove a load is told as often rightly as by the best possible analysis, factors are
// found as often, and the strongest is told first as often, within three points.
func TestKeptDrove(t *testing.T) {
	lines := measured(t, "drove.txt")
	for _, k := range drove.Kinds() {
		row := rowOf(t, lines, k.Name, 6)
		for _, c := range []struct {
			what   string
			column int
			sign   float64
		}{{"right", 0, 1}, {"wrong", 1, -1}, {"found", 3, 1}, {"first", 4, 1}} {
			if less := c.sign * (row[c.column][1] - row[c.column][0]); less > most {
				t.Errorf("%s: %s %.1f %%, %.1f by the best", k.Name, c.what, row[c.column][0], row[c.column][1])
			}
		}
	}
}

// The kept table has the shares that are counted today, within three and a half standard errors of a count
// of as few as here (answers of one series go together, so that a series is counted as one).
func TestDroveIsAsRightAsKept(t *testing.T) {
	counts(t)
	const series = 25
	lines := measured(t, "drove.txt")
	for _, k := range drove.Kinds() {
		asked, best, err := k.Count(t.Context(), series, 5001)
		if err != nil {
			t.Fatalf("%s: %v", k.Name, err)
		}
		row, now := rowOf(t, lines, k.Name, 6), [2][]float64{asked.Percent(), best.Percent()}
		for column := range row {
			for i, kept := range row[column] {
				p := min(max(kept/100, 0.01), 0.99)
				if off := math.Abs(now[i][column]/100 - p); off > 3.5*math.Sqrt(p*(1-p)/series) {
					t.Errorf("%s, column %d, %d: kept %.1f %%, counted %.1f %%", k.Name, column, i, kept,
						now[i][column])
				}
			}
		}
	}
}
