package parser

import (
	"breakbook/frames/meant"
	"breakbook/frames/units"
	"breakbook/repl/phrase"
)

// unitHint is what was probably meant by an unknown unit: one that is spelled nearly so, or
// one whose name in full is.
func unitHint(typed string) string {
	known := units.Known()
	if hint := meant.Hint(typed, known); hint != "" {
		return hint
	}
	if u, ok := units.Word(meant.By(typed, units.Words())); ok {
		return "did you mean " + u.String() + "?"
	}
	return phrase.Meant(typed, known, "units are")
}
