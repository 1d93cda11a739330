package book

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"path/filepath"
	"strings"
	"sync"

	"breakbook/models/parallel"
	"breakbook/repl/figures"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

//go:embed report.gohtml
var reportText string

//go:embed report.css
var reportStyle string

// reportTemplate is parsed when it is first needed: most sessions show no page.
var reportTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("report").Parse(reportText))
})

// Report is d as files to be written: a single page that needs nothing else for .html, or
// Markdown for .md, which leads to the figures that the book drew, and has those it did not draw beside it as
// NAME-figure-1.svg and so on. Errors are a
// *WriteError for an unknown ending, those of a figure that cannot be drawn, or ctx's own.
func Report(ctx context.Context, path string, d Document) (_ []Piece, err error) {
	defer parallel.Catch(&err)
	d.Options.Context = ctx
	var write func(context.Context, string, Document, *bound) ([]Piece, error)
	switch strings.ToLower(filepath.Ext(path)) {
	case ".html", ".htm":
		write = reportHTML
	case ".md", ".markdown":
		write = reportMarkdown
	default:
		return nil, &WriteError{Path: path, Reason: "a report ends in .html or .md"}
	}
	b, err := d.bind(ctx)
	if err != nil {
		return nil, err
	}
	return write(ctx, path, d, b)
}

// reportPage is the page ready for its template.
type reportPage struct {
	front
	Style    template.CSS
	Picture  template.HTML
	Contents []contentHTML
	Figures  template.HTML
	Entries  template.HTML
	Sections []sectionHTML
	Series   []seriesHTML
	Book     string
}

type contentHTML struct {
	To, Text string
	Within   []contentHTML
}

type sectionHTML struct {
	ID, Heading string
	Body        template.HTML
}

type seriesHTML struct {
	Name, Line string
	Rows       template.HTML
	CSV        template.URL
	File       string
}

func reportHTML(ctx context.Context, path string, d Document, b *bound) ([]Piece, error) {
	p := reportPage{front: b.front, Style: template.CSS(reportStyle + runningTitle(b.Title)),
		Book: render.CleanText(string(d.Book), false)}
	if err := p.fillFigures(ctx, d, b); err != nil {
		return nil, err
	}
	if err := p.fillEntries(d, b); err != nil {
		return nil, err
	}
	for _, s := range d.sections() {
		body, err := fragments(s.entries, d.Options)
		if err != nil {
			return nil, err
		}
		if body != "" || s.id == "specimens" && len(d.Series) > 0 {
			p.Sections = append(p.Sections, sectionHTML{s.id, s.heading, body})
		}
	}
	if err := p.fillSeries(d); err != nil {
		return nil, err
	}
	p.fillContents(d)
	var text bytes.Buffer
	err := reportTemplate().Execute(&text, p)
	return []Piece{{Path: path, Content: text.Bytes()}}, err
}

// fragments are entries without a heading of their own, one after the other.
func fragments(entries []page.Entry, o render.Options) (template.HTML, error) {
	var body bytes.Buffer
	for _, e := range entries {
		if err := render.HTML(&body, e, render.Surroundings{}, o); err != nil {
			return "", err
		}
	}
	return template.HTML(body.String()), nil
}

// A figure on a narrow screen is drawn anew, so small that its letters are as large as those beside it; not where it
// holds so much that the page would grow by half.
const (
	narrowWidth  = 66 // millimetres
	narrowHeight = 64
	narrowPart   = 0.64    // of the wide one's height, so that many rows have room
	mostNarrowed = 200_000 // bytes of the wide one
	columnWidth  = 112     // millimetres, of the picture of the answer, which stands in half a page
)

