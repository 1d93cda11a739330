package bench

import (
	"math"
	"testing"

	"breakbook/repl/page"
)

// The bars of a level stand side by side about its place, as wide apart as each other, at
// its shares with the ranges of Clopper & Pearson (1934) by beta.ppf of scipy 1.10.1.
func TestDrawnModesAreTheShares(t *testing.T) {
	const joints = "pins,load (N),failure\nnone,400,glue\nnone,410,wood\nnone,420,glue\nnone,430,glue\n" +
		"pair,500,wood\npair,510,glue\n"
	_, e := startedSession(t, joints, "mark failure as failure", "draw failure by pins")
	var got []page.Interval
	for _, l := range e.Figures[0].Layers {
		if bar, ok := l.(page.Interval); ok {
			got = append(got, bar)
		}
	}
	want := []page.Interval{
		{X: -0.15, Mean: 75, Low: 19.412044968324338, High: 99.36905367902902},
		{X: 0.15, Mean: 25, Low: 0.6309463209709866, High: 80.58795503167565},
		{X: 0.85, Mean: 50, Low: 1.257911709342505, High: 98.74208829065749},
		{X: 1.15, Mean: 50, Low: 1.257911709342505, High: 98.74208829065749},
	}
	if len(got) != len(want) {
		t.Fatalf("%d bars, want %d: %+v", len(got), len(want), got)
	}
	for i, w := range want {
		for what, pair := range map[string][2]float64{"place": {got[i].X, w.X}, "share": {got[i].Mean, w.Mean},
			"low end": {got[i].Low, w.Low}, "high end": {got[i].High, w.High}} {
			if math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Errorf("%s of bar %d: %.12g, want %.12g", what, i+1, pair[0], pair[1])
			}
		}
	}
}
