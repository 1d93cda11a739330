package book

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	entries "breakbook/repl/page"
)

// Printed, no page ends between a command, what it found and its table, nor within a small
// table: entries of different lengths meet the foot of a page at every place.
func TestPrintedPagesEndBetweenEntries(t *testing.T) {
	ctx := startBrowser(t)
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not here to read the printed pages with")
	}
	d := Document{Title: "Joints, one by one"}
	for i := range 60 {
		table := entries.Table{ID: "table", Title: entries.Say("Table"),
			Columns: []entries.Column{{ID: "name"}, {ID: "value"}}}
		for row := range 2 + i%5 {
			table.Rows = append(table.Rows, []entries.Cell{entries.T(fmt.Sprintf("row%d", row)),
				entries.N(float64(row))})
		}
		table.Rows = append(table.Rows, []entries.Cell{entries.T("last"), entries.N(0)})
		d.Entries = append(d.Entries, entries.Entry{Number: i + 1, Kind: "average", Input: "average load by pins",
			Series:    "gates",
			Specimens: &entries.Specimens{Used: 40 + i}, Findings: []entries.Sentence{entries.Say("What was found.")},
			Tables: []entries.Table{table}})
	}
	dir := t.TempDir()
	html, pdf := filepath.Join(dir, "report.html"), filepath.Join(dir, "report.pdf")
	if err := writeReport(html, d); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Run(ctx, chromedp.Navigate("file://"+html)); err != nil {
		t.Fatal(err)
	}
	printed, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(pdf, printed.Data, 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command(reader, "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(strings.TrimRight(string(text), "\f\n "), "\f")
	if len(pages) < 5 {
		t.Fatalf("%d pages, too few to test with", len(pages))
	}
	for i, p := range pages[:len(pages)-1] {
		lines := strings.Split(strings.TrimSpace(p), "\n")
		if number := fmt.Sprintf("%d of %d", i+1, len(pages)); strings.TrimSpace(lines[len(lines)-1]) != number {
			t.Errorf("page %d has no number %q at its foot", i+1, number)
			continue
		}
		lines = strings.Split(strings.TrimSpace(strings.Join(lines[:len(lines)-1], "\n")), "\n")
		if i > 0 && strings.TrimSpace(lines[0]) != "Joints, one by one" {
			t.Errorf("page %d begins with %q, want the running title", i+1, lines[0])
		}
		if end := strings.TrimSpace(lines[len(lines)-1]); !strings.HasPrefix(end, "last") {
			t.Errorf("page %d ends with %q, within an entry", i+1, end)
		}
	}
}
