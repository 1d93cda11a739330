package figures

import (
	"math"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// Of two levels in one place neither hides the other: their marks stand side by side about it, as the note says,
// and two of one level stay together.
func TestTiesAcrossLevelsStandSideBySide(t *testing.T) {
	for _, apart := range []bool{true, false} {
		f := page.Figure{Keys: []page.Key{{Label: "none", Look: 0}, {Label: "pair", Look: 1}}, Layers: []page.Layer{
			page.Points{X: []float64{1, 2, 2, 2, 3}, Y: []float64{1, 2, 2, 2, 3}, Looks: []int{0, 1, 0, 0, 1},
				Apart: apart}}}
		s := lay(t.Context(), f, ownLetters)
		all, _ := s.place()
		middle := float64(s.atX(s.x.of(2)))
		between := float64(all[1].at.X - all[2].at.X)
		if got := between >= 2*float64(s.mark); got != apart {
			t.Errorf("apart %v: marks of radius %v in one place stand %g from each other", apart, s.mark, between)
		}
		if centre := float64(all[1].at.X+all[2].at.X) / 2; math.Abs(centre-middle) > 1e-9 {
			t.Errorf("apart %v: they stand about %g, want %g", apart, centre, middle)
		}
		if all[2].at != all[3].at || all[3].hidden != 1 {
			t.Errorf("apart %v: two of one level in one place are %v and %v", apart, all[2], all[3])
		}
		if x := float64(s.atX(s.x.of(1))); math.Abs(float64(all[0].at.X)-x) > 1e-9 {
			t.Errorf("apart %v: one by itself stands at %v, want %g", apart, all[0].at.X, x)
		}
		if got := strings.Contains(s.noted(""), "side by side"); got != apart {
			t.Errorf("apart %v: the note is %q", apart, s.noted(""))
		}
	}
}
