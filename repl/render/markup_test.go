package render

import (
	"bytes"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"breakbook/repl/page"
)

// hostile is text that means something to HTML and to Markdown.
const hostile = `<script>alert(1)</script> *a* _b_ [c](javascript:d) | e` + "`"

func hostileEntry() page.Entry {
	return page.Entry{Number: 1, Input: hostile, Kind: "average", Findings: []page.Sentence{page.Say(hostile)},
		Tables: []page.Table{{Title: page.Say(hostile), Columns: []page.Column{{ID: "a", Label: hostile}},
			Rows: [][]page.Cell{{page.T(hostile)}}}},
		Figures:  []page.Figure{{Alt: page.Say(`x" onerror="y`), Title: hostile}},
		Cautions: []page.Sentence{page.Say(hostile)}}
}

func TestHTMLEscapes(t *testing.T) {
	var b bytes.Buffer
	if err := HTML(&b, hostileEntry(), Surroundings{Pictures: []Picture{{Wide: "data:image/svg+xml;base64,PHN2Zy8+"}}},
		Options{}); err != nil {
		t.Fatal(err)
	}
	tokens := html.NewTokenizer(bytes.NewReader(b.Bytes()))
	shown, images := 0, 0
	for tokens.Next() != html.ErrorToken {
		token := tokens.Token()
		switch {
		case token.Data == "script":
			t.Errorf("a script in\n%s", b.String())
		case token.Type == html.TextToken:
			shown += strings.Count(token.Data, hostile)
		case token.Data == "img":
			images++
			want := []html.Attribute{{Key: "src", Val: "data:image/svg+xml;base64,PHN2Zy8+"},
				{Key: "alt", Val: `x" onerror="y`}}
			if len(token.Attr) != 2 || token.Attr[0] != want[0] || token.Attr[1] != want[1] {
				t.Errorf("image has %v", token.Attr)
			}
		}
	}
	if shown != 7 || images != 1 {
		t.Errorf("the text is shown %d times, want 7; %d images, want 1:\n%s", shown, images, b.String())
	}
}

func TestHTMLTable(t *testing.T) {
	var b bytes.Buffer
	if err := HTML(&b, sampleFit(), Surroundings{}, Options{}); err != nil {
		t.Fatal(err)
	}
	got := strings.ReplaceAll(b.String(), "\u00a0", " ")
	for _, want := range []string{
		`<section class="entry" id="entry-3">`,
		`<p class="main">A pair of pins carries 412 N more than none`,
		`<th scope="col" class="number">high</th><th scope="col">unit</th><th scope="col" class="number">t</th>`,
		`<details class="rest"><summary>More columns</summary>`,
		`aria-label="Expected load of a baseline specimen (pins: none) and what changes it: more columns"`,
		`<th scope="col">term</th><th scope="col" class="number">standard error</th><th scope="col">unit</th>`,
		`<tr><th scope="row">density</th><td>3.214</td>`,
		"<td>412\u2008\u2007\u2007\u2007</td>",
		`<div><dt>explained</dt><dd>61 %</dd></div>`,
		`<p class="caution"><strong>Caution:</strong> 6 boards`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in\n%s", want, got)
		}
	}
	if strings.Contains(got, "<img") {
		t.Error("a figure without a picture is shown")
	}
}

