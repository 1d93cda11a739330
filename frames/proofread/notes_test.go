package proofread

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"breakbook/frames/reading"
)

// TestNotesUnderATable: every expectation is typed by hand from looking at the rows.
func TestNotesUnderATable(t *testing.T) {
	const named = "specimen,glue,load\nS1,PU,901\nS2,PVA,884\nS3,PU,935\nS4,PVA,871\n"
	const numbered = "no,glue,load\n1,PU,901\n2,PVA,884\n3,PU,935\n4,PVA,871\n"
	for _, c := range []struct {
		name, file string
		rows       []int
	}{
		{"with a colon", named + "Notes: S4 had a knot,,\n", []int{4}},
		{"words twice as long as the names", named + "S4 had a knot,,\n", []int{4}},
		{"two lines", named + "Notes:,,\nS4 had a knot,,\n", []int{4, 5}},
		{"under a blank line", named + "\nNotes: S4 had a knot\n", []int{4}},
		{"among numbers", numbered + "knots,,\n", []int{4}},
		{"an unfinished sheet", named + "S5,,\nS6,,\n", nil},
		{"a spare joint", named + "S5,,\nspare joint 1,,\n", nil},
		{"one word", named + "spare,,\n", nil},
		{"a number still empty", numbered + "5a,,\n", nil},
		{"a note under an unfinished sheet", named + "S5,,\nNotes: S5 tomorrow,,\n", []int{5}},
		{"names with colons", strings.ReplaceAll(named, "S", "S:") + "S:5,,\n", nil},
		{"long names", strings.ReplaceAll(named, "S", "joint of oak ") + "joint of larch 12,,\n", nil},
		{"another cell filled", named + "Notes: S4 had a knot,,900\n", nil},
		{"too few specimens above", "specimen,glue,load\nS1,PU,901\nNotes: the first day,,\n", nil},
		{"in between", named + "Day two: dry,,\nS5,PU,900\n", nil},
	} {
		f, _, err := reading.Read(t.Context(), "x.csv", []byte(c.file), reading.Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		all, err := Read(t.Context(), f, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var rows []int
		for _, r := range all {
			switch r.Code {
			case Note:
				rows = r.Rows
			case AlmostNum:
				t.Errorf("%s: %s is also told to be nearly numbers", c.name, r.Column)
			}
		}
		if !slices.Equal(rows, c.rows) {
			t.Errorf("%s: notes in rows %v, want %v", c.name, rows, c.rows)
		}
	}
}

func TestANoteUnderALongTable(t *testing.T) {
	var b strings.Builder
	b.WriteString("specimen,load\nthe very first specimen of all,900\n")
	for i := range Long {
		b.WriteString("S" + strconv.Itoa(i) + ",9" + strconv.Itoa(i%90+10) + "\n")
	}
	b.WriteString("these were dried first,\n")
	f, _, err := reading.Read(t.Context(), "x.csv", []byte(b.String()), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	all, err := Notes(t.Context(), f)
	if err != nil || len(all) != 1 || !slices.Equal(all[0].Rows, []int{Long + 1}) {
		t.Errorf("%v, %v", all, err)
	}
}
