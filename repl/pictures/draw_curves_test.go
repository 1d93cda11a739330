package pictures

import (
	"slices"
	"testing"

	"breakbook/frames"
	"breakbook/repl/page"
)

// Of each level the curve that bears most is named, and of equal ones the first.
func TestHighestOfEachLevel(t *testing.T) {
	p := page.Points{Y: []float64{5, 9, 7, 8, 9}, Looks: []int{1, 0, 1, 2, 0}}
	if got := highest(p); !slices.Equal(got, []int{2, 1, 3}) {
		t.Errorf("the highest of each level are %v, want 2 1 3", got)
	}
}

// Of each stretch of slip the lowest and the highest reading stay, in the order they were read, with
// the tare taken off; a reading that goes back in slip is left out.
func TestThinnedCurves(t *testing.T) {
	c := &frames.Curves{}
	slip := []float64{0, 1, 2, 3, 1.5, 4, 5, 6, 7, 8}
	load := []float64{10, 12, 11, 15, 90, 30, 26, 28, 40, 35}
	c.Add("a.csv", []string{"J1"}, make([]int, len(slip)), slip, load)
	for _, tc := range []struct {
		stretches int
		x, y      []float64
	}{
		{4, []float64{0, 1, 3, 4, 6, 7}, []float64{8, 10, 13, 28, 26, 38}},
		{8, []float64{0, 1, 2, 3, 4, 5, 6, 7, 8}, []float64{8, 10, 9, 13, 28, 24, 26, 38, 33}},
		{1, []float64{0, 7}, []float64{8, 38}},
	} {
		if x, y := thinned(c, 0, 2, tc.stretches); !slices.Equal(x, tc.x) || !slices.Equal(y, tc.y) {
			t.Errorf("in %d stretches: slips %v, loads %v; want %v, %v", tc.stretches, x, y, tc.x, tc.y)
		}
	}
}
