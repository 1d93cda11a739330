package render

import (
	"math"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// TestFiguresStandInGroups: figures with a group are one line each group on the screen; what does
// not exist, or has no group beside others that have one, is left to the full result.
func TestFiguresStandInGroups(t *testing.T) {
	vs := []page.Value{
		{ID: "explained", Group: "How well it fits", Cell: page.N(0.82), Style: page.Fraction},
		{ID: "explained_unseen", Label: "explained for new specimens", Group: "How well it fits",
			Short: "for new specimens", Cell: page.N(0.76), Style: page.Fraction},
		{ID: "residual_sd", Group: "How well it fits", Cell: page.N(25.85), Unit: "kgf"},
		{ID: "f", Group: "All terms together", Short: "F", Cell: page.N(math.NaN()), Style: page.Ratio},
		{ID: "n", Group: "To rank fits", Cell: page.N(55), Style: page.Count},
		{ID: "at_zero", Cell: page.N(3)},
	}
	want := "  How well it fits: explained 82 %; for new specimens 76 %; residual sd 25.85 kgf.\n  To rank fits: n " +
		"55.\n"
	if got := soft(values(vs, Options{Width: 100})); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A list of figures stands in two columns where both have room to the last letter, and else in one.
func TestValuesStandInTwoColumnsWhereTheyFit(t *testing.T) {
	vs := []page.Value{{ID: "slope", Cell: page.N(12.5), Unit: "kgf"}, {ID: "gap", Cell: page.N(3), Unit: "mm"},
		{ID: "a_long_name", Cell: page.N(0.25), Unit: "mm"}, {ID: "n", Cell: page.N(55)},
		{ID: "boards", Cell: page.N(1234.5), Unit: "kgf"}, {ID: "sd", Cell: page.N(2)}}
	lay := func(width int) (lines, widest int) {
		for l := range strings.Lines(soft(values(vs, Options{Width: width}))) {
			lines, widest = lines+1, max(widest, screenWidth(strings.TrimSuffix(l, "\n")))
		}
		return lines, widest
	}
	lines, needs := lay(200)
	if lines != 3 {
		t.Fatalf("%d lines of six figures", lines)
	}
	if lines, widest := lay(needs); lines != 3 || widest != needs {
		t.Errorf("at %d: %d lines of %d", needs, lines, widest)
	}
	if lines, _ := lay(needs - 1); lines != 6 {
		t.Errorf("at %d: %d lines", needs-1, lines)
	}
}
