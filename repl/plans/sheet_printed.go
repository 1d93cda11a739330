package plans

import (
	"path/filepath"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// printed reports whether a test sheet of that name is a page to print.
func printed(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".html", ".htm":
		return true
	}
	return false
}

// sheetPrints tells what comes out of the printer, and where the results go afterwards.
func sheetPrints(days []page.PrintedDay) page.Sentence {
	n, s := len(days), page.Say("It is to be printed, and filled in by hand")
	switch {
	case n > 1 && days[0].Day != "":
		s = page.Say("Printed, each of ", n, " days begins a new page, to fill in by hand")
	case n > 1:
		s = page.Say("Printed, each of ", n, " stages begins a new page, to fill in by hand")
	}
	return append(s, page.Word("; the same sheet as a .csv has the same lines, to type the results into."))
}

// toBePrinted lays a test sheet out on pages: a bench day each, else a stage, else all in one. The day and the stage
// stand over their lines, and in none of their columns.
func toBePrinted(s *frames.Sheet, r session.Result, l layOut, filling []string) *page.Printed {
	aim := append(page.Say("Test sheet of "+r.Name+", "), r.Plan.Aim(r.Plan.Of)...)
	if len(r.Plan.Factors) > 0 {
		aim = append(aim, page.Word(", by "+strings.Join(r.Plan.Factors, " and ")))
	}
	out := &page.Printed{Plan: r.Name, Aim: append(aim, page.Word(". To be worked through in this order.")),
		Stages: l.stages, Filling: filling, Cautions: safety()}
	said := func(i int) bool { return i == l.dayAt || i == l.stageAt }
	for i, c := range s.Columns {
		if said(i) {
			continue
		}
		out.Columns = append(out.Columns, page.PrintedColumn{Label: c.Label, Unit: c.Unit.String(),
			Fill: s.Rows[0][i] == ""})
	}
	for i, row := range s.Rows {
		day := page.PrintedDay{Day: cellAt(row, l.dayAt), Stage: cellAt(row, l.stageAt)}
		if n := len(out.Days); i == 0 || day.Day != out.Days[n-1].Day || day.Stage != out.Days[n-1].Stage {
			out.Days = append(out.Days, day)
		}
		today := &out.Days[len(out.Days)-1]
		var line []string
		for at, cell := range row {
			if !said(at) {
				line = append(line, cell)
			}
		}
		today.Rows = append(today.Rows, line)
	}
	return out
}

// cellAt is what a line says in a column; "" without one.
func cellAt(row []string, at int) string {
	if at < 0 {
		return ""
	}
	return row[at]
}
