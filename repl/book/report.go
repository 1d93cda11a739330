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

	"breakbook/models/parallel"
	"breakbook/repl/figures"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

//go:embed report.gohtml
var reportText string

//go:embed report.css
var reportStyle string

var reportTemplate = template.Must(template.New("report").Parse(reportText))

// Report is d as files to be written: a single page that needs nothing else for .html, or
// Markdown for .md with its figures beside it as NAME-figure-1.svg and so on. Errors are a
// *WriteError for an unknown ending, those of a figure that cannot be drawn, or ctx's own.
func Report(ctx context.Context, path string, d Document) (_ []Piece, err error) {
	defer parallel.Catch(&err)
	d.Options.Context = ctx
	switch strings.ToLower(filepath.Ext(path)) {
	case ".html", ".htm":
		return reportHTML(ctx, path, d)
	case ".md", ".markdown":
		return reportMarkdown(ctx, path, d)
	}
	return nil, &WriteError{Path: path, Reason: "a report ends in .html or .md"}
}

type reportPage struct {
	Title    string
	Style    template.CSS
	Headings []page.Entry
	Body     template.HTML
}

func reportHTML(ctx context.Context, path string, d Document) ([]Piece, error) {
	var body bytes.Buffer
	for _, e := range append(d.body(), d.closing()...) {
		pictures := make([]string, len(e.Figures))
		for i, f := range e.Figures {
			svg, err := figures.Bytes(ctx, f, "svg")
			if err != nil {
				return nil, err
			}
			pictures[i] = "data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)
		}
		if err := render.HTML(&body, e, pictures, d.Options); err != nil {
			return nil, err
		}
	}
	var text bytes.Buffer
	err := reportTemplate.Execute(&text, reportPage{Title: d.title(), Style: template.CSS(reportStyle),
		Headings: d.headings(), Body: template.HTML(body.String())})
	return []Piece{{Path: path, Content: text.Bytes()}}, err
}

func reportMarkdown(ctx context.Context, path string, d Document) ([]Piece, error) {
	var text bytes.Buffer
	var out []Piece
	fmt.Fprintf(&text, "# %s\n\n", render.Escape(d.title()))
	for i, e := range d.headings() {
		fmt.Fprintf(&text, "%d. [%s](#entry-%d)\n", i+1, render.Escape(e.Prose), e.Number)
	}
	if len(d.headings()) > 0 {
		text.WriteString("\n")
	}
	for _, e := range append(d.body(), d.closing()...) {
		names := make([]string, len(e.Figures))
		for i, f := range e.Figures {
			svg, err := figures.Bytes(ctx, f, "svg")
			if err != nil {
				return nil, err
			}
			p := fmt.Sprintf("%s-figure-%d.svg", strings.TrimSuffix(path, filepath.Ext(path)), len(out)+1)
			out, names[i] = append(out, Piece{Path: p, Content: svg}), filepath.Base(p)
		}
		if err := render.Markdown(&text, e, names, d.Options); err != nil {
			return nil, err
		}
	}
	return append(out, Piece{Path: path, Content: text.Bytes()}), nil
}
