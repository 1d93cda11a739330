package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"breakbook/cmd/measure/enough"
)

// The kept table has the number that is told today, and the shares that as many specimens settle, within
// three and a half standard errors of a count of as few as here.
func TestKeptEnough(t *testing.T) {
	counts(t)
	lines := measured(t, "enough.txt")
	for name, series := range map[string]int{"two levels": 400, "four levels, one pair": 150,
		"within boards, one of each": 150, "between boards of four": 100, "until failure is glue": 100} {
		needed, zero, worth, err := enough.Again(t.Context(), name, series, 1)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		kept := strings.Fields(lineOf(t, lines, name))
		if len(kept) < 5 {
			t.Fatalf("%s: kept %q", name, kept)
		}
		if kept[0] != fmt.Sprint(needed) {
			t.Errorf("%s: kept %s, told %d", name, kept[0], needed)
		}
		for i, now := range []float64{zero, worth} {
			var percent float64
			if _, err := fmt.Sscanf(kept[len(kept)-2+i], "%f%%", &percent); err != nil {
				t.Fatalf("%s: %q: %v", name, kept, err)
			}
			p := percent / 100
			if math.Abs(now-p) > 3.5*math.Sqrt(p*(1-p)/float64(series)) {
				t.Errorf("%s: kept %.1f %%, counted %.1f %%", name, percent, 100*now)
			}
		}
	}
}
