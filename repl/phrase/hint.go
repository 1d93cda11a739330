package phrase

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// closest finds what was probably meant by a word, or "". A word that the typed one
// starts counts as near (from two characters on); else the distance in edits,
// two swapped neighbours counting as one, may be a third of its length.
func closest(typed string, among []string) string {
	if len(typed) > mostMeant {
		return ""
	}
	typed = plain(typed)
	n := utf8.RuneCountInString(typed)
	if n < 2 {
		return ""
	}
	best, least := "", 2*((n+1)/3)+1
	for _, word := range among {
		w := plain(word)
		d := 2 * edits(typed, w)
		if d > 1 && strings.HasPrefix(w, typed) {
			d = 1
		}
		if d < least {
			best, least = word, d
		}
	}
	return best
}

// mostMeant is how long a word may be, in bytes, for something to be meant by it: no name is
// longer by far.
const mostMeant = 400

func plain(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(s, "_", " "))), " ")
}

func edits(a, b string) int {
	d := levenshtein.ComputeDistance(a, b)
	if d != 2 {
		return d
	}
	x, y := []rune(a), []rune(b)
	if len(x) != len(y) {
		return d
	}
	for i := 0; i+1 < len(x); i++ {
		if x[i] != y[i] {
			x[i], x[i+1] = x[i+1], x[i]
			break
		}
	}
	if string(x) == string(y) {
		return 1
	}
	return d
}

// Meant is the hint for a word that is not among the ones there are: the near one,
// or else all of them, where they are not too many.
func Meant(typed string, among []string, they string) string {
	if c := closest(typed, among); c != "" {
		return "did you mean " + c + "?"
	}
	if len(among) == 0 {
		return ""
	}
	return they + " " + listed(among, 8)
}

// listed joins words with commas, the last of many left out and counted.
func listed(words []string, most int) string {
	if len(words) > most {
		return strings.Join(words[:most], ", ") + " and others"
	}
	return strings.Join(words, ", ")
}

// orList joins words as alternatives: a, b or c.
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// a puts the article before a word.
func a(word string) string {
	if word != "" && strings.ContainsRune("aeio", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// Trouble is what a command of the table can be the way out of.
type Trouble string

const (
	NoSeries     Trouble = "no series is open"
	NeedCategory Trouble = "a number column where levels are needed"
	NeedNumber   Trouble = "levels where a number column is needed"
	NoUnit       Trouble = "a unit given for a column that has none"
	NoCommand    Trouble = "a word that starts no command"
)

// Mend is a line to try in some trouble; COLUMN and UNIT in it are filled in.
type Mend struct {
	Trouble Trouble
	Line    string
}

// mend is the line the table offers in a trouble, or "".
func (l *Language) mend(t Trouble, column, unit string) string {
	for _, c := range l.commands {
		for _, m := range c.entry.Mends {
			if m.Trouble == t {
				return strings.NewReplacer("COLUMN", spelled(column), "UNIT", unit).Replace(m.Line)
			}
		}
	}
	return ""
}

// spelled is a name as it can be typed: in quotation marks where it needs them.
func spelled(name string) string {
	for _, r := range name {
		if !isWord(r) {
			return quote(name)
		}
	}
	if name == "" {
		return `""`
	}
	return name
}
