package frames

import (
	"slices"
	"strings"
)

// missingWords are taken as "no value" in any case of letters, blanks around them
// aside; an empty cell is one too. A spreadsheet's error values are among them.
var missingWords = []string{
	"na", "n/a", "n.a.", "n.a", "nan", "null", "nil", "missing",
	"-", "--", "---", "–", "—", "?", "??", "???",
	"#n/a", "#na", "#value!", "#div/0!", "#ref!", "#num!", "#name?", "#null!",
}

// absence knows which words mean a missing value and keeps those it met.
type absence struct {
	words map[string]bool // lower case
	given bool            // by the user: they may look like numbers ("-999")
	met   []string        // as first written, in order
}

func newAbsence(given []string) *absence {
	a := &absence{words: map[string]bool{}, given: len(given) > 0}
	words := missingWords
	if a.given {
		words = given
	}
	for _, w := range words {
		a.words[strings.ToLower(trim(w))] = true
	}
	return a
}

// is tells whether a trimmed cell has no value, and remembers the word.
func (a *absence) is(cell string) bool {
	if cell == "" {
		return true
	}
	if len(cell) > 64 || !a.words[strings.ToLower(cell)] {
		return false
	}
	if !slices.Contains(a.met, cell) && len(a.met) < 100 {
		a.met = append(a.met, strings.Clone(cell))
	}
	return true
}
