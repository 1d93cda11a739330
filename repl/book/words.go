package book

import (
	"bytes"
	"regexp"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// wordTable explains the words that the results of the report use.
func (d Document) wordTable() page.Table {
	var words []Word
	used := d.results()
	for _, w := range d.Words {
		if regexp.MustCompile(`(^|[^\pL])` + regexp.QuoteMeta(w.Word) + `($|[^\pL])`).MatchString(used) {
			words = append(words, w)
		}
	}
	return page.Filled(page.Table{ID: "words", Title: page.Say("What the words mean")}, words, nil)
}

// results is the text of all that came of the commands, without what the user wrote.
func (d Document) results() string {
	var b bytes.Buffer
	for _, e := range d.body() {
		if e.Prose != "" {
			continue
		}
		e.Figures, e.Input = nil, ""
		_ = render.Markdown(&b, e, nil, d.Options) // a buffer takes everything
	}
	return b.String()
}
