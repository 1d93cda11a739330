package book

import (
	"context"
	"errors"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	entries "breakbook/repl/page"
	"breakbook/repl/render"
)

// hostile are levels as nobody should call them, and one that is only long.
var hostile = []string{`<script>alert("1")</script>`, `]]> --> </td></style>`, `" onload="alert(1)`,
	"javascript:alert(1)", "{{.Title}} &amp; \u202eturned",
	"a pair of turned oak pegs, Internationalisierungsbehördenkennzeichen"}

// printedSheet is a sheet over so many days with so many columns to be filled in.
func printedSheet(days, fill int) entries.Printed {
	p := entries.Printed{Plan: `plan<1>"`, Aim: entries.Say("Test sheet, to show a true difference of ",
		entries.Num{Value: 30, Unit: "kgf"}, " in load, by pins."), Stages: 2,
		Filling: []string{"Broke in: one of <glue>."}, Cautions: []string{"Stand clear."},
		Columns: []entries.PrintedColumn{{Label: "Test stage"}, {Label: "Day"}, {Label: "Order"}, {Label: "Pins <b>"}}}
	for i := range fill {
		p.Columns = append(p.Columns, entries.PrintedColumn{Label: fmt.Sprint("Measured", i), Unit: "kg/m3",
			Fill: true})
	}
	for d := range days {
		day := entries.PrintedDay{Day: fmt.Sprint(d + 1), Stage: fmt.Sprint(1 + 2*d/days)}
		for i := range len(hostile) {
			row := []string{day.Stage, day.Day, fmt.Sprint(d*len(hostile) + i + 1), hostile[i]}
			day.Rows = append(day.Rows, append(row, make([]string, fill)...))
		}
		p.Days = append(p.Days, day)
	}
	return p
}

var (
	cellOf = regexp.MustCompile(`<td>(.*?)</td>`)
	tagOf  = regexp.MustCompile(`</?([a-z0-9]+)`)
)

