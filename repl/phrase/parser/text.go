package parser

import (
	"slices"
	"strings"
	"unicode"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

func wantFile(_ *parser, s pattern.Slot) want {
	return want{what: "a file", code: "file", files: append([]string{}, s.Endings()...)}
}

func readFile(p *parser, s pattern.Slot) (phrase.Node, bool) {
	f, ok := p.file(s)
	return f, ok
}

// anyText is what a word or a text in quotation marks can stand for.
var anyText = want{what: "a word or a text in quotation marks", code: "text"}

// wantSheet is a sheet of the last workbook that the line names.
func wantSheet(p *parser, _ pattern.Slot) want {
	w := anyText
	if n := len(p.out.Files); n > 0 {
		w.book = p.out.Files[n-1].Path
	}
	return w
}

// file reads a path and notes it among the files of the command.
func (p *parser) file(s pattern.Slot) (phrase.File, bool) {
	f, ok := phrase.FileAt(p.in, p.tok())
	if !ok {
		return phrase.File{}, p.need(wantFile(p, s))
	}
	f.Written = s.Written()
	p.skipTo(f.End - 1)
	if f.Path == "" {
		p.wrong("expected-file", f.At, "a file has a name", "")
	}
	p.out.Files = append(p.out.Files, f)
	return phrase.File{Path: f.Path, At: f.At}, true
}

// skipTo makes the first token at or after the character offset the current one.
func (p *parser) skipTo(offset int) {
	for !p.end() && p.tok().Start < offset {
		p.i++
	}
}

func readFiles(p *parser, s pattern.Slot) (phrase.Node, bool) {
	list := phrase.Files{At: p.place()}
	for {
		f, ok := p.file(s)
		if !ok {
			return nil, false
		}
		list.Paths = append(list.Paths, f)
		if p.tok().Kind == scan.Comma || p.stops() {
			p.note(wantFile(p, s))
			return list, true
		}
	}
}

// wantRest is text, or where a slot asks for them, the words that commands start with.
func wantRest(p *parser, s pattern.Slot) want {
	w := want{what: "text", code: "text"}
	if slices.Contains(s.Args, "commands") {
		w.words = p.lang.FirstWords
	}
	return w
}

// readRest takes all that is left; where that is one quoted text, without its marks.
func readRest(p *parser, s pattern.Slot) (phrase.Node, bool) {
	if p.end() {
		return nil, p.need(wantRest(p, s))
	}
	at, t := p.place(), p.tok()
	text := string(p.in[t.Start:])
	last := len(p.toks) - 1
	if t.Kind == scan.Quote && p.i+1 == last {
		text = t.Text
	}
	p.i = last
	return phrase.Text{Text: text, At: at}, true
}

func readQuoted(p *parser, s pattern.Slot) (phrase.Node, bool) {
	at, t := p.place(), p.tok()
	if t.Kind != scan.Quote {
		return nil, p.need(fixed("text in quotation marks", "text")(p, s))
	}
	p.i++
	return phrase.Text{Text: t.Text, At: at}, true
}

func readTexts(p *parser, s pattern.Slot) (phrase.Node, bool) {
	list := phrase.Texts{At: p.place()}
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
	switch t := p.tok(); t.Kind {
	case scan.Quote:
		p.i++
		return t.Text, true
	case scan.Word, scan.Number:
		text := p.tokenText(p.i)
		p.skipTo(t.Start + len([]rune(text)))
		return text, true
	}
	return "", false
}

// readWords reads a quoted text, or the bare words up to the next word of the phrase.
func readWords(p *parser, _ pattern.Slot) (phrase.Node, bool) { return p.wordsOr(anyText) }

func readSheet(p *parser, s pattern.Slot) (phrase.Node, bool) { return p.wordsOr(wantSheet(p, s)) }

// wordsOr reads words for a slot, which needs them.
func (p *parser) wordsOr(w want) (phrase.Node, bool) {
	t, ok := p.words(w)
	if !ok {
		return nil, false
	}
	return t, true
}

func (p *parser) words(w want) (phrase.Text, bool) {
	at, from := p.place(), p.i
	if t := p.tok(); t.Kind == scan.Quote {
		p.i++
		return phrase.Text{Text: t.Text, At: at}, true
	}
	for !p.stops() && (p.tok().Kind == scan.Word || p.tok().Kind == scan.Number || p.i > from && p.tok().Glued &&
		p.tok().Kind == scan.Mark) {
		p.i++
	}
	if p.i == from {
		return phrase.Text{}, p.need(w)
	}
	return phrase.Text{Text: p.typed(from, p.i), At: at}, true
}

// readNewColumn reads the name of a column to come: words, the first letter a letter.
func readNewColumn(p *parser, s pattern.Slot) (phrase.Node, bool) {
	w := want{what: "a name that starts with a letter", code: "name"}
	if t := p.tok(); t.Kind != scan.Word && t.Kind != scan.Quote || t.Text == "" || !unicode.IsLetter([]rune(t.Text)[0]) {
		return nil, p.need(w)
	}
	if p.stops() {
		return nil, p.need(w)
	}
	return readWords(p, s)
}

func wantWhich(*parser, pattern.Slot) want { return literal([]string{"specimen", "row", "for"}) }

// readWhich reads specimens by name or by a condition.
func readWhich(p *parser, s pattern.Slot) (phrase.Node, bool) {
	out := phrase.Which{At: p.place()}
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
			out.Specimens = append(out.Specimens, phrase.Text{Text: text, At: at})
			return ok || p.need(p.specimenWant())
		})
		return out, ok
	case p.isWord(0, "row", "rows"):
		p.i++
		ok := p.list(func() bool {
			at := p.place()
			n, ok := p.wholeNumber(1)
			out.Rows = append(out.Rows, phrase.Count{Value: n, At: at})
			return ok
		})
		return out, ok
	}
	return nil, p.need(wantWhich(p, s))
}

