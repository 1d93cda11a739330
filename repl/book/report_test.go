package book

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"breakbook/repl/page"
)

// walk calls f for every node of a parsed page.
func walk(n *html.Node, f func(*html.Node)) {
	f(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		walk(c, f)
	}
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// The page stands alone: no script, no address that leads out of it, every link
// has its target, no id twice.
func TestReportHTMLStandsAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gates.html")
	if err := writeReport(path, sampleDocument()); err != nil {
		t.Fatal(err)
	}
	text := content(t, path)
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	ids, counts := map[string]int{}, map[string]int{}
	var links []string
	walk(root, func(n *html.Node) {
		if n.Type != html.ElementNode {
			return
		}
		counts[n.Data]++
		if id := attribute(n, "id"); id != "" {
			ids[id]++
		}
		for _, a := range n.Attr {
			switch {
			case a.Key == "href" && strings.HasPrefix(a.Val, "#"):
				links = append(links, a.Val[1:])
			case (a.Key == "src" || a.Key == "srcset") && strings.HasPrefix(a.Val, "data:image/svg+xml,"):
			case a.Key == "href" && strings.HasPrefix(a.Val, "data:text/csv;"):
				if name := attribute(n, "download"); name != "gates.csv" {
					t.Errorf("the specimens are kept as %q", name)
				}
			case a.Key == "src", a.Key == "href", a.Key == "srcset", strings.HasPrefix(a.Key, "on"):
				t.Errorf("<%s %s=%.40q>", n.Data, a.Key, a.Val)
			}
		}
	})
	for _, none := range []string{"script", "link", "iframe", "object"} {
		if counts[none] != 0 {
			t.Errorf("%d <%s>", counts[none], none)
		}
	}
	// tables: two of the comparison, one of the fit, of specimens, set aside, left out, tests, settings, files
	if counts["img"] != 1 || counts["source"] != 1 || counts["table"] != 9 || counts["h1"] != 1 {
		t.Errorf("%d pictures, %d narrow, %d tables, %d titles", counts["img"], counts["source"], counts["table"],
			counts["h1"])
	}
	if counts["main"] != 1 || counts["header"] != 1 || counts["nav"] != 1 || counts["details"] < 5 {
		t.Errorf("landmarks and folds: %v", counts)
	}
	for id, n := range ids {
		if n > 1 {
			t.Errorf("id %s stands %d times", id, n)
		}
	}
	if len(links) < 10 {
		t.Errorf("links %v, want at least ten", links)
	}
	for _, l := range links {
		if ids[l] == 0 {
			t.Errorf("#%s leads nowhere", l)
		}
	}
	if strings.Contains(text, "url(") || strings.Contains(text, "@import") {
		t.Error("the style loads something")
	}
}

// Every element that is opened is closed in its place.
func TestReportHTMLIsWellFormed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gates.html")
	if err := writeReport(path, sampleDocument()); err != nil {
		t.Fatal(err)
	}
	void := map[string]bool{"meta": true, "img": true, "source": true, "br": true}
	var open []string
	tokens := html.NewTokenizer(strings.NewReader(content(t, path)))
	for {
		switch tokens.Next() {
		case html.StartTagToken:
			if name, _ := tokens.TagName(); !void[string(name)] {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := tokens.TagName()
			if len(open) == 0 || open[len(open)-1] != string(name) {
				t.Fatalf("</%s> closes %v", name, open)
			}
			open = open[:len(open)-1]
		case html.ErrorToken:
			if len(open) > 0 {
				t.Errorf("never closed: %v", open)
			}
			return
		}
	}
}

func TestReportSays(t *testing.T) {
	for _, name := range []string{"gates.html", "gates.md"} {
		path := filepath.Join(t.TempDir(), name)
		if err := writeReport(path, sampleDocument()); err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(content(t, path), "\u00a0", " ")
		for _, want := range []string{"compare load by pins against none",
			"A pair of pins carries 412 N more than none",
			"6 boards: specimens of one board are alike", "Load by pins: the pair stands 412 N above none.",
			"9f86d081884c7d65 9f86d081884c7d65", "series/gates 2.csv", "grip slipped",
			"How often each response was tested",
			"They are no design values", "Density", "the shed"} {
			if !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
				t.Errorf("%s does not say %q", name, want)
			}
		}
		for _, not := range []string{"fit lod", "no column lod", "save book", "<second>"} {
			if strings.Contains(text, not) {
				t.Errorf("%s says %q", name, not)
			}
		}
	}
}

