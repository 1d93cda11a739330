package proofread

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"breakbook/frames"
	"breakbook/frames/reading"
)

// uneven is a sheet of loads that two columns of levels make to a thousandth, met unevenly and together; the
// row at is so many times what it should be, and has no glue where asked.
func uneven(t *testing.T, at int, times float64, lacking bool) *frames.Frame {
	t.Helper()
	joint, glue := []string{"mortise", "dowel", "bridle"}, []string{"white", "hide"}
	effect := []float64{0, -0.5, 0.3, 0, 0.4}
	var b bytes.Buffer
	b.WriteString("Specimen,Joint,Glue,Load (N)\n")
	for i := range 36 {
		j, g := i/12, 0
		if i%12 < []int{9, 6, 2}[j] { // hide glue goes mostly with mortises
			g = 1
		}
		load := 5000 * math.Exp(effect[j]+effect[3+g]+0.001*float64(i%3-1))
		word := glue[g]
		if i == at {
			if load *= times; lacking {
				word = ""
			}
		}
		fmt.Fprintf(&b, "A%02d,%s,%s,%.0f\n", i, joint[j], word, load)
	}
	f, _, err := reading.Read(t.Context(), "sheet.csv", b.Bytes(), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// What the levels make of a load is taken off though they are met unevenly, and the one value that is
// 2.2046 times too large, which lies inside the range of all loads, keeps the whole of its slip.
func TestEffectsAreTakenOffTogether(t *testing.T) {
	f := uneven(t, 20, 2.2046226, false)
	tab := newTable(t.Context(), f, false)
	n := &numbers{table: tab, place: 3, column: f.Columns()[3]}
	n.values, n.rows = tab.part(3)
	logs, rows := n.logs()
	fit := n.expected(logs, rows, func(frames.Column) bool { return false })
	for i, residual := range fit.residuals {
		want := 0.0
		if rows[i] == 20 {
			want = math.Log(2.2046226)
		}
		if math.Abs(residual-want) > 0.01 {
			t.Errorf("row %d: %.4f is left, want %.4f", rows[i], residual, want)
		}
	}
	if fit.sd > 0.01 || fit.free != 32 { // a middle and two levels and one of 36
		t.Errorf("sd %g and %g free", fit.sd, fit.free)
	}
	if all := n.slips(); len(all) != 1 || all[0].Rows[0] != 20 || all[0].Factor != 2.2046226 {
		t.Errorf("said: %+v", all)
	}
}

// With a level missing the value may be what another level lets expect: 1.5 times is, 4.448 times is not.
func TestAMissingLevelLeavesRoom(t *testing.T) {
	for _, c := range []struct {
		times float64
		said  int
	}{{1.5, 0}, {1 / 1.5, 0}, {4.4482216, 1}} {
		f := uneven(t, 30, c.times, true)
		all, err := Read(t.Context(), f, Options{})
		if err != nil || len(all) != c.said {
			t.Errorf("%g times: %+v, %v", c.times, all, err)
		}
		for _, r := range all {
			if r.Code != Slip || r.Rows[0] != 30 || r.Factor != c.times {
				t.Errorf("%g times: %+v", c.times, r)
			}
		}
	}
}