// Whatever a level is called, it stands in its cell as it is called, and the page has no tags but its own.
func TestTestSheetHasItsRowsAsTheyAreCalled(t *testing.T) {
	p := printedSheet(3, 2)
	text, err := TestSheet(t.Context(), p, render.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var got, want []string
	for _, m := range cellOf.FindAllStringSubmatch(string(text), -1) {
		got = append(got, html.UnescapeString(m[1]))
	}
	for _, d := range p.Days {
		for _, row := range d.Rows {
			for _, cell := range row {
				want = append(want, render.Clean(cell))
			}
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("cells %q\nwant %q", got, want)
	}
	own := strings.Fields("html head meta title style body header h1 main section h2 p span table colgroup col " +
		"thead tr th tbody td ul li")
	for _, m := range tagOf.FindAllStringSubmatch(string(text), -1) {
		if !slices.Contains(own, m[1]) {
			t.Errorf("a tag %q", m[1])
		}
	}
	for _, never := range []string{"\u202e", "http:", "https:", "src=", "url("} {
		if strings.Contains(string(text), never) {
			t.Errorf("it has %q", never)
		}
	}
	for _, heading := range []string{"Day 1 of 3, stage 1 of 2, 6 specimens",
		"Day 3 of 3, stage 2 of 2, 6 specimens"} {
		if !strings.Contains(string(text), "<h2>"+heading+"</h2>") {
			t.Errorf("no heading %q", heading)
		}
	}
	if n := strings.Count(string(text), `<span class="unit">(kg/m³)</span>`); n != 6 {
		t.Errorf("%d headers with a unit, want 6", n)
	}
	if n := strings.Count(string(text), "Stand clear."); n != 1 {
		t.Errorf("the cautions are there %d times", n)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := TestSheet(ctx, p, render.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// Each column to be filled in is in one of the tables of a day, all others are in every one, and none has more room
// than a page gives.
func TestTablesOfATestSheetFitThePage(t *testing.T) {
	for _, c := range []struct {
		said        []int
		fill, parts int
	}{{[]int{12, 30}, 0, 1}, {[]int{12, 30}, 1, 1}, {nil, 11, 1}, {nil, 12, 2}, {[]int{20, 130}, 6, 1},
		{[]int{20, 130}, 8, 2}, {[]int{200}, 13, 4}, {[]int{50}, 30, 3}} {
		widths := append(slices.Clone(c.said), make([]int, c.fill)...)
		parts := sideBySide(widths)
		if len(parts) != c.parts {
			t.Errorf("%v and %d more: %d tables, want %d", c.said, c.fill, len(parts), c.parts)
		}
		seen := make([]int, len(widths))
		for _, part := range parts {
			width := 0
			for _, column := range part {
				seen[column]++
				width += max(widths[column], 0)
				if widths[column] == 0 {
					width += writeWidth
				}
			}
			if width > mostWidth || !slices.IsSorted(part) {
				t.Errorf("%v and %d more: %d mm wide, columns %v", c.said, c.fill, width, part)
			}
		}
		for column, n := range seen {
			if want := map[bool]int{true: c.parts, false: 1}[widths[column] > 0]; n != want {
				t.Errorf("%v and %d more: column %d is there %d times, want %d", c.said, c.fill, column, n, want)
			}
		}
	}
	p := printedSheet(1, 1)
	for range 8 {
		p.Columns = append(p.Columns, entries.PrintedColumn{Label: "Long"})
	}
	for i := range p.Days[0].Rows {
		p.Days[0].Rows[i] = append(p.Days[0].Rows[i], slices.Repeat([]string{strings.Repeat("long ", 50)}, 8)...)
	}
	all := 0
	widths := columnWidths(p)
	for _, w := range widths {
		all += w
	}
	if all > mostSaid || all < mostSaid-len(widths) || widths[1] != 11 {
		t.Errorf("what the sheet says takes %d mm: %v", all, widths)
	}
}

// Printed in a browser, a sheet has a page for each day, headed with it, and nothing is cut off; the browser tells of
// no error and loads nothing.
func TestPrintedTestSheetHasAPageADay(t *testing.T) {
	ctx := startBrowser(t)
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not here to read the printed pages with")
	}
	dir := t.TempDir()
	for name, p := range map[string]entries.Printed{"upright": printedSheet(4, 3), "wide": printedSheet(2, 8),
		"parts": printedSheet(2, 12)} {
		text, err := TestSheet(t.Context(), p, render.Options{})
		if err != nil {
			t.Fatal(err)
		}
		path, pdf := filepath.Join(dir, name+".html"), filepath.Join(dir, name+".pdf")
		if err := os.WriteFile(path, text, 0o666); err != nil {
			t.Fatal(err)
		}
		got, _ := open(t, ctx, path, 1280, 800, "light")
		if got.Requests != 0 || got.Nameless != 0 || len(got.Headless) != 0 || len(got.Errors) != 0 {
			t.Errorf("%s: loads %d things, %d tables without a name, skipped levels %q, errors %q", name, got.Requests,
				got.Nameless, got.Headless, got.Errors)
		}
		if _, err := chromedp.Run(ctx, chromedp.Navigate("file://"+path)); err != nil {
			t.Fatal(err)
		}
		printed, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(pdf, printed.Data, 0o666); err != nil {
			t.Fatal(err)
		}
		read, err := exec.Command(reader, "-layout", pdf, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		pages := strings.Split(strings.TrimRight(string(read), "\f\n "), "\f")
		if name != "parts" && len(pages) != len(p.Days) {
			t.Errorf("%s: %d pages, want one for each of %d days", name, len(pages), len(p.Days))
		}
		for i := range p.Days {
			begins := 0
			for _, one := range pages {
				begins += strings.Count(one, fmt.Sprintf("Day %d of %d, stage", i+1, len(p.Days)))
				if strings.Count(one, " specimens\n") > 1 {
					t.Errorf("%s: two days on a page:\n%s", name, one)
				}
			}
			if begins != 1 {
				t.Errorf("%s: day %d is headed %d times", name, i+1, begins)
			}
		}
		for _, c := range p.Columns {
			if word := strings.Fields(c.Label)[0]; strings.Count(string(read), word) < len(p.Days) {
				t.Errorf("%s: %q is cut off:\n%s", name, word, read)
			}
		}
		if n := strings.Count(string(read), "Stand clear."); n != 1 {
			t.Errorf("%s: the cautions are printed %d times", name, n)
		}
	}
}
