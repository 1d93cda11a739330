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
	Title    string // empty: "Bench book"
	Entries  []page.Entry
	Sources  []Source // the data files, in the order they were opened
	Settings []Setting
	Tests    []Tests
	SetAside []SetAside
	Words    []Word         // explained where the entries use them
	Options  render.Options // digits; width and colour play no part
}

// Setting is a session setting results depend on: intervals, worth, seed, digits.
type Setting struct{ Name, Value string }

// Tests counts how often a response was tested in the book, undone entries included.
type Tests struct {
	Response string
	Count    int
}

// SetAside is a specimen left out, with the reason given.
type SetAside struct{ Series, Specimen, Reason string }

// Word is a word of results with what it means.
type Word struct{ Word, Means string }

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
	add(d.testTable())
	add(d.settingTable())
	add(d.wordTable())
	return out
}

func (d Document) sourceTable() page.Table {
	t := page.Table{ID: "files", Title: page.Say("Data files and their fingerprints (SHA-256)"),
		Columns: []page.Column{{ID: "file"}, {ID: "specimens", Style: page.Count}, {ID: "fingerprint"}}}
	for _, s := range d.Sources {
		rows := page.Cell{}
		if s.Rows > 0 {
			rows = page.N(float64(s.Rows))
		}
		// in groups of sixteen, so that two can be compared by eye
		sum := strings.Join(chunks(s.SHA256, 16), " ")
		t.Rows = append(t.Rows, []page.Cell{page.T(s.File), rows, page.T(sum)})
	}
	return t
}

func chunks(s string, n int) []string {
	var out []string
	for len(s) > n {
		out, s = append(out, s[:n]), s[n:]
	}
	return append(out, s)
}

func (d Document) setAsideTable() page.Table {
	t := page.Table{ID: "set_aside", Title: page.Say("Specimens set aside"),
		Columns: []page.Column{{ID: "series"}, {ID: "specimen"}, {ID: "reason"}}}
	for _, s := range d.SetAside {
		t.Rows = append(t.Rows, []page.Cell{page.T(s.Series), page.T(s.Specimen), page.T(s.Reason)})
	}
	return t
}

func (d Document) testTable() page.Table {
	t := page.Table{ID: "tests", Title: page.Say("How often each response was tested, undone entries included"),
		Columns: []page.Column{{ID: "response"}, {ID: "tests", Style: page.Count}},
		Note:    page.Say("With every further test it grows likelier that one of them comes out by chance alone.")}
	for _, one := range d.Tests {
		t.Rows = append(t.Rows, []page.Cell{page.T(one.Response), page.N(float64(one.Count))})
	}
	return t
}

func (d Document) settingTable() page.Table {
	t := page.Table{ID: "settings", Title: page.Say("Settings"), Columns: []page.Column{{ID: "setting"}, {ID: "value"}}}
	for _, s := range d.Settings {
		t.Rows = append(t.Rows, []page.Cell{page.T(s.Name), page.T(s.Value)})
	}
	return t
}
