package phrase

import "strings"

// proseHint is the hint for a command that did not parse. Where the one before it on the
// line takes free text without quotation marks, these words may have been meant for it.
func (l *Language) proseHint(piece Piece, hint string) string {
	word, text, found := strings.Cut(piece.Before, " ")
	if !found || !l.takesProse(strings.ToLower(word)) || strings.ContainsFunc(text[:1], isQuote) {
		return hint
	}
	whole := word + " " + quote(text+"; "+piece.Text)
	if hint == "" || hint == l.mend(NoCommand, "", "") {
		return "a text with ; in it is put in quotation marks: " + whole
	}
	if strings.HasSuffix(hint, "?") {
		return hint + " Or, if this is still the text before it: " + whole
	}
	return hint + "; or, if this is still the text before it: " + whole
}

// takesProse reports whether a command of that first word goes on with free text.
func (l *Language) takesProse(word string) bool {
	for _, c := range l.commands {
		if n := c.nodes; n[0].kind == wordNode && len(n) == 2 && n[1].kind == slotNode && n[1].slot.kind == "rest" {
			for _, w := range n[0].words {
				if w == word {
					return true
				}
			}
		}
	}
	return false
}
