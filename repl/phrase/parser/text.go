package parser

import (
	"cmp"
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

func readFile(p *parser, s pattern.Slot) (any, bool) { return p.file(s) }

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

func readFiles(p *parser, s pattern.Slot) (any, bool) {
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
func readRest(p *parser, s pattern.Slot) (any, bool) {
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

func readQuoted(p *parser, s pattern.Slot) (any, bool) {
	at, t := p.place(), p.tok()
	if t.Kind != scan.Quote {
		return nil, p.need(fixed("text in quotation marks", "text")(p, s))
	}
	p.i++
	return phrase.Text{Text: t.Text, At: at}, true
}

func readTexts(p *parser, _ pattern.Slot) (any, bool) {
	return listOf(p, func() (string, bool) {
		text, ok := p.bare()
		return text, ok || p.need(anyText)
	})
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

func readWords(p *parser, _ pattern.Slot) (any, bool) { return p.words(anyText) }

func readSheet(p *parser, s pattern.Slot) (any, bool) { return p.words(wantSheet(p, s)) }

// words reads a quoted text, or the bare words up to the next word of the phrase, where they are needed.
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
func readNewColumn(p *parser, s pattern.Slot) (any, bool) {
	w := want{what: "a name that starts with a letter", code: "name"}
	if t := p.tok(); t.Kind != scan.Word && t.Kind != scan.Quote || t.Text == "" ||
		!unicode.IsLetter([]rune(t.Text)[0]) {
		return nil, p.need(w)
	}
	if p.stops() {
		return nil, p.need(w)
	}
	return readWords(p, s)
}

func wantWhich(*parser, pattern.Slot) want { return literal([]string{"specimen", "row", "for"}) }

// readWhich reads specimens by name or by a condition.
func readWhich(p *parser, s pattern.Slot) (any, bool) {
	out := phrase.Which{At: p.place()}
	switch {
	case p.word("for"):
		c, ok := p.or()
		out.Condition = c
		return out, ok
	case p.isWord(0, "specimen", "specimens"):
		p.i++
		list, ok := listOf(p, func() (phrase.Text, bool) {
			at, text, ok := p.place(), "", false
			if !p.stops() {
				text, ok = p.bare()
			}
			return phrase.Text{Text: text, At: at}, ok || p.need(p.specimenWant())
		})
		out.Specimens = list.List
		return out, ok && p.noRange("name the specimens one by one, with commas")
	case p.isWord(0, "row", "rows"):
		p.i++
		list, ok := listOf(p, func() (phrase.Count, bool) { return p.count(1) })
		out.Rows = list.List
		return out, ok && p.noRange("name the rows one by one, with commas")
	}
	if p.need(wantWhich(p, s)); !p.end() {
		p.stop.Hint = cmp.Or(p.whichHint(), p.stop.Hint)
	}
	return nil, false
}

// whichHint is the line, or what to type, where specimens are named without the word specimen; else "".
func (p *parser) whichHint() string {
	reason := slices.Contains(p.follow, "because")
	if !reason && p.isWord(0, "all", "everything", "them") {
		return "type show aside to see which they are, then bring back specimen and their names"
	}
	name, there := p.typed(p.i, p.i+1), false
	p.known.EachSpecimen(p.series, func(known string) bool {
		there = strings.EqualFold(known, name)
		return !there
	})
	rest := string(p.in[p.tok().Start:])
	if !there || !reason || strings.ContainsAny(rest, "\"“”„") {
		return ""
	}
	return "type " + string(p.in[:p.tok().Start]) + "specimen " + rest + " because \"…\", with the reason"
}

// noRange stops the reading at what goes on from one of a list to another: 3 to 5, 3-5.
func (p *parser) noRange(hint string) bool {
	if p.end() || !phrase.Ranges(p.tok().Text) {
		return true
	}
	return p.fail("range", "a list from one to another is not taken here", hint)
}

func wantSpecimen(p *parser, _ pattern.Slot) want {
	w := p.specimenWant()
	w.what = "the name of a specimen, or row and a number"
	return w
}

func (p *parser) specimenWant() want {
	w := want{what: "the name or the number of a specimen", code: "text"}
	series := p.series
	w.begun = func(typed string, add func(string) bool) {
		typed = strings.TrimPrefix(typed, `"`)
		p.known.EachSpecimen(series, func(name string) bool {
			starts := len(name) >= len(typed) && strings.EqualFold(name[:len(typed)], typed)
			return !starts || add(phrase.Spelled(name))
		})
	}
	return w
}

// readSpecimen reads one specimen by its name or its row.
func readSpecimen(p *parser, s pattern.Slot) (any, bool) {
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
	return anyText
}

// readCell reads what a cell of the column of another slot is to hold. A level that the column does not
// have is for whoever carries the command out.
func readCell(p *parser, s pattern.Slot) (any, bool) {
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
func readHeaders(p *parser, _ pattern.Slot) (any, bool) {
	return listOf(p, func() (string, bool) {
		name, ok := p.words(anyText)
		return name.Text, ok
	})
}
