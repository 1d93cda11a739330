package book

import (
	"bytes"
	"cmp"
	"context"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"unicode/utf8"

	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

//go:embed testsheet.gohtml
var testSheetText string

//go:embed testsheet.css
var testSheetStyle string

var testSheetTemplate = template.Must(template.New("test sheet").Parse(testSheetText))

// testSheetPage is a test sheet ready for its template.
type testSheetPage struct {
	Title, Aim        string
	Style             template.CSS
	Columns           []testSheetColumn
	Days              []testSheetDay
	Filling, Cautions []string
}

type testSheetColumn struct {
	Label, Unit string
	Width       int // in millimetres; 0: it is to be filled in, and takes what room is left
}

type testSheetDay struct {
	Heading string
	Rows    [][]string
}

// TestSheet is a test sheet as one page of HTML that needs nothing else. Printed, each bench day begins a new page.
// The error is the context's.
func TestSheet(ctx context.Context, p page.Printed, o render.Options) (_ []byte, err error) {
	defer parallel.Catch(&err)
	title := "Test sheet of " + render.Clean(p.Plan)
	out := testSheetPage{Title: title, Aim: render.Prose(p.Aim, o),
		Filling: allClean(p.Filling), Cautions: allClean(p.Cautions)}
	for i, c := range p.Columns {
		one := testSheetColumn{Label: render.Clean(c.Label), Unit: render.Unit(c.Unit)}
		if !c.Fill {
			one.Width = widthOf(p, i)
		}
		out.Columns = append(out.Columns, one)
	}
	for _, d := range p.Days {
		day := testSheetDay{Heading: dayHeading(d, len(p.Days), p.Stages)}
		for i, row := range d.Rows {
			parallel.LookAt(ctx, i)
			day.Rows = append(day.Rows, allClean(row))
		}
		out.Days = append(out.Days, day)
	}
	out.Style = template.CSS(testSheetStyle + paper(out.Columns) + runningTitle(title))
	var text bytes.Buffer
	err = testSheetTemplate.Execute(&text, out)
	return text.Bytes(), err
}

// dayHeading says which day and stage a page is of, and how many specimens it has.
func dayHeading(d page.PrintedDay, days, stages int) string {
	var parts []string
	if d.Day != "" {
		parts = append(parts, fmt.Sprintf("day %s of %d", d.Day, days))
	}
	if d.Stage != "" {
		parts = append(parts, fmt.Sprintf("stage %s of %d", d.Stage, stages))
	}
	parts = append(parts, fmt.Sprintf("%d specimens", len(d.Rows)))
	if len(d.Rows) == 1 {
		parts[len(parts)-1] = "1 specimen"
	}
	all := strings.Join(parts, ", ")
	return strings.ToUpper(all[:1]) + all[1:]
}

// Widths of a printed sheet in millimetres: of a sign, and in bold, the room around a cell, the widest cell that does
// not wrap, a cell to write in, and an upright page within its margins.
const (
	signWidth    = 2.1
	boldWidth    = 2.5
	cellRoom     = 4
	widest       = 55
	writeWidth   = 28
	uprightWidth = 186
)

// widthOf is how wide a column has to be for what it says and for every word of its header.
func widthOf(p page.Printed, column int) int {
	width := 0.0
	for _, word := range strings.Fields(p.Columns[column].Label) {
		width = max(width, boldWidth*float64(utf8.RuneCountInString(word)))
	}
	for _, d := range p.Days {
		for _, row := range d.Rows {
			width = max(width, signWidth*float64(utf8.RuneCountInString(row[column])))
		}
	}
	return int(min(width, widest)) + cellRoom
}

// paper gives the table its room, on pages laid on their side where upright ones are too narrow, and numbers these.
func paper(columns []testSheetColumn) string {
	width, size := 0, "portrait"
	for _, c := range columns {
		width += cmp.Or(c.Width, writeWidth)
	}
	if width > uprightWidth {
		size = "landscape"
	}
	return fmt.Sprintf(`main { min-width: %dmm; }
@page {
  size: %s; margin: 15mm 12mm;
  @bottom-right { content: counter(page) " of " counter(pages); font: 8pt sans-serif; } @top-left { font: 8pt sans-serif; }
}
`, width, size)
}

func allClean(texts []string) []string {
	out := make([]string, len(texts))
	for i, text := range texts {
		out[i] = render.Clean(text)
	}
	return out
}