func wantSpecimen(p *parser, _ pattern.Slot) want {
	w := p.specimenWant()
	w.what = "the name of a specimen, or row and a number"
	return w
}

// specimenWant is the name of a specimen of the series.
func (p *parser) specimenWant() want {
	w := want{what: "the name or the number of a specimen", code: "text"}
	k, lists := p.known.(phrase.Listing)
	if series := p.series; lists {
		w.begun = func(typed string, add func(string) bool) {
			typed = strings.TrimPrefix(typed, `"`)
			k.EachSpecimen(series, func(name string) bool {
				starts := len(name) >= len(typed) && strings.EqualFold(name[:len(typed)], typed)
				return !starts || add(phrase.Spelled(name))
			})
		}
	}
	return w
}

// readSpecimen reads one specimen by its name or its row.
func readSpecimen(p *parser, s pattern.Slot) (phrase.Node, bool) {
	out := phrase.SpecimenRef{At: p.place()}
	if p.isWord(0, "row") && p.toks[p.i+1].Kind == scan.Number {
		p.i++
		n, ok := p.wholeNumber(1)
		out.Row = n
		return out, ok
	}
	if p.stops() {
		return nil, p.need(wantSpecimen(p, s))
	}
	text, ok := p.bare()
	if out.Text = text; !ok || text == "" {
		return nil, p.need(wantSpecimen(p, s))
	}
	return out, true
}

// wantCell is what a cell of the column of another slot can hold.
func wantCell(p *parser, s pattern.Slot) want {
	switch c := p.columnOf(s); c.Kind {
	case "number":
		return want{what: "a number for " + c.Name, code: "number"}
	case "category":
		return levelWant(c)
	}
	return want{what: "a word or a text in quotation marks", code: "text"}
}

// readCell reads what a cell of the column of another slot is to hold. A level that the column does not
// have is for whoever carries the command out.
func readCell(p *parser, s pattern.Slot) (phrase.Node, bool) {
	c, out := p.columnOf(s), phrase.Cell{At: p.place()}
	if p.word("missing") {
		out.Missing = true
		return out, true
	}
	if c.Kind == "number" || c.Name == "" && p.tok().Kind == scan.Number {
		x, ok := p.amountOf(c)
		out.Amount = &x
		return out, ok
	}
	p.note(wantCell(p, s))
	t, ok := p.words(anyText)
	out.Text = t.Text
	return out, ok
}

// readHeaders reads the names of columns of a file that is not open, as they are typed.
func readHeaders(p *parser, _ pattern.Slot) (phrase.Node, bool) {
	list := phrase.Texts{At: p.place()}
	ok := p.list(func() bool {
		name, ok := p.words(anyText)
		if ok {
			list.List = append(list.List, name.Text)
		}
		return ok
	})
	return list, ok
}