// fillFigures draws the picture of the answer, and the other figures of the book behind it.
func (p *reportPage) fillFigures(ctx context.Context, d Document, b *bound) error {
	var rest bytes.Buffer
	for i, f := range b.drawings {
		shown := render.Picture{ID: f.id, Wide: imageAddress(f.svg), Caption: f.called(i)}
		if i == 0 && f.Figure.WidthMM > columnWidth {
			column := f.Figure
			column.WidthMM = columnWidth
			drawn, err := figures.Bytes(ctx, column, "svg")
			if err != nil {
				return err
			}
			shown.Wide = imageAddress(drawn)
		}
		if len(f.svg) <= mostNarrowed {
			narrow := f.Figure
			_, high := figures.Size(narrow)
			narrow.WidthMM, narrow.HeightMM = narrowWidth, max(narrowHeight, high*narrowPart)
			small, err := figures.Bytes(ctx, narrow, "svg")
			if err != nil {
				return err
			}
			shown.Narrow = imageAddress(small)
		}
		if len(f.entries) > 0 {
			shown.From = &render.Link{To: fmt.Sprintf("entry-%d", f.entries[0]),
				Text: fmt.Sprintf("(entry %d)", f.entries[0])}
		}
		var one bytes.Buffer
		if err := render.HTML(&one, page.Entry{Figures: []page.Figure{f.Figure}},
			render.Surroundings{Pictures: []render.Picture{shown}}, d.Options); err != nil {
			return err
		}
		if i == 0 {
			p.Picture = template.HTML(one.String())
			continue
		}
		rest.Write(one.Bytes())
	}
	p.Figures = template.HTML(rest.String())
	return nil
}

// addressEscapes are the signs of a picture that cannot stand in an address.
var addressEscapes = strings.NewReplacer(" />", "/%3E", `"scale(1, -1)"`, "%22scale(1,-1)%22", "%", "%25", "#", "%23",
	"<", "%3C", ">", "%3E", `"`, "%22", " ", "%20", "\n", "", "\t", "%20")

// imageAddress is a picture as an address that holds it, without the words that its file carries for those who cannot
// see it: in a page they are the picture's own.
func imageAddress(svg []byte) string {
	_, drawing, _ := strings.Cut(string(svg), "?>\n")
	for _, words := range []string{"title", "desc"} {
		before, rest, begins := strings.Cut(drawing, "<"+words+">")
		if _, after, ends := strings.Cut(rest, "</"+words+">\n"); begins && ends {
			drawing = before + after
		}
	}
	return "data:image/svg+xml," + addressEscapes.Replace(drawing)
}

// fillEntries writes the entries, each folded under a heading: of the third level, and below the user's own
// headings of the fourth.
func (p *reportPage) fillEntries(d Document, b *bound) error {
	var body bytes.Buffer
	level := 3
	shown := map[string]bool{}
	for _, e := range b.body {
		around := b.around(e, &level)
		if len(e.Findings) > 0 {
			main := render.Sentence(e.Findings[0], d.Options)
			around.Repeated, shown[main] = shown[main], true
		}
		e.Figures = nil
		if err := render.HTML(&body, e, around, d.Options); err != nil {
			return err
		}
	}
	p.Entries = template.HTML(body.String())
	return nil
}

// fillSeries writes the tables of specimens, each with a file to keep.
func (p *reportPage) fillSeries(d Document) error {
	for _, s := range d.Series {
		one := seriesHTML{Name: render.Clean(s.Name), Line: testedLine(s), File: render.Clean(s.Name) + ".csv"}
		if len(s.Rows.Rows) > 0 {
			rows, err := fragments([]page.Entry{{Tables: []page.Table{s.Rows}}}, d.Options)
			if err != nil {
				return err
			}
			one.Rows = rows
		}
		if s.CSV != nil {
			one.CSV = template.URL("data:text/csv;charset=utf-8;base64," + base64.StdEncoding.EncodeToString(s.CSV))
		}
		p.Series = append(p.Series, one)
	}
	return nil
}

// fillContents lists the parts of the page.
func (p *reportPage) fillContents(d Document) {
	add := func(to, text string, there bool) {
		if there {
			p.Contents = append(p.Contents, contentHTML{To: to, Text: text})
		}
	}
	add("figures", "Figures", p.Figures != "")
	add("entries", "How it was done", p.Entries != "")
	if last := len(p.Contents) - 1; last >= 0 {
		for _, h := range d.headings() {
			p.Contents[last].Within = append(p.Contents[last].Within, contentHTML{To: fmt.Sprintf("entry-%d", h.Number),
				Text: h.Prose})
		}
	}
	for _, s := range p.Sections {
		add(s.ID, s.Heading, true)
	}
	add("book", "The book, to copy and replay", p.Book != "")
}

// runningTitle is the style that prints a title at the head of every page but the first, which begins with it.
func runningTitle(title string) string {
	var b strings.Builder
	for _, r := range title {
		fmt.Fprintf(&b, "\\%X ", r)
	}
	return "@page { @top-left { content: \"" + b.String() + "\" } }\n@page :first { @top-left { content: \"\" } }\n"
}
