package series

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// The factors are those of the exact definitions: 9.80665, 4.4482216 and 2.2046226; the
// suspicion reaches a tenth to either side of each.
func TestFactorsBetweenUnitsOfForceRaiseTheSuspicion(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		want  string
	}{
		{9.80665, "9.81 N"}, {9.80665 * 1.099, "9.81 N"}, {9.80665 * 0.901, "9.81 N"}, {9.80665 * 1.101, ""},
		{9.80665 * 0.899, ""},
		{4.4482216, "4.45 N"}, {4.4482216 * 1.101, ""}, {4.4482216 * 0.899, ""},
		{2.2046226, "2.2 pounds-force"}, {2.2046226 * 1.101, ""}, {2.2046226 * 0.899, ""}, {1, ""}, {3, ""},
	} {
		for _, medians := range [][]float64{{100 * c.ratio, 100}, {100, 100 * c.ratio}} {
			got := mixedUnits([]string{"a", "b"}, medians, "N")
			if c.want == "" {
				if len(got) != 0 {
					t.Errorf("a ratio of %v is suspected: %v", c.ratio, got[0])
				}
				continue
			}
			if len(got) != 1 || !strings.Contains(fmt.Sprint(got[0]), c.want) {
				t.Errorf("a ratio of %v gives %q, want one with %s", c.ratio, got, c.want)
			}
		}
	}
	for _, medians := range [][]float64{{page.None, 100}, {0, 100}, {-981, -100}} {
		if got := mixedUnits([]string{"a", "b"}, medians, "N"); got != nil {
			t.Errorf("medians %v are suspected", medians)
		}
	}
}
