package say

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"breakbook/repl/page"
)

// LevelMean is one level of a picture.
type LevelMean struct {
	Level string
	N     int
	Mean  float64
}

// Capital is words with their first letter large, as titles and labels begin.
func Capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(first)) + words[size:]
}

// openings are the words that a finding may begin with; any other first word is a name.
var openings = []string{"With", "From", "The", "Had", "By", "Together", "In", "Halfway", "These", "Within", "Averaged",
	"Over", "Expected", "At", "Of", "No", "Make", "More"}

// After is a finding as the rest of a sentence: it begins small, unless with a name.
func After(lead, finding page.Sentence) page.Sentence {
	out := slices.Concat(lead, finding)
	if len(finding) == 0 {
		return out
	}
	if first, ok := finding[0].(page.Word); ok {
		if word, _, _ := strings.Cut(string(first), " "); slices.Contains(openings, word) {
			out[len(lead)] = page.Word(strings.ToLower(word) + string(first)[len(word):])
		}
	}
	return out
}
