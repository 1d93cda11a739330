package bench

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"breakbook/repl/page"
	"breakbook/repl/phrase/help"
	"breakbook/repl/series"
	"breakbook/repl/series/specimens"
)

// TestTablesKeepTheirContract runs every kind of command that the contracts of series and of
// the bench list, and holds its tables and values to the columns they tell.
func TestTablesKeepTheirContract(t *testing.T) {
	known := map[string]page.Contract{}
	for _, c := range slices.Concat(series.Contract, specimens.Contract, own()) {
		if _, twice := known[c.Kind]; twice {
			t.Errorf("%q is listed twice", c.Kind)
		}
		known[c.Kind] = c
	}
	given := map[string]bool{} // kind and table, or kind and "values"
	workbook, err := os.ReadFile(filepath.Join("..", "..", "testdata", "messy", "book_odd_cells.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(t)
	readings, err := os.ReadFile("gates_slip.csv")
	if err == nil {
		err = os.CopyFS("logs", fstest.MapFS{"notes.md": {Data: []byte("left")}, "slip.csv": {Data: readings}})
	}
	if err == nil {
		err = os.WriteFile("book.xlsx", workbook, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	lines := []string{"open gates.csv", "show series", "average load by pins", "show results",
		"look", "rows 3",
		"mark board as block", "unit load is N", "treat thickness as category",
		"levels of pins are none, single, pair, offset",
		"merge levels single, pair into pinned of pins", "undo", "rename test_day to day", "convert load to kN",
		"work out double = load * 2", "band density into 3", `set aside specimen G54 because "a knot"`,
		`correct load of G61 to 3.335 because "a digit lost"`, "show aside", "check series",
		"bring back specimen G54", "open gates.csv as second", "pool gates, second as both", "switch to gates",
		"put gates beside second by specimen as wide", "switch to second",
		"put pins below failure as tall", "switch to second", "read curves gates_slip.csv by specimen",
		"read curves logs by specimen", "open book.xlsx as book", "switch to second",
		"calibrate load from gauge.csv", "write out.csv", "close wide", "average load by pins each of place",
		"fit load on density", "adjust load to density 640 kg/m3", "forget fit1",
		"note words", "heading words", "conclude words", "save book b.brk", "resume", "forget journal",
		"replay gates.brk", "report r.html",
		"confidence 90%", "worth 10%", "chalk point 13 degC", "seed 7", "digits 4", "help", "help all",
		"help compare", "learn", "demo", "again all", "quit"}
	for _, t := range help.Topics {
		lines = append(lines, "help "+t.Name)
	}
	for _, line := range lines {
		e, err := b.try(line)
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		c, listed := known[e.Kind]
		if strings.Contains(line, " each of ") {
			c, listed = known[""], true
			c.Tables = append(slices.Clip(c.Tables), page.TableShape{ID: "groups"})
		} else if e.Kind == "average" || e.Kind == "fit" {
			continue // a family of its own
		}
		if !listed {
			t.Errorf("%s: its kind %q is in no contract", line, e.Kind)
		}
		for _, table := range e.Tables {
			i := slices.IndexFunc(c.Tables, func(s page.TableShape) bool { return s.ID == table.ID })
			if i < 0 {
				t.Errorf("%s: the contract has no table %q", line, table.ID)
			} else if row := c.Tables[i].Row; row != nil {
				given[c.Kind+" "+table.ID] = true
				tellsColumns(t, line, row, table.Columns)
			}
		}
		if len(e.Values) == 0 && c.Values != nil && !slices.ContainsFunc(page.Fields(c.Values),
			func(f page.Field) bool { return !f.Maybe }) {
			// of open: there for a test sheet alone
		} else if c.Kind != "" && (len(e.Values) > 0) != (c.Values != nil) {
			t.Errorf("%s: values %v, the contract has %v", line, e.Values, c.Values)
		} else if c.Values != nil {
			var columns []page.Column
			for _, v := range e.Values {
				columns = append(columns, page.Column{ID: v.ID, Label: v.Label, Unit: v.Unit, Style: v.Style})
			}
			tellsColumns(t, line, c.Values, columns)
		}
		given[e.Kind] = true
	}
	for kind, c := range known {
		for _, table := range c.Tables {
			// these need a curve without a figure, a specimen without a partner, and another file (again_all_test.go)
			if id := kind + " " + table.ID; !given[id] && id != "curves missing" && id != "put unmatched" &&
				kind != "again all" {
				t.Errorf("no command gave the table %q of %q", table.ID, kind)
			}
		}
		if kind != "" && kind != "again" && !given[kind] { // again is of the kind it does again
			t.Errorf("no command of the kind %q", kind)
		}
	}
}

// tellsColumns checks ids and styles of columns against the tags of a row; a person's own
// columns may stand where the row has several.
func tellsColumns(t *testing.T, line string, row reflect.Type, columns []page.Column) {
	t.Helper()
	fields := page.Fields(row)
	if len(fields) > 0 && fields[len(fields)-1].Type == page.ManyField {
		fields = fields[:len(fields)-1]
		columns = columns[:min(len(fields), len(columns))]
	}
	if len(fields) != len(columns) {
		t.Errorf("%s: %d columns, the contract has %d", line, len(columns), len(fields))
		return
	}
	for i, f := range fields {
		if c := columns[i]; f.ID != c.ID && !strings.HasPrefix(f.ID, "{") || f.Style != c.Style {
			t.Errorf("%s: the column %q of style %d is %q of style %d in the contract", line, c.ID, c.Style, f.ID,
				f.Style)
		}
	}
}
