package figures

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// Where no size is asked for, a lying figure of many levels is as high as its rows need: every one is named, and its
// marks are seen. One of few keeps the theme's proportions, and so does one that is asked to be of some size.
func TestManyRowsHaveRoom(t *testing.T) {
	f := page.Figure{Title: "Load by joint", X: page.Axis{Label: "joint"}, Y: page.Axis{Label: "load", Unit: "kgf"}}
	var points page.Points
	for i := range 45 {
		f.X.Levels = append(f.X.Levels, fmt.Sprintf("mortise and tenon %d of oak", i+1))
		points.X, points.Y = append(points.X, float64(i)), append(points.Y, 200+float64(7*i%90))
	}
	f.Layers = []page.Layer{points}
	if w, h := Size(f); w != 160 || h != 42+5*45 {
		t.Errorf("%g by %g mm", w, h)
	}
	drawn, err := Bytes(t.Context(), f, "svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range f.X.Levels {
		if !strings.Contains(string(drawn), name+"<") {
			t.Errorf("%s is not named", name)
		}
	}
	few := f
	few.X.Levels = f.X.Levels[:11]
	if w, h := Size(few); w != 160 || h != 100 {
		t.Errorf("of few %g by %g mm", w, h)
	}
	f.WidthMM, f.HeightMM = 120, 80
	if w, h := Size(f); w != 120 || h != 80 {
		t.Errorf("as asked %g by %g mm", w, h)
	}
}
