package parser

import (
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

// readMode reads a way of breaking: a column with one of its levels (`failure is glue`) or
// several that count as one (`failure among glue, mixed`). It gives an Is.
func readMode(p *parser, _ pattern.Slot) (phrase.Node, bool) {
	at := p.place()
	c, ref, ok := p.column("category")
	if !ok {
		return nil, false
	}
	list := p.word("among")
	if !list && !p.word("is") {
		return nil, p.need(want{what: "is or among", code: "word", words: func() []string { return []string{"is", "among"} }})
	}
	return p.is(c, phrase.Is{Column: ref, At: at}, list)
}
