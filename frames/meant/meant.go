// Package meant finds which of some names was probably meant by a word that is none of them:
// a column, a command, a level, a file. There is one rule for all.
package meant

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// longest is how long a word may be, in bytes, for something to be meant by it: no name is
// longer by far.
const longest = 400

// By is the one of the names that was probably meant by a word, or "". A name that the word
// starts counts as near (from two characters on); else the distance in edits, two swapped
// neighbours counting as one, may be a third of its length. Capitals, and whether it is a
// blank or an underscore, are the same.
func By(typed string, among []string) string {
	if len(typed) > longest {
		return ""
	}
	typed = plain(typed)
	n := utf8.RuneCountInString(typed)
	if n < 2 {
		return ""
	}
	best, least := "", 2*((n+1)/3)+1
	for _, name := range among {
		w := plain(name)
		d := 2 * Edits(typed, w)
		if d > 1 && strings.HasPrefix(w, typed) {
			d = 1
		}
		if d < least {
			best, least = name, d
		}
	}
	return best
}

// Hint asks whether that name was meant, or is "".
func Hint(typed string, among []string) string {
	if name := By(typed, among); name != "" {
		return "did you mean " + name + "?"
	}
	return ""
}

func plain(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(s, "_", " "))), " ")
}

// Edits is how many letters have to be put in, taken out or changed to make one word of the other, two
// swapped neighbours counting as one.
func Edits(a, b string) int {
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
