package phrase

import (
	"strings"

	"breakbook/frames/meant"
)

// Meant is the hint for a word that is not among the ones there are: the near one,
// or else all of them, where they are not too many.
func Meant(typed string, among []string, they string) string {
	if hint := meant.Hint(typed, among); hint != "" {
		return hint
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
