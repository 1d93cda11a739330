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
	if err := HTML(&b, hostileEntry(), []string{"data:image/svg+xml;base64,PHN2Zy8+"}, Options{}); err != nil {
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
			want := []html.Attribute{{Key: "src", Val: "data:image/svg+xml;base64,PHN2Zy8+"}, {Key: "alt", Val: `x" onerror="y`}}
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
	if err := HTML(&b, sampleFit(), nil, Options{}); err != nil {
		t.Fatal(err)
	}
	got := strings.ReplaceAll(b.String(), "\u00a0", " ")
	for _, want := range []string{
		`<section class="entry" id="entry-3">`,
		`<p class="main">A pair of pins carries 412 N more than none`,
		`<th scope="col" class="number">standard error</th><th scope="col">unit</th>`,
		`<tr><th scope="row" class="few">density</th><td class="number">3.214</td>`,
		"<td class=\"number\">412\u2008\u2007\u2007\u2007</td>",
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
	if err := Markdown(&b, sampleFit(), []string{"gates report-figure-1.svg"}, Options{}); err != nil {
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

func TestMarkdownEscapes(t *testing.T) {
	var b bytes.Buffer
	if err := Markdown(&b, hostileEntry(), nil, Options{}); err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(strings.TrimPrefix(b.String(), "```"), "```\n")
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
