package reading

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/frames"
)

func sampleSheet(t *testing.T) *frames.Written {
	t.Helper()
	s := &frames.Sheet{Notes: []string{"Test sheet of plan1", "stand clear, wear a mask"}, Columns: []frames.Column{
		{Name: "order", Label: "Order", Kind: frames.Number, Role: frames.Order},
		{Name: "joint", Label: "Joint", Kind: frames.Text, Role: frames.Specimen},
		{Name: "board", Label: "Board", Kind: frames.Category, Role: frames.Block},
		{Name: "pins", Label: "Pins", Kind: frames.Category, Levels: []string{"none", "pair"}},
		{Name: "thickness", Label: "Thickness", Kind: frames.Category, Levels: []string{"34", "44"}},
		{Name: "load", Label: "Load", Kind: frames.Number, Role: frames.Load},
		{Name: "failure", Label: "Failure", Kind: frames.Category, Role: frames.Failure}},
		Rows: [][]string{{"1", "p-3", "block 1", "none", "44", "", ""}, {"2", "p-1", "block 1", "pair", "34", "", ""},
			{"3", "p-4", "block 2", "none", "34", "", ""}, {"4", "p-2", "block 2", "pair", "44", "", ""}}}
	w, err := s.Write()
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// What a person does to a sheet at the bench and in a spreadsheet leaves it the same sheet;
// another plan's, or one whose given cells were changed, is another.
func TestFilledIn(t *testing.T) {
	w := sampleSheet(t)
	plain := string(w.CSV)
	filled := strings.NewReplacer("p-3,block 1,none,44,,", "p-3,block 1,none,44,31.5,glue", "p-1,block 1,pair,34,,",
		"p-1,block 1,pair,34,40,wood",
		"p-2,block 2,pair,44,,", "p-2,block 2,pair,44,,spoilt").Replace(plain)
	lines := strings.SplitAfter(filled, "\n")
	swapped := strings.Join(append(lines[:3:3], lines[6], lines[4], lines[3], lines[5]), "")
	for _, c := range []struct {
		name, old string
		want      string // "results of specimens", or "another"
	}{
		{"as written", plain, "0 of 4"},
		{"filled in", filled, "2 of 4"},
		{"lines sorted anew", swapped, "2 of 4"},
		{"without its notes", strings.Join(lines[2:], ""), "2 of 4"},
		{"with a column more", strings.NewReplacer("Failure\n", "Failure,Remark\n", "glue\n",
			"glue,creaked\n").Replace(filled), "2 of 4"},
		{"with a spare specimen", filled + "5,spare,block 2,none,44,38,glue\n", "2 of 4"},
		{"saved by a spreadsheet", "\xef\xbb\xbf" + strings.ReplaceAll(strings.NewReplacer("# stand clear, wear a mask",
			`"# stand clear, wear a mask"`, ",", ";",
			"44", "44,0", "31.5", "31,5", "\n", "\r\n").Replace(filled), "clear;", "clear,"), "2 of 4"},
		{"boards named", strings.NewReplacer("block 1", "K", "block 2", "L").Replace(filled), "2 of 4"},
		{"one board for two", strings.NewReplacer("block 1", "K", "block 2", "K").Replace(filled), "another"},
		{"a level changed", strings.Replace(filled, "p-1,block 1,pair", "p-1,block 1,none", 1), "another"},
		{"an order changed", strings.Replace(filled, "2,p-1", "9,p-1", 1), "another"},
		{"a specimen gone", strings.Join(lines[:5], "") + lines[6], "another"},
		{"other names", strings.ReplaceAll(filled, "p-", "q-"), "another"},
		{"a column gone", strings.NewReplacer("Pins,", "", "none,", "", "pair,", "").Replace(filled), "another"},
		{"empty", "", "another"},
		{"no table", "Dear Anna,\nthe joints broke.\n", "another"},
	} {
		f, same := FilledIn(t.Context(), w, []byte(c.old), "load")
		got := "another"
		if same {
			got = fmt.Sprintf("%d of %d", f.Results, f.Of)
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s\n%s", c.name, got, c.want, c.old)
		}
	}
}
