package phrase

import (
	"unicode"
)

func wantFile(*parser, slot) want { return want{what: "a file", code: "file", files: true} }

func readFile(p *parser, s slot) (Node, bool) {
	f, ok := p.file(s)
	return f, ok
}

// file reads a path and notes it among the files of the command.
func (p *parser) file(s slot) (File, bool) {
	f, ok := fileAt(p.in, p.tok())
	if !ok {
		return File{}, p.need(wantFile(p, slot{}))
	}
	f.Written = s.written()
	p.skipTo(f.End - 1)
	if f.Path == "" {
		p.wrong("expected-file", f.At, "a file has a name", "")
	}
	p.out.Files = append(p.out.Files, f)
	return File{Path: f.Path, At: f.At}, true
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
		f, ok := p.file(s)
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

// readWords reads a quoted text, or the bare words up to the next word of the phrase.
func readWords(p *parser, _ slot) (Node, bool) {
	t, ok := p.words()
	if !ok {
		return nil, false
	}
	return t, true
}

func (p *parser) words() (Text, bool) {
	at, from := p.place(), p.i
	if t := p.tok(); t.kind == quoteToken {
		p.i++
		return Text{Text: t.text, At: at}, true
	}
	for !p.stops() && (p.tok().kind == wordToken || p.tok().kind == numberToken || p.i > from && p.tok().glued && p.tok().kind == markToken) {
		p.i++
	}
	if p.i == from {
		return Text{}, p.need(want{what: "a word or a text in quotation marks", code: "text"})
	}
	return Text{Text: p.typed(from, p.i), At: at}, true
}

// readNewColumn reads the name of a column to come: words, the first letter a letter.
func readNewColumn(p *parser, s slot) (Node, bool) {
	w := want{what: "a name that starts with a letter", code: "name"}
	if t := p.tok(); t.kind != wordToken && t.kind != quoteToken || t.text == "" || !unicode.IsLetter([]rune(t.text)[0]) {
		return nil, p.need(w)
	}
	if p.stops() {
		return nil, p.need(w)
	}
	return readWords(p, s)
}

func wantWhich(*parser, slot) want { return literal([]string{"specimen", "for"}) }

// readWhich reads specimens by name or by a condition.
func readWhich(p *parser, s slot) (Node, bool) {
	out := Which{At: p.place()}
	switch {
	case p.word("for"):
		c, ok := p.or()
		out.Condition = c
		return out, ok
	case p.isWord(0, "specimen", "specimens"):
		p.i++
		ok := p.list(func() bool {
			at := p.place()
			text, ok := "", false
			if !p.stops() {
				text, ok = p.bare()
			}
			out.Specimens = append(out.Specimens, Text{Text: text, At: at})
			return ok || p.need(want{what: "the name or the number of a specimen", code: "text"})
		})
		return out, ok
	}
	return nil, p.need(wantWhich(p, s))
}

// readHeaders reads the names of columns of a file that is not open, as they are typed.
func readHeaders(p *parser, _ slot) (Node, bool) {
	list := Texts{At: p.place()}
	ok := p.list(func() bool {
		name, ok := p.words()
		if ok {
			list.List = append(list.List, name.Text)
		}
		return ok
	})
	return list, ok
}
