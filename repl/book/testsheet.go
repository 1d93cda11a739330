package book

import (
	"bytes"
	"cmp"
	"context"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"sync"
	"unicode/utf8"

	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

//go:embed testsheet.gohtml
var testSheetText string

//go:embed testsheet.css
var testSheetStyle string

// testSheetTemplate is parsed when it is first needed: most sessions show no page.
var testSheetTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("test sheet").Parse(testSheetText))
})

// testSheetPage is a test sheet ready for its template.
type testSheetPage struct {
	Title, Aim        string
	Style             template.CSS
	Days              []testSheetDay
	Filling, Cautions []string
}

type testSheetDay struct {
	Heading string
	Tables  []testSheetTable
}

type testSheetTable struct {
	Label   string
	Columns []testSheetColumn
	Rows    [][]string
}

type testSheetColumn struct {
	Label, Unit string
	Width       int // in millimetres; 0: it is to be filled in, and takes what room is left
}

// TestSheet is a test sheet as one page of HTML that needs nothing else. Printed, each bench day begins a new page.
// Where there is more to fill in than fits beside each other, a day has several tables, each with all that the sheet
// says of its specimens. The error is the context's.
func TestSheet(ctx context.Context, p page.Printed, o render.Options) (_ []byte, err error) {
	defer parallel.Catch(&err)
	title := "Test sheet of " + render.Clean(p.Plan)
	out := testSheetPage{Title: title, Aim: render.Prose(p.Aim, o),
		Filling: lists.Mapped(p.Filling, render.Clean), Cautions: lists.Mapped(p.Cautions, render.Clean)}
	widths := columnWidths(p)
	parts := sideBySide(widths)
	for _, d := range p.Days {
		day := testSheetDay{Heading: dayHeading(d, len(p.Days), p.Stages)}
		for i, part := range parts {
			t := testSheetTable{Label: day.Heading}
			if len(parts) > 1 {
				t.Label += fmt.Sprintf(", part %d of %d", i+1, len(parts))
			}
			for _, c := range part {
				t.Columns = append(t.Columns, testSheetColumn{Label: render.Clean(p.Columns[c].Label),
					Unit: render.Unit(p.Columns[c].Unit), Width: widths[c]})
			}
			for i, row := range d.Rows {
				parallel.LookAt(ctx, i)
				cells := lists.Mapped(part, func(c int) string { return render.Clean(row[c]) })
				t.Rows = append(t.Rows, cells)
			}
			day.Tables = append(day.Tables, t)
		}
		out.Days = append(out.Days, day)
	}
	out.Style = template.CSS(testSheetStyle + paper(widths, parts) + runningTitle(title))
	var text bytes.Buffer
	err = testSheetTemplate().Execute(&text, out)
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

// Widths of a printed sheet in millimetres.
const (
	signWidth    = 2.1
	boldWidth    = 2.5 // of a sign of a header
	cellRoom     = 4   // around what a cell says
	widest       = 55  // of a cell that does not wrap
	mostSaid     = 200 // of all columns that the sheet fills in itself, of which the widest give way
	narrowest    = 12  // to which they do
	writeWidth   = 28  // of a cell to write in
	uprightWidth = 186 // of an upright page within its margins
	mostWidth    = 330 // of a page on its side, which Chromium prints smaller by a quarter
)

// columnWidths are how wide the columns have to be for what they say and for every word of their headers; 0 for
// those to be filled in.
func columnWidths(p page.Printed) []int {
	widths := make([]int, len(p.Columns))
	all := 0
	for i, c := range p.Columns {
		if c.Fill {
			continue
		}
		width := 0.0
		for _, word := range strings.Fields(c.Label) {
			width = max(width, boldWidth*float64(utf8.RuneCountInString(word)))
		}
		for _, d := range p.Days {
			for _, row := range d.Rows {
				width = max(width, signWidth*float64(utf8.RuneCountInString(row[i])))
			}
		}
		widths[i] = int(min(width, widest)) + cellRoom
		all += widths[i]
	}
	for most := widest + cellRoom; all > mostSaid && most > narrowest; most-- {
		for i, w := range widths {
			widths[i] = min(w, most)
			all -= w - widths[i]
		}
	}
	return widths
}

// sideBySide are the columns of each table: all that the sheet says, and its share of those to be filled in.
func sideBySide(widths []int) [][]int {
	said, fill := 0, 0
	for _, w := range widths {
		if said += w; w == 0 {
			fill++
		}
	}
	room := max(1, (mostWidth-said)/writeWidth)
	parts := make([][]int, max(1, (fill+room-1)/room))
	next := 0
	for i, w := range widths {
		for part := range parts {
			if w > 0 || part == next*len(parts)/fill {
				parts[part] = append(parts[part], i)
			}
		}
		if w == 0 {
			next++
		}
	}
	return parts
}

// paper gives the tables their room, on pages laid on their side where upright ones are too narrow, and numbers these.
func paper(widths []int, parts [][]int) string {
	widest, size := 0, "portrait"
	for _, part := range parts {
		width := 0
		for _, c := range part {
			width += cmp.Or(widths[c], writeWidth)
		}
		widest = max(widest, width)
	}
	if widest > uprightWidth {
		size = "landscape"
	}
	return fmt.Sprintf(`main { min-width: %dmm; }
@page {
  size: %s; margin: 15mm 12mm;
  @bottom-right { content: counter(page) " of " counter(pages); font: 8pt sans-serif; }
  @top-left { font: 8pt sans-serif; }
}
`, widest, size)
}
