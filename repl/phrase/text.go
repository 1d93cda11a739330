package phrase

import (
	"strings"
	"unicode"
)

func wantFile(*parser, slot) want { return want{what: "a file", code: "file", files: true} }

func readFile(p *parser, s slot) (Node, bool) {
	f, ok := p.file()
	return f, ok
}

// file reads a path: a quoted text, or all up to the next blank, without a comma
// at its end.
func (p *parser) file() (File, bool) {
	at, t := p.place(), p.tok()
	switch t.kind {
	case endToken, commaToken, openQuoteToken:
		return File{}, p.need(wantFile(p, slot{}))
	case quoteToken:
		p.i++
		if t.text == "" {
			p.wrong("expected-file", at, "a file has a name", "")
		}
		return File{Path: t.text, At: at}, true
	}
	end := t.start
	for end < len(p.in) && !unicode.IsSpace(p.in[end]) {
		end++
	}
	path := strings.TrimRight(string(p.in[t.start:end]), ",")
	end = t.start + len([]rune(path))
	p.skipTo(end)
	return File{Path: path, At: at}, true
}

// skipTo makes the first token at or after the character offset the current one.
func (p *parser) skipTo(offset int) {
	for !p.end() && p.tok().start < offset {
		p.i++
	}
}

func readFiles(p *parser, s slot) (Node, bool) {
	list := Files{At: p.place()}
	for {
		f, ok := p.file()
		if !ok {
			return nil, false
		}
		list.Paths = append(list.Paths, f)
		if p.tok().kind == commaToken || p.stops() {
			p.note(wantFile(p, s))
			return list, true
		}
	}
}

// readRest takes all that is left; where that is one quoted text, without its marks.
func readRest(p *parser, _ slot) (Node, bool) {
	if p.end() {
		return nil, p.need(want{what: "text", code: "text"})
	}
	at, t := p.place(), p.tok()
	text := string(p.in[t.start:])
	last := len(p.toks) - 1
	if t.kind == quoteToken && p.i+1 == last {
		text = t.text
	}
	p.i = last
	return Text{Text: text, At: at}, true
}

func readQuoted(p *parser, s slot) (Node, bool) {
	at, t := p.place(), p.tok()
	if t.kind != quoteToken {
		return nil, p.need(fixed("text in quotation marks", "text")(p, s))
	}
	p.i++
	return Text{Text: t.text, At: at}, true
}

func readTexts(p *parser, s slot) (Node, bool) {
	list := Texts{At: p.place()}
	ok := p.list(func() bool {
		text, ok := p.bare()
		if !ok {
			return p.need(fixed("a word or a text in quotation marks", "text")(p, s))
		}
		list.List = append(list.List, text)
		return true
	})
	return list, ok
}

// bare reads a quoted text or one bare word with what is glued to it.
func (p *parser) bare() (string, bool) {
	switch t := p.tok(); t.kind {
	case quoteToken:
		p.i++
		return t.text, true
	case wordToken, numberToken:
		text := p.tokenText(p.i)
		p.skipTo(t.start + len([]rune(text)))
		return text, true
	}
	return "", false
}
