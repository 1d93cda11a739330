// Package meant finds which of some names was probably meant by a word that is none of them:
// a column, a command, a level, a file. There is one rule for all.
package meant

import (
	"slices"
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

// Candidate is a name that may have been meant.
type Candidate struct {
	Name   string
	Halves int // of an edit, between it and what was typed
}

// Near are the names nearest to a word, at most so many, the nearest first: by the rule of By, and those
// that the word goes on from. A name that is the word itself is among them, at no distance.
func Near(typed string, among []string, most int) []Candidate {
	if len(typed) > longest {
		return nil
	}
	typed = plain(typed)
	n := utf8.RuneCountInString(typed)
	if n < 2 {
		return nil
	}
	var out []Candidate
	for _, name := range among {
		w := plain(name)
		if d := utf8.RuneCountInString(w) - n; d > n && !strings.Contains(w, typed) ||
			-d > n/2 && !strings.HasPrefix(typed, w) {
			continue
		}
		d := 2 * Edits(typed, w)
		switch {
		case d > 2 && n > 2 && slices.Contains(strings.Fields(w), typed):
			d = 2
		case d > 1 && strings.HasPrefix(w, typed):
			d = 1
		case d > 2 && len(w) > 3 && strings.HasPrefix(typed, w) && !strings.ContainsAny(typed, "/+&"):
			d = 2
		case d > max(2, 2*(n/3)):
			continue
		}
		out = append(out, Candidate{name, d})
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return a.Halves - b.Halves })
	return out[:min(most, len(out))]
}

// Nearest is the one name of a few that is nearest to a word, where half of the word is right and
// no other name is as near.
func Nearest(typed string, among []string) []Candidate {
	typed = plain(typed)
	n := utf8.RuneCountInString(typed)
	var best Candidate
	least, second := n/2+1, n/2+1
	for _, name := range among {
		switch d := Edits(typed, plain(name)); {
		case d < least:
			best, least, second = Candidate{name, 2 * d}, d, least
		case d < second:
			second = d
		}
	}
	if n < 3 || len(typed) > longest || best.Name == "" || second == least {
		return nil
	}
	return []Candidate{best}
}
