package book

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"path/filepath"
	"strings"

	"breakbook/repl/figures"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

//go:embed report.gohtml
var reportText string

//go:embed report.css
var reportStyle string

var reportTemplate = template.Must(template.New("report").Parse(reportText))

// Report writes d to path: a single page that needs nothing else for .html, or
// Markdown for .md with its figures beside it as NAME-figure-1.svg and so on.
// Errors are *WriteError, an unknown ending among them, those of a figure that
// cannot be drawn, or ctx's own; nothing is written then.
func Report(ctx context.Context, path string, d Document) error {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".html", ".htm":
		return reportHTML(ctx, path, d)
	case ".md", ".markdown":
		return reportMarkdown(ctx, path, d)
	}
	return &WriteError{Path: path, Reason: "a report ends in .html or .md"}
}

type reportPage struct {
	Title    string
	Style    template.CSS
	Headings []page.Entry
	Body     template.HTML
}

func reportHTML(ctx context.Context, path string, d Document) error {
	var body bytes.Buffer
	for _, e := range append(d.body(), d.closing()...) {
		pictures := make([]string, len(e.Figures))
		for i, f := range e.Figures {
			svg, err := figures.Bytes(ctx, f, "svg")
			if err != nil {
				return err
			}
			pictures[i] = "data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)
		}
		if err := render.HTML(&body, e, pictures, d.Options); err != nil {
			return err
		}
	}
	return WriteFile(path, func(w io.Writer) error {
		return reportTemplate.Execute(w, reportPage{Title: d.title(), Style: template.CSS(reportStyle),
			Headings: d.headings(), Body: template.HTML(body.String())})
	})
}

// picture is a figure of a Markdown report, drawn, and the file it goes to.
type picture struct {
	path string
	svg  []byte
}

func reportMarkdown(ctx context.Context, path string, d Document) error {
	var text bytes.Buffer
	var drawn []picture
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
				return err
			}
			p := fmt.Sprintf("%s-figure-%d.svg", strings.TrimSuffix(path, filepath.Ext(path)), len(drawn)+1)
			drawn, names[i] = append(drawn, picture{p, svg}), filepath.Base(p)
		}
		if err := render.Markdown(&text, e, names, d.Options); err != nil {
			return err
		}
	}
	for _, p := range drawn {
		if err := WriteFile(p.path, func(w io.Writer) error { _, err := w.Write(p.svg); return err }); err != nil {
			return err
		}
	}
	return WriteFile(path, func(w io.Writer) error { _, err := w.Write(text.Bytes()); return err })
}
