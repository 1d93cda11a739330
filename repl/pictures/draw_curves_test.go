package pictures

import (
	"slices"
	"testing"

	"breakbook/repl/page"
)

// Of each level the curve that bears most is named, and of equal ones the first.
func TestHighestOfEachLevel(t *testing.T) {
	p := page.Points{Y: []float64{5, 9, 7, 8, 9}, Looks: []int{1, 0, 1, 2, 0}}
	if got := highest(p); !slices.Equal(got, []int{2, 1, 3}) {
		t.Errorf("the highest of each level are %v, want 2 1 3", got)
	}
}
