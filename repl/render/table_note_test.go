package render

import (
	"bytes"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// TestNotesExplainWhatIsShown: a part of a note about columns that had no room is left out, one
// that explains a column still shown is not.
func TestNotesExplainWhatIsShown(t *testing.T) {
	const note = "difference: second less first; low and high: 95 % interval; detectable: the smallest true difference"
	for _, c := range []struct {
		left []string
		want string
	}{
		{[]string{"detectable (kgf)"}, "difference: second less first; low and high: 95 % interval"},
		{[]string{"high (N)"}, note},
		{[]string{"low (N)", "high (N)", "detectable (N)"}, "difference: second less first"},
		{[]string{"statistic"}, note},
	} {
		if got := noteOf(note, c.left); got != c.want {
			t.Errorf("without %v: %q, want %q", c.left, got, c.want)
		}
	}
}

// A column of numbers worked out that has none is not shown, nor explained, and opens no fold of its own: on the
// screen, on a page, in a text. One of words is, and so is one of the sheet, which may be there to be filled in.
func TestColumnsOfNothingAreNotShown(t *testing.T) {
	table := page.Table{ID: "sizes", Note: page.Say("chance: of being shown; df: degrees of freedom"),
		Columns: []page.Column{{ID: "n", Style: page.Count}, {ID: "chance", Unit: "%"},
			{ID: "load", Unit: "kgf", Given: true}, {ID: "remark"}, {ID: "df", Style: page.DF, Wide: true}},
		Rows: [][]page.Cell{{page.N(7), page.N(80), {}, {}, {}}, {page.N(9), page.N(90), {}, {}, {}}}}
	e := page.Entry{Number: 1, Input: "plan load by pins", Kind: "plan", Tables: []page.Table{table}}
	var web, text bytes.Buffer
	if err := HTML(&web, e, Surroundings{}, Options{}); err != nil {
		t.Fatal(err)
	}
	if err := Markdown(&text, e, Surroundings{}, Options{}); err != nil {
		t.Fatal(err)
	}
	for where, got := range map[string]string{"screen": tableText(table, true, Options{}), "page": web.String(),
		"text": text.String()} {
		for _, want := range []string{"chance", "load", "remark", "of being shown"} {
			if !strings.Contains(got, want) {
				t.Errorf("%s without %s:\n%s", where, want, got)
			}
		}
		for _, gone := range []string{"df", "freedom", "More columns", "No room"} {
			if strings.Contains(got, gone) {
				t.Errorf("%s with %s:\n%s", where, gone, got)
			}
		}
	}
	table.Rows[1][4] = page.N(12)
	if got := tableText(table, true, Options{}); !strings.Contains(got, "df: degrees of freedom") {
		t.Errorf("one df is known:\n%s", got)
	}
}

// A column that there is no room for is named as one.
func TestLeftOutColumnIsCalledOne(t *testing.T) {
	for width, want := range map[int]string{
		80: "No room for the columns standard error, degrees of freedom; a report has them",
		84: "No room for the column degrees of freedom; a report has it."} {
		if got := screen(t, wholeFit(), Options{Width: width}); !strings.Contains(got, want) {
			t.Errorf("%d wide:\n%s", width, got)
		}
	}
}
