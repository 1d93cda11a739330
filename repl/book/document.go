package book

import (
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// Document is what a report is made of. It holds no time and no machine: the same
// book gives the same report, byte for byte.
type Document struct {
	Title     string // empty: "Bench book"
	Entries   []page.Entry
	Sources   []Source // the data files, in the order they were opened
	Settings  []Setting
	Tests     []Tests
	SetAside  []SetAside
	Corrected []Corrected
	Words     []Word         // explained where the entries use them
	Options   render.Options // digits; width and colour play no part
}

// Setting is a session setting results depend on: intervals, worth, seed, digits.
type Setting struct {
	Name  string `id:"setting"`
	Value string `id:"value" blank:"yes"`
}

// Tests counts how often a response was tested in the book, undone entries included.
type Tests struct {
	Response string `id:"response"`
	Count    int    `id:"tests"`
}

// SetAside is a specimen left out, with the reason given.
type SetAside struct {
	Series   string `id:"series"`
	Specimen string `id:"specimen" blank:"yes"`
	Reason   string `id:"reason" blank:"yes"`
}

// Corrected is a value that is not as in its file, with the reason given.
type Corrected struct {
	Series   string `id:"series"`
	Specimen string `id:"specimen" blank:"yes"`
	Column   string `id:"column"`
	Was      string `id:"was" blank:"yes"`
	Now      string `id:"now" blank:"yes"`
	Reason   string `id:"reason" blank:"yes"`
}

// Word is a word of results with what it means.
type Word struct {
	Word  string `id:"word"`
	Means string `id:"meaning"`
}

// defaultTitle heads a report that was given none.
const defaultTitle = "Bench book"

// standing stands in every report, whatever it holds.
const standing = "The figures in this report come from the user's own specimens. They are no design values: " +
	"local codes and licensed practice decide what a joint may be trusted to carry."

func (d Document) title() string {
	if d.Title == "" {
		return defaultTitle
	}
	return render.Clean(d.Title)
}

// body is the entries a reader of the report wants: not those that failed, and not
// those that only wrote a file or left the book.
func (d Document) body() []page.Entry {
	return slices.DeleteFunc(slices.Clone(d.Entries), func(e page.Entry) bool {
		return e.Problem != nil || len(e.Asks) > 0
	})
}

// headings are the entries a table of contents names.
func (d Document) headings() []page.Entry {
	named := slices.DeleteFunc(d.body(), func(e page.Entry) bool { return e.Kind != "heading" || e.Prose == "" })
	for i := range named {
		named[i].Prose = render.Clean(named[i].Prose)
	}
	return named
}

// closing is what stands behind the entries: the standing caution, and tables without a command.
func (d Document) closing() []page.Entry {
	out := []page.Entry{{Kind: "heading", Prose: "What this rests on"}, {Cautions: []page.Sentence{page.Say(standing)}}}
	add := func(t page.Table) {
		if len(t.Rows) > 0 {
			out = append(out, page.Entry{Tables: []page.Table{t}})
		}
	}
	add(d.sourceTable())
	add(d.setAsideTable())
	add(d.correctedTable())
	add(d.testTable())
	add(d.settingTable())
	add(d.wordTable())
	return out
}

// sourceRow is one data file; no number of specimens where it is no series.
type sourceRow struct {
	File string `id:"file" blank:"yes"`
	*sheetPart
	Specimens   float64 `id:"specimens" style:"count"`
	Fingerprint string  `id:"fingerprint" blank:"yes"`
}

// sheetPart is the sheet of a workbook; there is the column where one of the files is a workbook.
type sheetPart struct {
	Sheet string `id:"sheet"`
}

func (d Document) sourceTable() page.Table {
	var rows []sourceRow
	sheets := slices.ContainsFunc(d.Sources, func(s Source) bool { return s.Sheet != "" })
	for _, s := range d.Sources {
		n := page.None
		if s.Rows > 0 {
			n = float64(s.Rows)
		}
		// in groups of sixteen, so that two can be compared by eye
		row := sourceRow{File: s.File, Specimens: n, Fingerprint: strings.Join(chunks(s.SHA256, 16), " ")}
		if sheets {
			row.sheetPart = &sheetPart{s.Sheet}
		}
		rows = append(rows, row)
	}
	return page.Filled(page.Table{ID: "files", Title: page.Say("Data files and their fingerprints (SHA-256)")}, rows, nil)
}

func chunks(s string, n int) []string {
	var out []string
	for len(s) > n {
		out, s = append(out, s[:n]), s[n:]
	}
	return append(out, s)
}

func (d Document) setAsideTable() page.Table {
	return page.Filled(page.Table{ID: "set_aside", Title: page.Say("Specimens set aside")}, d.SetAside, nil)
}

func (d Document) correctedTable() page.Table {
	return page.Filled(page.Table{ID: "corrected", Title: page.Say("Values that are not as in the file")}, d.Corrected,
		nil)
}

func (d Document) testTable() page.Table {
	return page.Filled(page.Table{ID: "tests",
		Title: page.Say("How often each response was tested, undone entries included"),
		Note:  page.Say("With every further test it grows likelier that one of them comes out by chance alone.")},
		d.Tests, nil)
}

func (d Document) settingTable() page.Table {
	return page.Filled(page.Table{ID: "settings", Title: page.Say("Settings")}, d.Settings, nil)
}
