package render

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"net/url"
	"strings"
	"sync"

	"breakbook/models/parallel"
	"breakbook/repl/page"
)

//go:embed entry.gohtml
var entryText string

// entryTemplate is parsed when it is first needed: most sessions show no page.
var entryTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("entry").Parse(entryText))
})

// Surroundings are what of a page an entry's part of it needs to know.
type Surroundings struct {
	Level    int       // of the entry's heading, 2 to 6, with the entry folded under it; 0: no heading and no fold
	Pictures []Picture // of e.Figures: one without an address is left out
	Links    []Link    // to what of the entry stands elsewhere on the page
	Repeated bool      // an earlier entry told its main finding in the same words, so that it stands inside alone
}

// Picture is a figure drawn for a page, in two sizes.
type Picture struct {
	ID           string // what leads to it; "" for none
	Wide, Narrow string // addresses: data: of an image, or a relative path; no Narrow: Wide everywhere
	Caption      string // before its title: "Figure 2"
	From         *Link  // to the entry that drew it; nil for none
}

// Link leads to another part of the page.
type Link struct{ To, Text string }

type entryHTML struct {
	Number        int
	Level         string // "h3"; "" for none
	Input         string
	Heading, Note string
	Gist          string // the main finding of an analysis: to be read without unfolding
	Main          string
	More          []string
	Who           string
	Sketch        string
	Tables        []tableHTML
	Values        []valueHTML
	Figures       []pictureHTML
	Cautions      []cautionText
	Links         []Link
	Again         string // names cautions told before
	Failure       string
}

type tableHTML struct {
	Title, Name string
	Note        string
	Heads       []headHTML
	Rows        [][]cellHTML
	Reach       string     // the screens that it is wider than: "", "phone", "tablet", "desk"
	Rest        *tableHTML // columns behind a fold; nil: none
}

type headHTML struct {
	Label, Unit string
	Span        int
	Number      bool
}

type cellHTML struct {
	Text, Class string
	First       bool
}

type valueHTML struct{ Label, Text string }

type pictureHTML struct {
	ID           string
	Source       template.URL
	Narrow       template.Srcset
	Alt, Caption string
	From         *Link
}

// HTML writes an entry as a fragment of a page: a section with the id entry-N (none for number 0), folded under a
// heading where around says so, or for a heading a heading. Everything is escaped; the fragment holds no
// script and no style. Errors are w's, or the cause of o.Context's end.
func HTML(w io.Writer, e page.Entry, around Surroundings, o Options) (err error) {
	defer parallel.Catch(&err)
	v := entryHTML{Number: e.Number, Input: clean(e.Input), Who: whoTookPart(e, ""), Links: around.Links, Level: "h2"}
	if around.Level != 0 {
		v.Level = fmt.Sprintf("h%d", around.Level)
	} else if e.Kind != "heading" {
		v.Level = ""
	}
	switch {
	case e.Problem != nil:
		v.Failure = problemText(e.Problem)
	case e.Prose != "" && e.Kind == "heading":
		v.Heading = clean(e.Prose)
	case e.Prose != "":
		v.Note = clean(e.Prose)
	default:
		v.fill(e, around, o)
	}
	return entryTemplate().Execute(&stoppableWriter{o, w, 0}, v)
}

func (v *entryHTML) fill(e page.Entry, around Surroundings, o Options) {
	for i, f := range e.Findings {
		text := sentence(f, o)
		if i == 0 {
			if v.Level != "" && !around.Repeated && (f.Answers() || e.Response != "") {
				v.Gist = text
			} else {
				v.Main = text
			}
			continue
		}
		v.More = append(v.More, text)
	}
	if e.Sketch != nil {
		v.Sketch = sketchForPage(*e.Sketch, o)
	}
	for _, t := range e.Tables {
		v.Tables = append(v.Tables, tableForPage(t, o))
	}
	for _, one := range e.Values {
		label, text := valueTexts(one, o)
		v.Values = append(v.Values, valueHTML{label, text})
	}
	for i, f := range e.Figures {
		if i < len(around.Pictures) && around.Pictures[i].Wide != "" {
			v.Figures = append(v.Figures, pictureOf(f, around.Pictures[i], o))
		}
	}
	v.Cautions, v.Again = numberedCautions(e, o)
}

// pictureOf is a figure with its addresses, its words for who cannot see it, and its caption.
func pictureOf(f page.Figure, p Picture, o Options) pictureHTML {
	out := pictureHTML{ID: p.ID, Source: pictureAddress(p.Wide), Alt: sentence(f.Alt, o),
		Caption: Title(f, o), From: p.From}
	if strings.HasPrefix(p.Narrow, "data:image/") {
		out.Narrow = template.Srcset(p.Narrow)
	}
	switch {
	case out.Caption == "":
		out.Caption = p.Caption
	case p.Caption != "":
		out.Caption = p.Caption + ". " + out.Caption
	}
	return out
}