func TestMarkdown(t *testing.T) {
	var b bytes.Buffer
	if err := Markdown(&b, sampleFit(), Surroundings{Pictures: []Picture{{Wide: "gates report-figure-1.svg"}}},
		Options{}); err != nil {
		t.Fatal(err)
	}
	got := strings.ReplaceAll(b.String(), "\u00a0", " ")
	for _, want := range []string{
		"```\nfit load on density, pins\n```\n\n**A pair of pins carries 412 N",
		"| term | effect | low | high | standard error | unit | t | degrees of freedom | p |\n| --- | --: |",
		"| pins: single | −35 | −190 | 120 | 76.2 | N | −0.46 | 34 | 0.647 |",
		"- residual sd: 251.3 N\n",
		"![Load by pins: the pair stands highest.](<gates report-figure-1.svg>)",
		"Caution: 6 boards",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
}

// A caution that an earlier entry told whole is named by its number alone.
func TestMarkdownNamesCautionsOfEarlierEntries(t *testing.T) {
	e := page.Entry{Number: 2, Input: "average load by pins", Kind: "average",
		Cautions: []page.Sentence{page.Say("6 boards"), page.Say("few joints")},
		Numbered: []page.CautionNumber{{N: 3}, {N: 4}}}
	text := func() string {
		var b bytes.Buffer
		if err := Markdown(&b, e, Surroundings{}, Options{}); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	if got := text(); !strings.HasSuffix(got, "Caution 3: 6 boards\n\nCaution 4: few joints\n\n") {
		t.Errorf("told for the first time:\n%q", got)
	}
	e.Numbered[1].Again = true
	if got := text(); !strings.HasSuffix(got, "Caution 3: 6 boards\n\n(caution 4)\n\n") {
		t.Errorf("told again:\n%q", got)
	}
}

func TestMarkdownEscapes(t *testing.T) {
	var b bytes.Buffer
	if err := Markdown(&b, hostileEntry(), Surroundings{}, Options{}); err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(strings.TrimPrefix(b.String(), "<a id=\"entry-1\"></a>\n\n```"), "```\n")
	escaped := "\\<script\\>alert(1)\\</script\\> \\*a\\* \\_b\\_ \\[c\\](javascript:d) \\| e\\`"
	if n := strings.Count(after, escaped); n != 5 { // finding, table title, head, cell, caution
		t.Errorf("escaped %d times, want 5:\n%s", n, after)
	}
	for in, want := range map[string]string{"- a": `\- a`, "12. a": `12\. a`, "a.b": "a.b", "# a": `\# a`} {
		if got := Escape(in); got != want {
			t.Errorf("Escape(%q) = %q, want %q", in, got, want)
		}
	}
}

// A folded entry has its command for a heading and its answer beside it; a figure has a drawing for narrow screens,
// and its words say what its caption does not.
func TestHTMLFolds(t *testing.T) {
	e := page.Entry{Number: 4, Input: "compare load by pins", Kind: "compare",
		Findings: []page.Sentence{page.Say("A pair carries more: ", page.Verdict{Words: "differs"}, "."),
			page.Say("So it is.")},
		Figures: []page.Figure{{Title: "Load by pins", Alt: page.Say("The pair stands highest.")}}}
	var b bytes.Buffer
	err := HTML(&b, e, Surroundings{Level: 4, Links: []Link{{To: "caution-2", Text: "caution 2"}},
		Pictures: []Picture{{ID: "figure-3", Wide: "data:image/svg+xml,A", Narrow: "data:image/svg+xml,B",
			Caption: "Figure 3",
			From:    &Link{To: "entry-1", Text: "(entry 1)"}}}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<details class="entry"><summary><h4><span class="count">4</span> <code>compare load by pins</code></h4>` +
			`<span class="gist">A pair carries more: differs.</span></summary>` + "\n" + `<div id="entry-4">`,
		`<figure id="figure-3"><picture><source media="(max-width: 30rem)" srcset="data:image/svg+xml,B">` +
			`<img src="data:image/svg+xml,A" alt="The pair stands highest."></picture>` +
			`<figcaption>Figure 3. Load by pins <a href="#entry-1">(entry 1)</a></figcaption></figure>`,
		`<p class="see">See <a href="#caution-2">caution 2</a></p>`,
	} {
		if !strings.Contains(strings.ReplaceAll(b.String(), "&#43;", "+"), want) {
			t.Errorf("no %s in\n%s", want, b.String())
		}
	}
	if n := strings.Count(b.String(), "A pair carries more"); n != 1 {
		t.Errorf("the main finding stands %d times, want 1:\n%s", n, b.String())
	}
}

// The answer stands straight after the number it is about, and what a narrow terminal leaves out is behind the fold,
// led by what names the rows.
func TestColumnsReadFirst(t *testing.T) {
	table := page.Table{Title: page.Say("Pairs"), Note: page.Say("df: degrees of freedom"),
		Columns: []page.Column{{ID: "first"}, {ID: "second"}, {ID: "n", Style: page.Count}, {ID: "difference"},
			{ID: "low"}, {ID: "df", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}, {ID: "answer"}},
		Rows: [][]page.Cell{{page.T("none"), page.T("pair"), page.N(9), page.N(97), page.N(72), page.N(48),
			page.N(0.001), page.T("differs")}}}
	ids := func(t page.Table) string {
		var out []string
		for _, c := range t.Columns {
			out = append(out, c.ID)
		}
		return strings.Join(out, " ")
	}
	first, rest := readFirst(table)
	if got := ids(first); got != "first second n difference answer low p" {
		t.Errorf("read first: %s", got)
	}
	if got := ids(rest); got != "first second df" {
		t.Errorf("behind the fold: %s", got)
	}
	if first.Rows[0][4].Text != "differs" || rest.Rows[0][2].Num != 48 || first.Note != nil || rest.Note == nil {
		t.Errorf("cells %v and %v, notes %v and %v", first.Rows, rest.Rows, first.Note, rest.Note)
	}
	table.Columns[5].Wide = false
	if first, rest = readFirst(table); len(rest.Columns) != 0 || first.Note == nil {
		t.Errorf("nothing is wide, and yet %s is behind a fold", ids(rest))
	}
}
