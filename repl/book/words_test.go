package book

import (
	"strings"
	"testing"

	"breakbook/repl/page"
)

// A report explains the words that its results use, and no others: not those the user alone
// wrote, nor parts of longer words.
func TestReportExplainsItsWords(t *testing.T) {
	d := Document{
		Entries: []page.Entry{
			{Number: 1, Kind: "note", Input: "note the median board", Prose: "the median board"},
			{Number: 2, Kind: "compare", Input: "compare load by cv",
				Findings: []page.Sentence{page.Say("One meaning, ", page.Chance(0.2), ": cannot tell.")},
				Tables: []page.Table{{ID: "groups", Columns: []page.Column{{ID: "sd"}},
					Rows: [][]page.Cell{{page.N(3)}}}}},
		},
		Words: []Word{{"p", "chance"}, {"mean", "average"}, {"median", "middle"}, {"cannot tell", "open"},
			{"sd", "scatter"}, {"cv", "in percent"}},
	}
	var got []string
	for _, row := range d.wordTable().Rows {
		got = append(got, row[0].Text+": "+row[1].Text)
	}
	if want := "p: chance, cannot tell: open, sd: scatter"; strings.Join(got, ", ") != want {
		t.Errorf("explained are %q, want %q", got, want)
	}
}
