package book

import (
	"bytes"
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
	Class       string // "number" or "word" where that is to be written in; empty: the sheet has it
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
	for _, c := range p.Columns {
		one := testSheetColumn{Label: render.Clean(c.Label), Unit: render.Clean(c.Unit)}
		switch {
		case !c.Fill:
		case c.Number:
			one.Class = "number"
		default:
			one.Class = "word"
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
	out.Style = template.CSS(testSheetStyle + paper(out) + runningTitle(title))
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

// Widths of a printed sheet in millimetres: of a sign and the room around a cell, of a cell to write in as the style
// has it, and of an upright page within its margins.
const (
	signWidth    = 2.1
	cellRoom     = 3.5
	numberWidth  = 24
	wordWidth    = 34
	uprightWidth = 182
)

// paper lays the pages on their side where the table would be too wide for an upright one, and numbers them.
func paper(p testSheetPage) string {
	width := 0.0
	for i, c := range p.Columns {
		longest := 0
		for _, word := range strings.Fields(c.Label) {
			longest = max(longest, utf8.RuneCountInString(word))
		}
		for _, d := range p.Days {
			for _, row := range d.Rows {
				longest = max(longest, utf8.RuneCountInString(row[i]))
			}
		}
		one := signWidth*float64(longest) + cellRoom
		switch c.Class {
		case "number":
			one = max(one, numberWidth)
		case "word":
			one = max(one, wordWidth)
		}
		width += one
	}
	size := "portrait"
	if width > uprightWidth {
		size = "landscape"
	}
	return "@page { size: " + size + "; margin: 15mm 12mm; " +
		"@bottom-right { content: counter(page) \" of \" counter(pages); font: 8pt sans-serif; } " +
		"@top-left { font: 8pt sans-serif; } }\n"
}

func allClean(texts []string) []string {
	out := make([]string, len(texts))
	for i, text := range texts {
		out[i] = render.Clean(text)
	}
	return out
}
