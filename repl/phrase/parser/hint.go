package parser

import (
	"strings"

	"breakbook/repl/phrase"
)

// orList joins words as alternatives: a, b or c.
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// a puts the article before a word; a kind of result that is named in the plural is one of something.
func a(word string) string {
	switch word {
	case "shares":
		return "a table of shares"
	case "odds":
		return "a fit of odds"
	}
	if word != "" && strings.ContainsRune("aeio", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// mend is the line the table offers in a trouble, or "".
func mend(l *phrase.Language, t phrase.Trouble, column, unit string) string {
	for _, c := range l.Commands() {
		for _, m := range c.Entry.Mends {
			if m.Trouble == t {
				if !strings.Contains(m.Line, "COLUMN") {
					return m.Line
				}
				return phrase.Try(strings.NewReplacer("COLUMN", phrase.Typed(column), "UNIT", unit).Replace(m.Line))
			}
		}
	}
	return ""
}
