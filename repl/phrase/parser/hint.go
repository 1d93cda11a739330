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

// resultWords are what results of a kind are, where the kind itself is not the word for one.
var resultWords = map[string]string{
	"modes":          "a table of ways of breaking",
	"drove":          "an answer to what drove it",
	"strength":       "a fit of strength",
	"odds":           "a fit of odds",
	"anova":          "an analysis of variance",
	"adjusted":       "a table of adjusted means",
	"compare":        "a comparison",
	"shares":         "a table of shares",
	"predict":        "a prediction",
	"rivals":         "a comparison of fits",
	"agree":          "a comparison of series",
	"characteristic": "a table of characteristic values",
	"same":           "a test of sameness",
	"judge":          "a judgement of a plan",
}

// a puts the article before a word; a kind of result is told in words of its own.
func a(word string) string {
	if kind := resultWords[word]; kind != "" {
		return kind
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