func TestReportIsTheSameTwice(t *testing.T) {
	dir := t.TempDir()
	for _, ending := range []string{".html", ".md"} {
		var got [2]string
		for i := range got {
			path := filepath.Join(dir, "r"+ending)
			if err := writeReport(path, sampleDocument()); err != nil {
				t.Fatal(err)
			}
			got[i] = content(t, path)
		}
		if got[0] != got[1] {
			t.Errorf("%s differs", ending)
		}
	}
}

func TestReportMarkdownFigures(t *testing.T) {
	dir := t.TempDir()
	d := sampleDocument()
	d.Entries[5].Figures[0].Path = ""
	if err := writeReport(filepath.Join(dir, "gates 1.md"), d); err != nil {
		t.Fatal(err)
	}
	if got := names(t, dir); got != "gates 1-figure-1.svg gates 1.md" {
		t.Fatalf("folder holds %q", got)
	}
	svg, err := os.ReadFile(filepath.Join(dir, "gates 1-figure-1.svg"))
	if err != nil || !bytes.Contains(svg, []byte("<svg")) {
		t.Errorf("no picture: %v %.60s", err, svg)
	}
	if !strings.Contains(content(t, filepath.Join(dir, "gates 1.md")), "](<gates 1-figure-1.svg>)") {
		t.Error("the figure is not shown")
	}
}

// A Markdown report leads to a picture that the book has drawn, and draws none of it again.
func TestReportMarkdownLinksWhatIsDrawn(t *testing.T) {
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "told", "here"), 0o777); err != nil {
		t.Fatal(err)
	}
	for drawn, want := range map[string]string{"pictures/pins.svg": "../../pictures/pins.svg",
		"told/pins.png": "../pins.png",
		"pins.pdf":      "r-figure-1.svg"} {
		d := sampleDocument()
		d.Entries[5].Figures[0].Path = filepath.Join(dir, drawn)
		path := filepath.Join(dir, "told", "here", "r.md")
		if err := writeReport(path, d); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(content(t, path), "](<"+want+">)") {
			t.Errorf("%s is not shown as %s", drawn, want)
		}
	}
	if got := names(t, filepath.Join(dir, "told", "here")); got != "r-figure-1.svg r.md" {
		t.Errorf("folder holds %q", got)
	}
}

// The contents of a Markdown report name its headings in order and lead to them; its title is the first.
func TestReportMarkdownHasContents(t *testing.T) {
	d := Document{Entries: []page.Entry{{Number: 2, Kind: "heading", Prose: "Pins *and* [pegs]"},
		{Number: 3, Kind: "note", Prose: "Cut by hand."},
		{Number: 7, Kind: "heading", Prose: "Glue"}}}
	path := filepath.Join(t.TempDir(), "gates.md")
	if err := writeReport(path, d); err != nil {
		t.Fatal(err)
	}
	text := content(t, path)
	contents := "# Pins \\*and\\* \\[pegs\\]\n\n## How it was done\n\n" +
		"1. [Pins \\*and\\* \\[pegs\\]](#entry-2)\n2. [Glue](#entry-7)\n\n"
	if !strings.HasPrefix(text, contents) {
		t.Errorf("starts with %q, want %q", text[:min(len(text), 120)], contents)
	}
	for _, n := range []string{"2", "7"} {
		if strings.Count(text, `<a id="entry-`+n+`"></a>`+"\n\n### ") != 1 {
			t.Errorf("entry %s cannot be led to in %s", n, text)
		}
	}
	if err := writeReport(path, Document{}); err != nil ||
		!strings.HasPrefix(content(t, path), "# Bench book\n\n## What this rests on") {
		t.Errorf("without headings: %v, %.80q", err, content(t, path))
	}
}

func TestReportRefusesAnotherEnding(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gates.docx")
	if err := writeReport(path, sampleDocument()); err == nil || err.Error() != "cannot write "+path+
		": a report ends in .html or .md" {
		t.Errorf("error %v", err)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("written all the same")
	}
}

// An address holds a picture as it is, without the words of its file, and nothing that ends an attribute or a list of
// addresses.
func TestImageAddress(t *testing.T) {
	svg := "<?xml version=\"1.0\"?>\n<svg width=\"4pt\">\n<title>Pins</title>\n<desc>The pair &lt; none.</desc>\n" +
		"<path d=\"M0,0L4,4\" style=\"fill:#FFF\" />\n<text>50 % more</text></svg>"
	want := "data:image/svg+xml,%3Csvg%20width=%224pt%22%3E%3Cpath%20d=%22M0,0L4,4%22%20style=%22fill:%23FFF%22/%3E" +
		"%3Ctext%3E50%20%25%20more%3C/text%3E%3C/svg%3E"
	if got := imageAddress([]byte(svg)); got != want {
		t.Errorf("address\n%s, want\n%s", got, want)
	}
}
