package reading

import (
	"slices"
	"strings"

	"breakbook/frames/notation"
)

// missingWords are taken as "no value" in any case of letters, blanks around them
// aside; an empty cell is one too. A spreadsheet's error values are among them.
var missingWords = []string{
	"na", "n/a", "n.a.", "n.a", "nan", "null", "nil", "missing",
	"-", "--", "---", "–", "—", "?", "??", "???",
	"#n/a", "#na", "#value!", "#div/0!", "#ref!", "#num!", "#name?", "#null!",
}

// absence knows which words mean a missing value.
type absence struct {
	words map[string]bool // lower case
	given bool            // by the user: they may look like numbers ("-999")
}

func newAbsence(given []string) *absence {
	a := &absence{words: map[string]bool{}, given: len(given) > 0}
	words := missingWords
	if a.given {
		words = given
	}
	for _, w := range words {
		a.words[strings.ToLower(notation.Trim(w))] = true
	}
	return a
}

// is tells whether a trimmed cell has no value.
func (a *absence) is(cell string) bool {
	return cell == "" || len(cell) <= 64 && a.words[strings.ToLower(cell)]
}

// metWords lists the missing words the columns met, in file order.
func metWords(columns []*columnReader) []string {
	var all []position
	for _, c := range columns {
		all = append(all, c.absences...)
	}
	slices.SortStableFunc(all, func(a, b position) int { return a.line - b.line })
	var words []string
	for _, at := range all {
		if !slices.Contains(words, at.word) && len(words) < 100 {
			words = append(words, at.word)
		}
	}
	return words
}
