package book

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// wordTable explains the words that the results of the report use.
func (d Document) wordTable() page.Table {
	var words []Word
	used := d.results()
	for _, w := range d.Words {
		if d.Options.Context != nil {
			parallel.Look(d.Options.Context)
		}
		if holds(used, w.Word) {
			words = append(words, w)
		}
	}
	return page.Filled(page.Table{ID: "words", Title: page.Say("Words of the results above")}, words, nil)
}

// holds tells whether a word stands in a text, no letter before or after it.
func holds(text, word string) bool {
	for from := 0; ; {
		at := strings.Index(text[from:], word)
		if at < 0 {
			return false
		}
		at += from
		before, _ := utf8.DecodeLastRuneInString(text[:at])
		after, _ := utf8.DecodeRuneInString(text[at+len(word):])
		if !unicode.IsLetter(before) && !unicode.IsLetter(after) {
			return true
		}
		from = at + 1
	}
}

// results is the text of all that came of the commands, without what the user wrote.
func (d Document) results() string {
	var b bytes.Buffer
	for _, e := range d.body() {
		if e.Prose != "" {
			continue
		}
		e.Figures, e.Input = nil, ""
		// The error is the context's: a buffer takes everything.
		parallel.Heed(render.Markdown(&b, e, render.Surroundings{}, d.Options))
	}
	return b.String()
}
