package reading

import (
	"errors"
	"strings"
	"testing"

	"breakbook/frames"
)

// TestAHeaderLikeTheRowsIsDoubted: every expectation is typed by hand from looking at the file.
func TestAHeaderLikeTheRowsIsDoubted(t *testing.T) {
	const doubted, sure = true, false
	for _, c := range []struct {
		name, file string
		want       bool
	}{
		{"a word of its column", "1,oak,700\n2,larch,560\n3,oak,690\n", doubted},
		{"a name written like those below", "S1,oak,700\nS2,larch,560\nS3,oak,690\n", doubted},
		{"a level met once beside two numbers", "1,cherry,700\n2,larch,560\n3,oak,690\n", doubted},
		{"a level met once beside one", "cherry,700\nlarch,560\noak,690\n", sure},
		{"a load with its unit", "S1,oak,700 N\nS2,larch,560 N\nS3,oak,690 N\n", doubted},
		{"decimal commas", "S1;612,5;700\nS2;598,5;560\nS3;640,0;690\n", doubted},
		{"names", "specimen,wood,load\n1,oak,700\n2,larch,560\n", sure},
		{"words above numbers", "oak,700,load\noak,560,5\nlarch,690,6\n", sure},
		{"steps as headers", "specimen,20,40,60\nS1,30,35,50\nS2,25,42,61\n", sure},
		{"numbers beyond those below", "wood,20,40\noak,700,650\nlarch,560,610\n", sure},
		{"a number above words", "oak,700,12\noak,560,none\nlarch,690,two\n", sure},
		{"nothing but texts", "oak,glue\noak,wood\nlarch,glue\n", sure},
	} {
		_, r, err := Read(t.Context(), "x.csv", []byte(c.file), Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, m := range r.Remarks {
			if m.Code == "data-in-header" {
				got = m.Word
			}
		}
		first, _, _ := strings.Cut(c.file, "\n")
		if cells := splitCells(first); c.want && got != cells || !c.want && got != "" {
			t.Errorf("%s: doubted for %q; want %v", c.name, got, c.want)
		}
	}
	given := "1,oak,700\n2,oak,560\n"
	if _, r, err := Read(t.Context(), "x.csv", []byte(given), Overrides{HeaderRow: 1}); err != nil ||
		len(r.Remarks) > 0 {
		t.Errorf("a header that was given is doubted: %v %v", r, err)
	}
}

// splitCells lists the cells of a line of these files.
func splitCells(line string) string {
	mark := ","
	if strings.Contains(line, ";") {
		mark = ";"
	}
	return strings.Join(strings.Split(line, mark), ", ")
}

func TestAFileWithoutAHeader(t *testing.T) {
	for _, c := range []struct {
		name, file, want string
		o                Overrides
	}{
		{"the first line is a specimen", "S1,oak,700 N\nS2,larch,560 N\nS3,oak,690 N\n",
			`column_1 text "column_1": S1 S2 S3
column_2 category "column_2": oak larch oak
column_3 number [N] "column_3": 700 560 690
`, Overrides{}},
		{"as wide as the widest of the first lines", "S1,700\nS2,560,split\n",
			`column_1 text "column_1": S1 S2
column_2 number "column_2": 700 560
column_3 text "column_3": ~ split
`, Overrides{}},
		{"a row of units above", "mm,N\n34,700\n44,560\n", `column_1 number [mm] "column_1": 34 44
column_2 number [N] "column_2": 700 560
`, Overrides{UnitsRow: 1}},
		{"one column", "700\n560\n690\n", "column_1 number \"column_1\": 700 560 690\n", Overrides{}},
	} {
		c.o.NoHeader = true
		f, r, err := Read(t.Context(), "x.csv", []byte(c.file), c.o)
		if err != nil {
			t.Fatal(err)
		}
		if got := shown(f); got != c.want || r.HeaderLine != 0 || f.Line(0) != 1+c.o.UnitsRow {
			t.Errorf("%s: line %d\n%swant\n%s", c.name, f.Line(0), got, c.want)
		}
	}
	var e *frames.Error
	late := strings.Repeat("S1,700\n", 200) + "S2,560,split\n"
	_, _, err := Read(t.Context(), "x.csv", []byte(late), Overrides{NoHeader: true})
	if !errors.As(err, &e) || e.Code != "ragged-row" || e.Line != 201 ||
		e.Detail != "3 cells where the first lines have at most 2" {
		t.Errorf("a longer row after the first lines: %v", err)
	}
}
