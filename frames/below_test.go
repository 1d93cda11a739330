package frames_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/frames"
	"breakbook/frames/reading"
)

func read(t testing.TB, csv string) *frames.Frame {
	t.Helper()
	f, _, err := reading.Read(t.Context(), "x.csv", []byte(csv), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestPutBelowKeepsWhatTheBlocksShare(t *testing.T) {
	f := read(t, "board,load (N),glue,load "+
		"(kN),glue,load,glue\nL1,2410,hide,2.5,fish,1800,bone\nL2,2510,hide,,,1810,bone\nL3,,,,,1820,bone\n")
	f = f.SetAside([]bool{false, true}, "split")
	next, met, err := f.PutBelow(t.Context(), [][]string{{"load", "glue"}, {"load_second", "glue_second"},
		{"load_third", "glue_third"}})
	if err != nil {
		t.Fatal(err)
	}
	want := `board text "board": L1 L2 L1 L1 L2 L3
load number [N] <load> "load": 2410 2510 2500 1800 1810 1820
glue category "glue": hide hide fish bone bone bone
`
	if got := shown(next); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	if got := fmt.Sprint(met.Kept, met.Empty, met.Shared, met.Columns, met.Names,
		met.Group); got != "[2 1 3] [[2] [1 2] []] [board] [load glue] [1 2 3]" {
		t.Errorf("met %s", got)
	}
	if got := fmt.Sprint(met.Turned); got != "[{load_second kN N} {load_third  N}]" {
		t.Errorf("turned %s", got)
	}
	var lines, aside []string
	for row := range next.Len() {
		lines = append(lines, fmt.Sprint(next.Line(row)))
		reason, _ := next.Aside(row)
		aside = append(aside, reason)
	}
	if got := strings.Join(lines, " ") + "; " + strings.Join(aside, ","); got != "2 3 2 2 3 4; ,split,,,split," {
		t.Errorf("lines and what is set aside: %s", got)
	}
	if f.Len() != 3 || len(f.Columns()) != 7 {
		t.Errorf("the frame itself has changed")
	}
}

// Numbers go below numbers of one dimension, levels and text below each other, and a column
// without a value below any.
func TestPutBelowReconcilesKindsAndUnits(t *testing.T) {
	for _, c := range []struct{ csv, want, code, word string }{
		{"a,x,a,x\n1,oak,2,ash\n3,oak,4,ash\n", "a number \"a\": 1 3 2 4\nx category \"x\": oak oak ash ash\n", "", ""},
		{"a,x,a,x\nA1,1,B1,2\nA2,3,B1,4\n", "a category \"a\": A1 A2 B1 B1\nx number \"x\": 1 3 2 4\n", "", ""},
		{"a,x,a,x\n1,2,,5\n3,4,,6\n", "a number \"a\": 1 3 ~ ~\nx number \"x\": 2 4 5 6\n", "", ""},
		{"a,x,a,x\n,2,7,5\n,4,8,6\n", "a number \"a\": ~ ~ 7 8\nx number \"x\": 2 4 5 6\n", "", ""},
		{"a,x,a,x\n1,2,slipped,5\n3,4,4,6\n3,4,5,6\n", "", "kinds-differ", "a_second"},
		{"a,x,a,x\n1,2,A1,5\n3,4,A2,6\n", "", "kinds-differ", "a"},
		{"a (N),x,a (mm),x\n1,2,3,5\n3,4,4,6\n", "", "wrong-dimension", "a_second"},
	} {
		next, _, err := read(t, c.csv).PutBelow(t.Context(), [][]string{{"a", "x"}, {"a_second", "x_second"}})
		var e *frames.Error
		switch {
		case c.code != "":
			if !errors.As(err, &e) || e.Code != c.code || e.Word != c.word {
				t.Errorf("%q: %v, want %s of %s", c.csv, err, c.code, c.word)
			}
		case err != nil:
			t.Errorf("%q: %v", c.csv, err)
		case shown(next) != c.want:
			t.Errorf("%q:\n%swant\n%s", c.csv, shown(next), c.want)
		}
	}
}

func TestPutBelowRefusesWhatIsNoBlocks(t *testing.T) {
	f := read(t, "a,b,c,d\n1,2,,\n3,4,,\n")
	for code, blocks := range map[string][][]string{
		"columns-differ": {{"a", "b"}, {"c"}},
		"column-twice":   {{"a", "b"}, {"c", "a"}},
		"unknown-column": {{"a"}, {"e"}},
		"no-rows":        {{"c"}, {"d"}},
	} {
		var e *frames.Error
		if _, _, err := f.PutBelow(t.Context(), blocks); !errors.As(err, &e) || e.Code != code {
			t.Errorf("%q: %v, want %s", blocks, err, code)
		}
	}
	ctx, end := context.WithCancel(t.Context())
	end()
	if _, _, err := f.PutBelow(ctx, [][]string{{"a"}, {"b"}}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// A group's name in a header of two lines becomes a level.
func TestPutBelowTellsNamedBlocksApart(t *testing.T) {
	f := read(t, ",Spring,,Autumn,\nday,joint,load,joint,load\nd1,A1,2410,B1,2010\nd2,A2,2510,B2,2110\nd3,A3,2511,,\n")
	next, met, err := f.PutBelow(t.Context(), [][]string{{"joint", "load"}, {"joint_second", "load_second"}})
	if err != nil || met.Group != "group" {
		t.Fatalf("%+v, %v", met, err)
	}
	c, _ := next.Column("group")
	cell, _ := next.Cell("group", 3)
	if fmt.Sprint(c.Levels) != "[Spring Autumn]" || cell != "Autumn" || next.Len() != 5 {
		t.Errorf("levels %q, row 4 is from %s of %d", c.Levels, cell, next.Len())
	}
}

// TestPutBelowIsEachBlockInTurn: whatever is in the blocks, the numbers of the first are followed
// by those of the second, and so on, each with its shared cells and its line.
func TestPutBelowIsEachBlockInTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		times, rows := rapid.IntRange(2, 4).Draw(t, "times"), rapid.IntRange(1, 12).Draw(t, "rows")
		var b strings.Builder
		b.WriteString("id")
		for range times {
			b.WriteString(",load (N),wide (mm)")
		}
		var want [][4]float64
		cells := make([][]float64, times)
		for k := range times {
			cells[k] = rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 2*rows, 2*rows).Draw(t, "cells")
			for i, gone := range rapid.SliceOfN(rapid.Bool(), 2*rows, 2*rows).Draw(t, "gone") {
				if gone && !(k == 0 && i == 0) {
					cells[k][i] = math.NaN()
				}
			}
		}
		for row := range rows {
			fmt.Fprintf(&b, "\n%d", row+1)
			for k := range times {
				for _, x := range cells[k][2*row : 2*row+2] {
					if b.WriteByte(','); x == x {
						fmt.Fprint(&b, x)
					}
				}
			}
		}
		for k := range times {
			for row := range rows {
				if load, wide := cells[k][2*row], cells[k][2*row+1]; load == load || wide == wide {
					want = append(want, [4]float64{float64(row + 1), load, wide, float64(row + 2)})
				}
			}
		}
		f, r, err := reading.Read(context.Background(), "x.csv", []byte(b.String()+"\n"), reading.Overrides{})
		if err != nil || len(r.Blocks) != times {
			t.Fatalf("%d blocks, %v in %q", len(r.Blocks), err, b.String())
		}
		next, _, err := f.PutBelow(context.Background(), r.Blocks)
		if err != nil {
			t.Fatal(err)
		}
		var got [][4]float64
		id, _ := next.Numbers("id")
		load, _ := next.Numbers("load")
		wide, _ := next.Numbers("wide")
		for row := range next.Len() {
			got = append(got, [4]float64{id[row], load[row], wide[row], float64(next.Line(row))})
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("got  %v\nwant %v\nof %q", got, want, b.String())
		}
	})
}