// pictureAddress lets through images held in the page itself and relative paths.
func pictureAddress(s string) template.URL {
	if strings.HasPrefix(s, "data:image/") {
		return template.URL(s)
	}
	return template.URL((&url.URL{Path: s}).String())
}

// tableForPage is a table with the columns that one reads first, the rest behind a fold.
func tableForPage(t page.Table, o Options) tableHTML {
	t, none := withoutEmpty(t)
	first, rest := readFirst(t)
	out := htmlTable(layOut(first, o), o)
	out.Note = noteOf(out.Note, none)
	if len(rest.Columns) > 0 {
		behind := htmlTable(layOut(rest, o), o)
		behind.Name = strings.TrimPrefix(out.Title+": ", ": ") + "more columns"
		behind.Note = noteOf(sentence(t.Note, o), none)
		out.Rest = &behind
	}
	return out
}

// htmlTable gives a column of units and its numbers one head over both.
func htmlTable(s sheet, o Options) tableHTML {
	t := tableHTML{Title: s.title, Name: s.title, Note: s.note}
	for c, h := range s.heads {
		if h.units && h.label == "" {
			continue
		}
		one := headHTML{Label: h.label, Unit: h.unit, Span: 1, Number: h.right}
		if c+1 < len(s.heads) && s.heads[c+1].units && s.heads[c+1].label == "" {
			one.Span = 2
		}
		t.Heads = append(t.Heads, one)
	}
	for r, row := range s.rows {
		o.look(r)
		cells := make([]cellHTML, len(row))
		for c, text := range row {
			cells[c] = cellHTML{Text: figureSpaces(text), Class: cellClass(text, s.heads[c]),
				First: c == 0 && !s.heads[c].right}
		}
		t.Rows = append(t.Rows, cells)
	}
	t.Reach = reach(t)
	return t
}

// Of a table on a page, in pixels of a wide typeface: a digit, a letter, the room beside a column on a large screen and
// on a phone, and the widths that a phone, a tablet and a desk leave for it.
const (
	digitWidth   = 8.8
	letterWidth  = 8.1
	gapOnScreen  = 12.8
	gapOnPhone   = 8.8
	roomOnPhone  = 328
	roomOnTablet = 704
	roomOnDesk   = 1152
)

// reach is the largest screen that a table is wider than, as far as its characters tell: only there does it scroll, and
// is in the order of the keyboard. On a phone a few words are broken into lines, and in the last column everywhere.
func reach(t tableHTML) string {
	wide, narrow, c := -gapOnScreen, -gapOnPhone, 0
	for i, h := range t.Heads {
		head := float64(max(longestWord(h.Label), screenWidth(h.Unit)+2)) * letterWidth
		var full, broken float64
		for span := range h.Span {
			last := i == len(t.Heads)-1 && span == h.Span-1
			f, b := columnReach(t.Rows, c, last)
			full, broken, c = full+f, broken+b, c+1
		}
		gaps := float64(h.Span)
		wide += max(head, full) + gaps*gapOnScreen
		narrow += max(head, broken) + gaps*gapOnPhone
	}
	switch {
	case wide > roomOnDesk:
		return "desk"
	case wide > roomOnTablet:
		return "tablet"
	case narrow > roomOnPhone:
		return "phone"
	}
	return ""
}

// columnReach is how wide the cells of a column are on a large screen, and on a phone.
func columnReach(rows [][]cellHTML, c int, last bool) (full, broken float64) {
	for _, row := range rows {
		if c >= len(row) {
			continue
		}
		whole, word := float64(screenWidth(row[c].Text)), float64(longestWord(row[c].Text))
		f, b := whole*letterWidth, word*letterWidth
		switch {
		case row[c].Class == "":
			points := strings.Count(row[c].Text, ".") + strings.Count(row[c].Text, "\u2008")
			f = (whole - float64(points)/2) * digitWidth // a point is half as wide
			b = f
		case row[c].Class == "words":
			f = max(b, leastWords)
			b = f
		case last:
			f = min(f, max(b, leastLast))
		}
		full, broken = max(full, f), max(broken, b)
	}
	return full, broken
}

// How wide a column of many words is at least, and the last one of a few.
const (
	leastWords = 14 * 16
	leastLast  = 8 * 16
)

func longestWord(text string) int {
	w := 0
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ' ' || r == '-' }) {
		w = max(w, screenWidth(word))
	}
	return w
}

// cellClass says how a cell is set: a few words on one line ("few"), more of them in lines of their own ("words"); what
// most cells are, numbers, to the right ("").
func cellClass(text string, h head) string {
	switch {
	case h.right:
		return ""
	case screenWidth(text) <= 30:
		return "few"
	}
	return "words"
}

// figureSpaces turns padding into blanks as wide as a digit, the first, which
// stands for the decimal point, as wide as a point.
func figureSpaces(text string) string {
	before, _, found := strings.Cut(text, padding)
	if !found || strings.Contains(before, ".") {
		return strings.ReplaceAll(text, padding, "\u2007")
	}
	return before + "\u2008" + strings.ReplaceAll(strings.TrimPrefix(text[len(before):], padding), padding, "\u2007")
}
