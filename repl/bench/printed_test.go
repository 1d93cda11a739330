package bench

import (
	"bytes"
	"encoding/csv"
	"slices"
	"testing"
)

// A sheet to print has the lines of the CSV of the same plan in its order, and all of a day together, whose day and
// stage stand over them: with days and stages, with either, and with none.
func TestPrintedSheetHasTheLinesOfTheCSV(t *testing.T) {
	for _, c := range []struct {
		plan, day string
		pages     int
	}{
		{"plan load by pins with 8 in 2 stages", " with 5 a day", 8}, // of four levels: 16 a stage, so 5, 5, 5 and 1
		{"plan load by pins with 8 in 2 stages", "", 2},
		{"plan load by pins, place with 3", " with 4 a day", 6},
		{"plan load by pins with 6", "", 1},
	} {
		b := newBench(t)
		b.run("open gates.csv", c.plan)
		r := csv.NewReader(bytes.NewReader(b.run("sheet of plan1 to s.csv" + c.day).Asks[0].Content))
		r.Comment = '#'
		lines, err := r.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, column := range []string{"Test stage", "Day"} {
			if at := slices.Index(lines[0], column); at >= 0 {
				for i := range lines {
					lines[i] = slices.Delete(lines[i], at, at+1)
				}
			}
		}
		e := b.run("sheet of plan1 to s.html" + c.day)
		if len(e.Asks) != 1 || e.Asks[0].Printed == nil {
			t.Fatalf("%s%s asks for %+v", c.plan, c.day, e.Asks)
		}
		p := e.Asks[0].Printed
		var rows [][]string
		for i, d := range p.Days {
			if len(d.Rows) == 0 || i > 0 && d.Day == p.Days[i-1].Day && d.Stage == p.Days[i-1].Stage {
				t.Errorf("%s%s: page %d is of %d lines, of day %q", c.plan, c.day, i+1, len(d.Rows), d.Day)
			}
			rows = append(rows, d.Rows...)
		}
		if !slices.EqualFunc(rows, lines[1:], slices.Equal[[]string]) {
			t.Errorf("%s%s prints %q\nwant %q", c.plan, c.day, rows, lines[1:])
		}
		if len(p.Days) != c.pages || len(p.Columns) != len(lines[0]) {
			t.Errorf("%s%s: %d pages and %d columns, want %d and %d", c.plan, c.day, len(p.Days), len(p.Columns),
				c.pages, len(lines[0]))
		}
		if want := []string{"sheet of plan1 to plan1.csv" + c.day}; !slices.Equal(e.Next, want) {
			t.Errorf("%s%s offers %q, want %q", c.plan, c.day, e.Next, want)
		}
	}
}
