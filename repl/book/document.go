package book

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// Document is what a report is made of. It holds no time and no machine: the same
// book gives the same report, byte for byte.
type Document struct {
	Title     string // empty: the first heading of the book, or the names of its series
	By        string // whose it is; "" where nobody was named
	Dated     string // its date, as it was typed; "" where none was
	Entries   []page.Entry
	Picture   *page.Figure // of the differences that the first of Answers found; nil: the first that was drawn
	Series    []Series     // that are open, in the order they were opened
	Sources   []Source     // the data files, in the order they were opened
	Settings  []Setting
	Tests     []Tests
	SetAside  []SetAside
	Corrected []Corrected
	Words     []Word         // explained where the entries use them
	Methods   []Method       // told where the entries are of their kind
	Version   string         // of the program
	Book      []byte         // the commands, as they are saved
	Options   render.Options // digits; width and colour play no part
}

// Series is one series of specimens as a report tells of it.
type Series struct {
	Name      string
	Named     []Named    // what a conclusion can be about
	Specimens int        // those set aside included
	Dates     []string   // "tested on: 2026-11-03 to 2026-11-14", one a column of dates
	Rows      page.Table // the specimens; without rows where they are too many for a page
	CSV       []byte     // the same as a file; nil where it is too long for a page
}

// Named is a column with what it is called by.
type Named struct {
	Column string
	Levels []string // none of a number
	Result bool     // it came out of the test
}

// Method says in words how the results of a kind are worked out.
type Method struct{ Kind, Text string }

// Setting is a session setting results depend on: intervals, worth, seed, digits.
type Setting struct {
	Name  string `id:"setting"`
	Value string `id:"value" blank:"yes"`
}

// Tests counts how often a response was tested in the book, undone entries included.
type Tests struct {
	Response string `id:"response"`
	Tests    int    `id:"tests"`
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

// defaultTitle heads a report of a book without a heading and without a series.
const defaultTitle = "Bench book"

// standing stands in every report, whatever it holds.
const standing = "The figures in this report come from the user's own specimens. They are no design values: " +
	"local codes and licensed practice decide what a joint may be trusted to carry."

// title is the one given, else the first heading, else what was tested.
func (d Document) title() string {
	if d.Title != "" {
		return render.Clean(d.Title)
	}
	if named := d.headings(); len(named) > 0 {
		return named[0].Prose
	}
	if len(d.Series) == 0 {
		return defaultTitle
	}
	names := lists.Mapped(d.Series, func(s Series) string { return render.Clean(s.Name) })
	return "Tests of " + listed(names)
}

// listed puts words in a row: a, b and c.
func listed(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// lower is a text that begins with a small letter.
func lower(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// body is the entries a reader of the report wants: not those that failed, and not
// those that only wrote a file or left the book. What was concluded stands before them.
func (d Document) body() []page.Entry {
	return slices.DeleteFunc(slices.Clone(d.Entries), func(e page.Entry) bool {
		return e.Problem != nil || len(e.Asks) > 0 || e.Kind == "conclude"
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

// section is a part of the report behind the entries: a heading and tables without a command.
type section struct {
	id, heading string
	entries     []page.Entry
}

// add puts a table into the section, where it has rows.
func (s *section) add(t page.Table) {
	if len(t.Rows) > 0 {
		s.entries = append(s.entries, page.Entry{Tables: []page.Table{t}})
	}
}

// sections are the parts behind the entries: who took no part, and what was put right; how the results are worked
// out, and how often each response was tested; what the book rests on; the words.
func (d Document) sections() []section {
	specimens := section{id: "specimens", heading: "The specimens"}
	specimens.add(page.Filled(page.Table{ID: "set_aside", Title: page.Say("Specimens set aside")}, d.SetAside, nil))
	specimens.add(page.Filled(page.Table{ID: "corrected", Title: page.Say("Values that are not as in the file")},
		d.Corrected, nil))
	specimens.add(d.leftOutTable())

	method := section{id: "method", heading: "How the figures are worked out"}
	body := d.body()
	for _, m := range d.Methods {
		if m.Kind == "" || slices.ContainsFunc(body, func(e page.Entry) bool { return e.Kind == m.Kind }) {
			method.entries = append(method.entries, page.Entry{Kind: "note", Prose: m.Text})
		}
	}
	method.add(page.Filled(page.Table{ID: "tests",
		Title: page.Say("How often each response was tested, undone entries included"),
		Note:  page.Say("With every further test it grows likelier that one of them comes out by chance alone.")},
		d.Tests, nil))
	method.add(page.Filled(page.Table{ID: "settings", Title: page.Say("Settings")}, d.Settings, nil))

	rests := section{id: "rests", heading: "What this rests on"}
	rests.entries = append(rests.entries, page.Entry{Cautions: []page.Sentence{page.Say(standing)}})
	rests.add(d.sourceTable())
	if d.Version != "" {
		rests.entries = append(rests.entries, page.Entry{Kind: "note", Prose: "Worked out by " + d.Version + "."})
	}

	words := section{id: "words", heading: "What the words mean"}
	words.add(d.wordTable())
	return []section{specimens, method, rests, words}
}

// leftOutRow is a specimen that some analysis left out for a missing value.
type leftOutRow struct {
	Series   string `id:"series" blank:"yes"`
	Specimen string `id:"specimen" blank:"yes"`
	Lacks    string `id:"lacks" label:"no value in"`
	Entries  string `id:"entries" label:"entry"`
}

// leftOutTable names the specimens that an analysis of the book left out, once for each set of columns they lack.
func (d Document) leftOutTable() page.Table {
	var rows []leftOutRow
	for _, e := range d.body() {
		for _, l := range e.LeftOut {
			row := leftOutRow{e.Series, l.Specimen, strings.Join(l.Lacks, ", "), strconv.Itoa(e.Number)}
			at := slices.IndexFunc(rows, func(r leftOutRow) bool {
				return r.Series == row.Series && r.Specimen == row.Specimen && r.Lacks == row.Lacks
			})
			if at < 0 {
				rows = append(rows, row)
			} else {
				rows[at].Entries += ", " + row.Entries
			}
		}
	}
	return page.Filled(page.Table{ID: "left_out", Title: page.Say("Specimens left out for a missing value")}, rows, nil)
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
	return page.Filled(page.Table{ID: "files",
		Title: page.Say("Data files and their fingerprints (SHA-256)")}, rows, nil)
}

func chunks(s string, n int) []string {
	var out []string
	for len(s) > n {
		out, s = append(out, s[:n]), s[n:]
	}
	return append(out, s)
}
