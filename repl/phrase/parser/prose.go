package parser

import (
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// proseHint is the hint for a command that did not parse. Where the one before it on the
// line takes free text without quotation marks, these words may have been meant for it.
func proseHint(l *phrase.Language, piece phrase.Piece, hint string) string {
	if !afterProse(l, piece) {
		return hint
	}
	word, text, _ := strings.Cut(piece.Before, " ")
	whole := word + " " + scan.Quoted(text+"; "+piece.Text)
	if hint == "" || hint == mend(l, phrase.NoCommand, "", "") {
		return "a text with ; in it is put in quotation marks: " + whole
	}
	if strings.HasSuffix(hint, "?") {
		return hint + " Or, if this is still the text before it: " + whole
	}
	return hint + "; or, if this is still the text before it: " + whole
}

// AfterProse reports whether the command before a piece takes free text, without quotation
// marks, which the piece may be part of.
func AfterProse(piece phrase.Piece) bool { return afterProse(phrase.Standard(), piece) }

func afterProse(l *phrase.Language, piece phrase.Piece) bool {
	word, text, found := strings.Cut(piece.Before, " ")
	return found && takesRest(l, strings.ToLower(word)) && !strings.ContainsFunc(text[:1], scan.IsQuote)
}
