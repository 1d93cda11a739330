package render

import (
	_ "embed"
	"html/template"
	"io"
	"net/url"
	"strings"

	"breakbook/models/parallel"
	"breakbook/repl/page"
)

//go:embed entry.gohtml
var entryText string

var entryTemplate = template.Must(template.New("entry").Parse(entryText))

type entryHTML struct {
	Number        int
	Input         string
	Heading, Note string
	Main          string
	More          []string
	Who           string
	Sketch        string
	Tables        []tableHTML
	Values        []valueHTML
	Figures       []pictureHTML
	Cautions      []cautionText
	Again         string // names cautions told before
	Failure       string
}

type tableHTML struct {
	Title, Note string
	Heads       []headHTML
	Rows        [][]cellHTML
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
	Source       template.URL
	Alt, Caption string
}

// HTML writes an entry as a fragment of a page: a section with the id entry-N (none for number 0), or
// for a heading an h2. pictures[i] is the address of the picture of e.Figures[i], a
// relative path or a data: address of an image; a figure without one is left out.
// Everything is escaped; the fragment holds no script and no style. Errors are w's, or the
// cause of o.Context's end.
func HTML(w io.Writer, e page.Entry, pictures []string, o Options) (err error) {
	defer parallel.Catch(&err)
	v := entryHTML{Number: e.Number, Input: clean(e.Input), Who: whoTookPart(e)}
	switch {
	case e.Problem != nil:
		v.Failure = problemText(e.Problem)
	case e.Prose != "" && e.Kind == "heading":
		v.Heading = clean(e.Prose)
	case e.Prose != "":
		v.Note = clean(e.Prose)
	default:
		v.fill(e, pictures, o)
	}
	return entryTemplate.Execute(o.stoppable(w), v)
}

func (v *entryHTML) fill(e page.Entry, pictures []string, o Options) {
	for i, f := range e.Findings {
		text := sentence(f, o)
		if i == 0 {
			v.Main = text
			continue
		}
		v.More = append(v.More, text)
	}
	if e.Sketch != nil {
		v.Sketch = sketchForPage(*e.Sketch, o)
	}
	for _, t := range e.Tables {
		v.Tables = append(v.Tables, htmlTable(layOut(t, o), o))
	}
	for _, one := range e.Values {
		label, text := valueTexts(one, o)
		v.Values = append(v.Values, valueHTML{label, text})
	}
	for i, f := range e.Figures {
		if i >= len(pictures) || pictures[i] == "" {
			continue
		}
		p := pictureHTML{Source: pictureAddress(pictures[i]), Alt: sentence(f.Alt, o), Caption: Title(f, o)}
		if p.Caption == "" {
			p.Caption = p.Alt
		}
		v.Figures = append(v.Figures, p)
	}
	v.Cautions, v.Again = numberedCautions(e, o)
}

// pictureAddress lets through images held in the page itself and relative paths.
func pictureAddress(s string) template.URL {
	if strings.HasPrefix(s, "data:image/") {
		return template.URL(s)
	}
	return template.URL((&url.URL{Path: s}).String())
}

// htmlTable gives a column of units and its numbers one head over both.
func htmlTable(s sheet, o Options) tableHTML {
	t := tableHTML{Title: s.title, Note: s.note}
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
			cells[c] = cellHTML{Text: figureSpaces(text), Class: cellClass(text, s.heads[c]), First: c == 0 && !s.heads[c].right}
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// cellClass says how a cell is set: numbers to the right, a few words on one line
// ("few"), more of them in lines of their own ("words").
func cellClass(text string, h head) string {
	switch {
	case h.right:
		return "number"
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
