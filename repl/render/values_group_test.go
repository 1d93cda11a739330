package render

import (
	"math"
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
