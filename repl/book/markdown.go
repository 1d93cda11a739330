package book

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/repl/render"
)

// reportMarkdown writes the same report as Markdown, in the same order.
func reportMarkdown(_ context.Context, path string, d Document, b *bound) ([]Piece, error) {
	var text bytes.Buffer
	out, names := d.besideMarkdown(path, b)
	markFront(&text, b, names, d.Options)
	if len(b.drawings) > 1 {
		text.WriteString("## Figures\n\n")
		for i := range b.drawings[1:] {
			markDrawing(&text, b, i+1, names, d.Options)
		}
	}
	if len(b.body) > 0 {
		text.WriteString("## How it was done\n\n")
	}
	for i, e := range d.headings() {
		fmt.Fprintf(&text, "%d. [%s](#entry-%d)\n", i+1, render.Escape(e.Prose), e.Number)
	}
	if len(d.headings()) > 0 {
		text.WriteString("\n")
	}
	level := 3
	for _, e := range b.body {
		around := b.around(e, &level)
		e.Figures = nil
		if err := render.Markdown(&text, e, around, d.Options); err != nil {
			return nil, err
		}
	}
	for _, s := range d.sections() {
		if err := d.markSection(&text, s); err != nil {
			return nil, err
		}
	}
	if len(d.Book) > 0 {
		fmt.Fprintf(&text, "## The book, to copy and replay\n\n%s",
			render.Fenced(render.CleanText(string(d.Book), false)))
	}
	return append(out, Piece{Path: path, Content: text.Bytes()}), nil
}

// besideMarkdown are the figures that lie beside a Markdown report, and the address of each drawing: the file that
// the book drew, where there is one that a page can show, else one drawn for the report.
func (d Document) besideMarkdown(path string, b *bound) (pieces []Piece, names []string) {
	for _, f := range b.drawings {
		if near, ok := nearby(path, f.Path); ok {
			names = append(names, near)
			continue
		}
		p := fmt.Sprintf("%s-figure-%d.svg", strings.TrimSuffix(path, filepath.Ext(path)), len(pieces)+1)
		pieces, names = append(pieces, Piece{Path: p, Content: f.svg}), append(names, filepath.Base(p))
	}
	return pieces, names
}

// nearby is a figure's path from the folder of the report; ok is false for one that was not written, or that
// a page cannot show.
func nearby(report, figure string) (string, bool) {
	if !shownByPages(figure) {
		return "", false
	}
	from, err := filepath.Abs(filepath.Dir(report))
	if err != nil {
		return "", false
	}
	to, err := filepath.Abs(figure)
	if err != nil {
		return "", false
	}
	near, err := filepath.Rel(from, to)
	return near, err == nil
}

// shownByPages reports whether a file is of a format that pages show.
func shownByPages(path string) bool {
	ext := strings.ToLower(filepath.Ext(path))
	return ext == ".svg" || ext == ".png"
}

func markFront(w *bytes.Buffer, b *bound, names []string, o render.Options) {
	fmt.Fprintf(w, "# %s\n\n", render.Escape(b.Title))
	if b.Signed != "" {
		fmt.Fprintf(w, "%s\n\n", render.Escape(b.Signed))
	}
	for _, line := range b.Tested {
		fmt.Fprintf(w, "- %s\n", render.Escape(line))
	}
	if len(b.Tested) > 0 {
		w.WriteString("\n")
	}
	switch {
	case b.Question != "":
		fmt.Fprintf(w, "The question: %s\n\n", render.Escape(b.Question))
	case b.Asked != "":
		fmt.Fprintf(w, "Asked: %s\n\n", render.Escape(b.Asked))
	}
	for _, f := range b.Leads {
		fmt.Fprintf(w, "**%s** %s\n\n", render.Escape(f.Text), markFrom(f))
	}
	if len(b.drawings) > 0 {
		markDrawing(w, b, 0, names, o)
	}
	for _, f := range b.More {
		fmt.Fprintf(w, "- %s %s\n", render.Escape(f.Text), markFrom(f))
	}
	if len(b.More) > 0 {
		w.WriteString("\n")
	}
	if len(b.Conclusions) > 0 {
		w.WriteString("## What is concluded\n\n")
	}
	for _, c := range b.Conclusions {
		fmt.Fprintf(w, "%s\n\n", render.Escape(c.Text))
		if f := c.Rests; f != nil {
			fmt.Fprintf(w, "What was found on it: %s\n\n", strings.TrimSpace(render.Escape(f.Text)+" "+markFrom(*f)))
		}
		if c.Unasked {
			w.WriteString("No entry asked this.\n\n")
		}
	}
	if len(b.Took) > 0 {
		fmt.Fprintf(w, "Specimens: %s.\n\n", render.Escape(strings.Join(b.Took, "; ")))
	}
	if len(b.First)+len(b.Others) > 0 {
		w.WriteString("## Doubts and cautions\n\n")
	}
	for _, k := range slices.Concat(b.First, b.Others) {
		fmt.Fprintf(w, "<a id=\"%s\"></a>%s: %s\n\n", k.ID, k.Head, render.Escape(k.Text))
	}
}

// markFrom leads to the entry and the doubts of a finding.
func markFrom(f telling) string {
	out := fmt.Sprintf("([entry %d](#entry-%d)", f.Entry, f.Entry)
	if f.Series != "" {
		out += " on " + render.Escape(f.Series)
	}
	for _, l := range f.Links {
		out += fmt.Sprintf(", [%s](#%s)", l.Text, l.To)
	}
	return out + ")"
}

func markDrawing(w *bytes.Buffer, b *bound, at int, names []string, o render.Options) {
	f := b.drawings[at]
	caption := f.called(at)
	if title := render.Title(f.Figure, o); title != "" {
		caption += ". " + title
	}
	fmt.Fprintf(w, "<a id=\"%s\"></a>%s\n\n%s\n", f.id, render.Escape(caption),
		render.MarkdownPicture(f.Figure, names[at], o))
}

func (d Document) markSection(w *bytes.Buffer, s section) error {
	if s.id == "specimens" {
		for _, one := range d.Series {
			s.add(one.Rows)
		}
	}
	if len(s.entries) == 0 {
		return nil
	}
	fmt.Fprintf(w, "## %s\n\n", s.heading)
	for _, e := range s.entries {
		if err := render.Markdown(w, e, render.Surroundings{}, d.Options); err != nil {
			return err
		}
	}
	return nil
}
