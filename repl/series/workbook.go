package series

import (
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
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

// otherSheets tells why a sheet was read and not another, with the line that reads another; nil where there is none.
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
	if k.Session.NameTaken(session.SeriesName(path)) || k.Entry.Series == session.SeriesName(path) {
		line.As = &phrase.Name{Text: freeName(k, notation.PlainName(sheet), session.SeriesName(path))}
	}
	return phrase.Line(line)
}
