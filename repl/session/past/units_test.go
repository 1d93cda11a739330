package past

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// The factors are those of the exact definitions: 9.80665, 4.4482216 and 2.2046226; the
// suspicion reaches a tenth to either side of 2.2 times, a third above and a quarter below 9.81 times.
func TestFactorsBetweenUnitsOfForceRaiseTheSuspicion(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		want  string
	}{
		{9.80665, "9.81 N"}, {9.80665 * 1.32, "9.81 N"}, {9.80665 * 0.76, "9.81 N"}, {9.80665 * 1.34, ""},
		{9.80665 * 0.74, ""},
		{4.4482216, "4.45 N"}, {4.4482216 * 1.21, ""}, {4.4482216 * 0.82, ""},
		{2.2046226, "2.2 pounds-force"}, {2.2046226 * 1.11, ""}, {2.2046226 * 0.9, ""}, {1, ""}, {3, ""},
	} {
		for _, medians := range [][]float64{{100 * c.ratio, 100}, {100, 100 * c.ratio}} {
			got := suspected(medians)
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
		if got := suspected(medians); got != nil {
			t.Errorf("medians %v are suspected", medians)
		}
	}
}

// suspected is what is said of two series with these medians.
func suspected(medians []float64) []page.Sentence {
	k := &session.Call{Session: session.New(session.Options{})}
	return MixedUnits(k, []string{"a", "b"}, medians, frames.Column{Name: "load"}, "")
}
