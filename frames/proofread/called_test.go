package proofread

import (
	"slices"
	"strings"
	"testing"

	"breakbook/frames/reading"
)

// A row that is called a sum or the like is told where it is none of what stands above it; specimens are not, whatever
// letters their names have.
func TestRowsCalledFigures(t *testing.T) {
	for name, want := range map[string]Stat{"mean": Mean, "Mean:": Mean, " AVG. ": Mean, "Std. dev.": SD,
		"Standard deviation": SD, "Mittelwert": Mean, "Summe": Total, "moyenne": Mean, "Écart-type": SD, "n": "",
		"MAX": Most, "Max 2": "", "G12": "", "Meaning": "", "": "", "...": "", "total (all)": "", "SE": "",
		"gemiddelde": Mean, "NW": "", "Grand total": Total} {
		if got, is := CalledFigure(name); got != want || is != (want != "") {
			t.Errorf("%q is %q, %v, want %q", name, got, is, want)
		}
	}
	loads := "1,none,101\n2,pair,127\n3,none,153\n4,pair,170\n5,none,166\n6,pair,149\n7,none,118\n8,pair,133\n"
	for _, c := range []struct {
		name, head, footer string
		rows               []int
		stat               Stat
	}{
		{"none", "specimen", "9,none,140\n", nil, ""},
		{"the mean as it was", "specimen", "mean,,141.625\n", []int{8}, Mean},
		{"the mean as it is", "specimen", "mean,,139.625\n", nil, ""},
		{"two", "specimen", "sd,,31\nmean,,141.625\n", []int{8, 9}, SD},
		{"most rows", "specimen", strings.Repeat("mean,,141.625\n", 26), nil, ""},
		{"no names", "glue", "mean,,141.625\n", nil, ""},
		{"in another column", "specimen", ",mean,141.625\n,total,1200\n", []int{8, 9}, Mean},
		{"a level", "specimen", "9,max,160\n", nil, ""},
	} {
		f, _, err := reading.Read(t.Context(), "sheet.csv", []byte(c.head+",pins,load (N)\n"+loads+c.footer),
			reading.Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		all, err := Read(t.Context(), f, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var rows []int
		var stat Stat
		for _, r := range all {
			if r.Code == Called {
				rows, stat = r.Rows, r.Stat
			}
		}
		if !slices.Equal(rows, c.rows) || stat != c.stat {
			t.Errorf("%s: rows %v called %q, want %v, %q", c.name, rows, stat, c.rows, c.stat)
		}
	}
}
