package series

import (
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// plain is a sentence with its numbers as they are.
func plain(s page.Sentence) string {
	var b strings.Builder
	for _, part := range s {
		switch p := part.(type) {
		case page.Word:
			b.WriteString(string(p))
		case page.Num:
			b.WriteString(strconv.FormatFloat(p.Value, 'g', -1, 64))
		}
	}
	return b.String()
}

// g2 opens a file once more.
var g2 = reopening{phrase.Open{File: phrase.File{Path: "g.csv"}}, "g_2"}

// TestEveryRemarkIsSaidInWords reads the codes off the list in frames and asks of each
// for one sentence that names the line or the file and does not fall back on the code.
func TestEveryRemarkIsSaidInWords(t *testing.T) {
	source, err := os.ReadFile("../../frames/remark.go")
	if err != nil {
		t.Fatal(err)
	}
	codes := regexp.MustCompile(`(?m)^//\t([a-z0-9-]+)  +`).FindAllStringSubmatch(string(source), -1)
	if len(codes) < 25 {
		t.Fatalf("%d codes found in the list of remarks", len(codes))
	}
	for _, match := range codes {
		code := match[1]
		for _, count := range []int{1, 3} {
			r := frames.Remark{Code: code, Column: "peak", Line: 27, Word: "1.234", Count: count,
				Cells: []frames.CellAt{{Line: 27, Word: "1.234"}}}
			got, line, offered := strings.Cut(plain(remark(r, g2)), "type: ")
			if offered && (!strings.HasPrefix(line, "open g.csv") || !strings.HasSuffix(line, " as g_2")) {
				t.Errorf("%s: the line offered is %q", code, line)
			}
			if offered {
				got = plain(remark(r, reopening{}))
			}
			if strings.Contains(got, code) && code != "blank-lines" {
				t.Errorf("%s is said by its code: %q", code, got)
			}
			if !strings.HasSuffix(got, ".") || !strings.Contains(got, "27") && !strings.HasPrefix(code, "look-") &&
				!strings.HasPrefix(code, "workbook-") {
				t.Errorf("%s: %q is no sentence with the line", code, got)
			}
		}
	}
}

func TestRemarksSayTheWayOut(t *testing.T) {
	for _, c := range []struct {
		remark frames.Remark
		want   string
	}{
		{frames.Remark{Code: "mass-as-load", Column: "load", Word: "kg", Line: 1}, "type unit load is kgf."},
		{frames.Remark{Code: "mass-as-load", Column: "load", Word: "lb", Line: 1}, "type unit load is lbf."},
		{frames.Remark{Code: "odd-bytes", Column: "wood", Word: "L\ufffdrche", Line: 14, Count: 1},
			"wood has a byte that is in no letter of the file's encoding in line 14: “L\ufffdrche”; this cell is " +
				"taken as missing. If the file is in another encoding, open it again with encoding and " +
				"its name, as g_2."},
		{frames.Remark{Code: "odd-bytes", Column: "wood", Word: "L\ufffdrche", Line: 14, Count: 3},
			"this cell and 2 more are taken as missing. If the file is in another encoding, open it again with " +
				"encoding and its name, as g_2."},
		{frames.Remark{Code: "odd-bytes", Column: "glue_lin", Word: "Glue lin\ufffd", Line: 1},
			"For a better name, type rename glue_lin to and the name."},
		{frames.Remark{Code: "odd-bytes", Line: 2, Count: 1}, "no cell is affected."},
		{frames.Remark{Code: "mass-as-load", Column: "load", Word: "g", Line: 1},
			"type convert load to kg, and then unit load is kgf."},
		{frames.Remark{Code: "stray-word", Column: "load", Word: ">300", Line: 4, Count: 1},
			"write the number alone, and held where it says how it failed: its load is then a lower bound. Or type " +
				"treat load as number to make the cell missing."},
		{frames.Remark{Code: "stray-word", Column: "load", Word: "≥ 300", Line: 4, Count: 2},
			"“≥ 300” in line 4 and 1 more; it is read as words. If a specimen held so much and did not break"},
		{frames.Remark{Code: "stray-word", Column: "load", Word: "slipped > 2 mm", Line: 4, Count: 1},
			"it is read as words. Type treat load as number to make such cells missing."},
		{frames.Remark{Code: "stray-word", Column: "load", Word: "slipped", Line: 4, Count: 3},
			"“slipped” in line 4 and 2 more; it is read as words. Type treat load as number"},
		{frames.Remark{Code: "guessed-thousands", Column: "load", Word: "1,250", Line: 2, Count: 2},
			"type: open g.csv decimal comma as g_2"},
		{frames.Remark{Code: "doubtful-decimal", Word: "1.250", Line: 2}, "type: open g.csv thousands point as g_2"},
		{frames.Remark{Code: "other-decimal-mark", Column: "load", Word: "1.5", Line: 2, Count: 9},
			"type: open g.csv decimal point as g_2"},
		{frames.Remark{Code: "few-numbers", Column: "load", Word: "12½", Line: 2, Count: 3,
			Cells: []frames.CellAt{{Line: 2, Word: "12½"}, {Line: 5, Word: "inf"}}},
			"3 of its cells are no numbers: “12½” in line 2, “inf” in line 5 and 1 more. Put numbers in their place " +
				"in the file, or nothing; then type: open g.csv as g_2"},
		{frames.Remark{Code: "odd-date", Word: "31/31/2024", Line: 2}, "type: open g.csv as g_2"},
		{frames.Remark{Code: "two-line-header", Column: "load_dry", Word: "Load", Line: 3},
			"type: open g.csv header row 3 as g_2"},
		{frames.Remark{Code: "ambiguous-dates", Column: "day", Word: "05/06/2024", Line: 2},
			"type: open g.csv dates as month-day-year as g_2"},
		{frames.Remark{Code: "preamble", Word: "Rig 2", Line: 1, Count: 1},
			"1 line above the header from line 1 on (“Rig 2”) was skipped"},
	} {
		if got := plain(remark(c.remark, g2)); !strings.Contains(got, c.want) {
			t.Errorf("%s: %q does not say %q", c.remark.Code, got, c.want)
		}
	}
}

func TestOpenedNamesOnlyWhatTheFileHas(t *testing.T) {
	r := &frames.Reading{Separator: "comma", Decimal: "point", Thousands: "none", Encoding: "UTF-8", HeaderLine: 1}
	if got, want := plain(opened("g.csv", 1, 2, r)), "g.csv: 1 specimen in 2 columns, read as UTF-8, cells separated "+
		"by comma, decimal point, header in line 1."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	*r = frames.Reading{Separator: "semicolon", Decimal: "comma", Thousands: "point", Encoding: "Windows-1252",
		HeaderLine: 3, UnitsLine: 4,
		Dates: "day-month-year", Packed: true, MissingWords: []string{"n/a"}}
	got := plain(opened("g.csv", 3, 1, r))
	for _, want := range []string{"header in line 3", "units in line 4", "thousands parted by point",
		"dates day-month-year", "from a gzip", "taken as missing: “n/a”"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
}
