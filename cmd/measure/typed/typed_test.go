package typed

import (
	"math"
	"os"
	"testing"

	"breakbook/repl/page"
)

// What stands in an entry is read by the ids of tables, columns and values, and what does not is missed.
func TestEntriesAreReadById(t *testing.T) {
	e := page.Entry{Tables: []page.Table{{ID: "other"}, {ID: "terms",
		Columns: []page.Column{{ID: "term"}, {ID: "effect"}, {ID: "low"}},
		Rows:    [][]page.Cell{{page.T("density"), page.N(2), page.N(1)}, {page.T("thickness"), {}, {}}}}},
		Values: []page.Value{{ID: "n", Cell: page.N(7)}}}
	rows, err := Rows(e, "terms", "low", "term")
	if err != nil || len(rows) != 2 || rows[0][0].Num != 1 || rows[1][1].Text != "thickness" {
		t.Errorf("%v: %v", rows, err)
	}
	if _, err := Rows(e, "terms", "term", "answer"); err == nil {
		t.Error("a missing column is not missed")
	}
	if _, err := Rows(e, "differences", "first"); err == nil {
		t.Error("a missing table is not missed")
	}
	if rows := Columns(e.Tables[0], "term"); rows != nil {
		t.Errorf("a table without the column has rows %v", rows)
	}
	if n := Value(e, "n").Num; n != 7 || !math.IsNaN(Value(e, "m").Num) {
		t.Errorf("n is %v, m %v", n, Value(e, "m").Num)
	}
}

// Each series is opened in a book of its own or in one that goes on, from a file of which nothing stays.
func TestSeriesAreAsked(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	t.Setenv("TMP", temp)
	csv := CSV([]string{"specimen", "load (N)"}, [][]string{{"A1", "400"}, {"A2", "500"}})
	if e, err := Ask(t.Context(), csv, "look"); err != nil || len(e.Tables) == 0 {
		t.Errorf("%d tables: %v", len(e.Tables), err)
	}
	if _, err := Ask(t.Context(), csv, "average strength"); err == nil {
		t.Error("a column that there is not was averaged")
	}
	var b Book
	for _, name := range []string{"first", "second"} {
		if err := b.Open(t.Context(), name, csv); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := b.Run(t.Context(), "pool first, second as both; look"); err != nil {
		t.Error(err)
	}
	if left, err := os.ReadDir(temp); err != nil || len(left) > 0 {
		t.Errorf("%d files are left behind: %v", len(left), err)
	}
}
