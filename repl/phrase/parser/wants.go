package parser

import (
	"slices"
	"strings"

	"breakbook/frames/meant"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

func inQuotes(s string) string { return `"` + s + `"` }

// want is something that could stand at a token.
type want struct {
	what   string                                    // as the message calls it
	code   string                                    // after "expected-"
	needed bool                                      // false: it could also be left out
	words  func() []string                           // what could be typed; nil: anything
	roles  func() []string                           // besides: the words that stand for columns
	begun  func(typed string, add func(string) bool) // adds what goes on from what was typed, until add is false
	common []string                                  // what is often typed there
	files  []string                                  // the endings of the files that could; nil: none, empty: any
	book   string                                    // a sheet of this workbook could be typed; "": no sheet
	option optionKind
}

// optionKind is whether a want is the words of an option or a clause, and of which.
type optionKind uint8

const (
	noOption   optionKind = iota
	bareOption            // nothing comes after its words
	slotOption
)

// wrong records something read and found wrong; the reading goes on.
func (p *parser) wrong(code string, at int, message, hint string) {
	p.soft = append(p.soft, page.Refuse(page.Code(code), at, message, hint))
}

// wrongName is wrong for a name that is none of those there are.
func (p *parser) wrongName(code string, at int, message string, names []string, hint func() string) {
	if len(p.soft) == 0 {
		p.near, p.nearTo, p.nearBefore = names, p.toks[max(p.i-1, 0)].End, p.follow
	}
	text := ""
	if !p.probing {
		text = hint()
	}
	p.wrong(code, at, message, text)
}

// fail stops the reading with an error at the current token.
func (p *parser) fail(code, message, hint string) bool {
	p.stop, p.rank = page.Refuse(page.Code(code), p.place(), message, hint), telling
	return false
}

// note records what could stand at the current token.
func (p *parser) note(w want) {
	if p.i > p.at {
		p.at, p.wants = p.i, nil
	}
	if p.i == p.at {
		p.wants = append(p.wants, w)
	}
}

// need stops the reading because something must stand at the current token.
func (p *parser) need(w want) bool {
	w.needed = true
	p.note(w)
	if p.tok().Kind == scan.OpenQuote {
		p.stop, p.rank = phrase.Unclosed(p.place()), telling
		return false
	}
	p.stop, p.rank = p.needs(), needed
	return false
}

// needs words the error of a token where something else is needed.
func (p *parser) needs() *phrase.Error {
	var what, words []string
	var code page.Code
	for _, w := range p.wants {
		if !w.needed || slices.Contains(what, w.what) {
			continue
		}
		what = append(what, w.what)
		if code == "" {
			code = page.Code("expected-" + w.code)
		}
		if w.words != nil {
			words = append(words, w.words()...)
		}
	}
	e := &phrase.Error{Code: code, At: p.place(), Message: orList(what) + " is needed here"}
	if p.end() {
		e.Message = "the line stops where " + orList(what) + " is needed"
		return e
	}
	t := p.typed(p.i, p.i+1)
	e.Message += ", not " + shown(t)
	if p.probing {
		return e
	}
	if c := meant.By(t, words); c != "" {
		e.Hint = "did you mean " + c + "?"
	}
	return e
}

// mostShown is how many characters of the input a message repeats.
const mostShown = 60

// shown puts a piece of the input into a message, of a long one the beginning.
func shown(t string) string {
	if len(t) > mostShown {
		if r := []rune(t); len(r) > mostShown {
			t = string(r[:mostShown]) + "…"
			if r[0] == '"' {
				t += `"`
			}
		}
	}
	if strings.HasPrefix(t, `"`) {
		return t
	}
	return inQuotes(t)
}

func literal(words []string) want {
	return want{what: orList(lists.Mapped(words, inQuotes)), code: "word", words: func() []string { return words }}
}

// leadOf is the words a tail starts with.
func leadOf(t phrase.Tail) string {
	return strings.Join(lists.Mapped(t.Nodes[:t.Lead], func(n pattern.Node) string { return n.Words[0] }), " ")
}

// noteTails notes the options and clauses still to be had.
func (p *parser) noteTails() {
	for _, t := range p.cmd.Tails {
		if p.done[t.Key] {
			continue
		}
		lead := leadOf(t)
		kind := bareOption
		if len(t.Nodes) > t.Lead {
			kind = slotOption
		}
		p.note(want{what: inQuotes(lead), code: "word", option: kind, words: func() []string { return []string{lead} }})
	}
}

// strayHere is the error for what belongs nowhere.
func (p *parser) strayHere() bool {
	p.noteTails()
	t := p.typed(p.i, p.i+1)
	if p.tok().Kind == scan.OpenQuote {
		p.stop, p.rank = phrase.Unclosed(p.place()), telling
		return false
	}
	var words []string
	for _, w := range p.wants {
		if w.words != nil && p.at == p.i {
			words = append(words, w.words()...)
		}
	}
	hint := "the command is complete before it"
	if len(words) > 0 && !p.probing {
		hint = phrase.Meant(t, words, "what may come here:")
	}
	p.stop = &phrase.Error{Code: "unexpected", Message: shown(t) + " does not belong here", At: p.place(), Hint: hint}
	p.rank = stray
	return false
}
