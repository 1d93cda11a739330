package series

import (
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// sheetRow is a sheet of the workbook that was opened.
type sheetRow struct {
	Sheet string  `id:"sheet"`
	Rows  float64 `id:"rows" style:"count"`
	Read  bool    `id:"read"`
	File  string  `id:"file" wide:"yes"`
}

// sheetTable lists the sheets of a workbook that have cells.
func sheetTable(path string, r *frames.Reading) page.Table {
	var rows []sheetRow
	for _, s := range r.Sheets {
		n := page.None
		if s.Rows >= 0 {
			n = float64(s.Rows)
		}
		rows = append(rows, sheetRow{s.Name, n, s.Name == r.Sheet, path})
	}
	return page.Filled(page.Table{ID: "sheets", Title: page.Say("Sheets of the workbook")}, rows, nil)
}

// otherSheets tells why a sheet was read and not another, with the line that reads another;
// nil where there is none.
func otherSheets(k *session.Call, cmd *phrase.Open, r *frames.Reading) page.Sentence {
	other := slices.IndexFunc(r.Sheets, func(s frames.SheetOf) bool { return s.Name != r.Sheet && s.Rows != 0 })
	if other < 0 {
		return nil
	}
	why := "Of its sheets “" + r.Sheet + "” looks most like a series"
	if cmd.Sheet != nil {
		why = "It has other sheets"
	}
	return page.Say(why + "; for another, type " + openSheet(k, cmd.File.Path, r.Sheets[other].Name) + ".")
}

// openSheet is the line that opens a sheet of a workbook, under a name that is free.
func openSheet(k *session.Call, path, sheet string) string {
	line := &phrase.Open{File: phrase.File{Path: path}, Sheet: &phrase.Text{Text: sheet}}
	if k.Session.Taken(session.SeriesName(path)) || k.Entry.Series == session.SeriesName(path) {
		line.As = &phrase.Name{Text: freeName(k, notation.PlainName(sheet), session.SeriesName(path))}
	}
	return phrase.Line(line)
}

// sheetRemark puts what a sheet holds that its cells do not show into words; nil for another
// remark.
func sheetRemark(r frames.Remark) page.Sentence {
	more := func(s page.Sentence, one, many string) page.Sentence {
		if r.Count == 1 {
			return append(s, page.Word(one))
		}
		return append(s, page.Say(" and ", r.Count-1, " more "+many)...)
	}
	switch r.Code {
	case "error-cells":
		s := page.Say(r.Column+" shows the error "+r.Word+" in line ", r.Line)
		return more(s, "; this cell is taken as missing.", say.Plural(r.Count-1, "cell shows", "cells show")+
			" an error; they are taken as missing.")
	case "no-stored-value":
		s := page.Say(r.Column+" has a formula in line ", r.Line)
		return append(more(s, " whose value is not stored; it is taken as missing.",
			say.Plural(r.Count-1, "cell has", "cells have")+" one, whose value is not stored; they are taken as missing."),
			page.Word(" A spreadsheet program works them out when it opens and saves the file."))
	case "merged-cells":
		return page.Say(r.Count, say.Plural(r.Count, " area of merged cells", " areas of merged cells"),
			", the first in line ", r.Line, " ("+r.Column+"): only its first cell holds the value, the others are missing.")
	case "hidden-rows":
		return page.Say(r.Count, say.Plural(r.Count, " row", " rows")+" that the sheet does not show, the first line ",
			r.Line, ", "+say.Plural(r.Count, "is", "are")+" read like the others; set aside leaves specimens out.")
	case "hidden-columns":
		return page.Say("The sheet does not show "+r.Word+" (header in line ", r.Line, "); "+
			say.Plural(r.Count, "it is", "they are")+" read like the other columns.")
	case "workbook-macros":
		return page.Say("The workbook has macros, which are not run; its cells are as they were last saved.")
	case "workbook-damaged":
		return page.Say("The sheet “" + r.Word + "” is damaged and was not looked at; open it with sheet " +
			"and its name to see what is wrong.")
	}
	return nil
}
