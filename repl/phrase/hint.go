package phrase

import (
	"strings"

	"breakbook/frames/meant"
	"breakbook/repl/page"
	"breakbook/repl/phrase/scan"
)

// Error is what is wrong with a line. Its place is a character of Command.Input; of the line for an error of Split.
//
// Codes: unknown-command, outdated-word (the message names the one that took its place), unknown-column, unknown-level,
// unknown-unit, unknown-result, unknown-series, unknown-word (in a help request or a shell's
// name), no-series, no-result, wrong-kind, wrong-unit, repeated, unexpected,
// unclosed-quote, range, and expected-… with word, command, column, level, term,
// condition, number, percent, unit, result, series, name, file, text or choice.
type Error = page.Problem

// Meant is the hint for a word that is not among the ones there are: the near one,
// or else all of them, where they are not too many.
func Meant(typed string, among []string, they string) string {
	if hint := meant.Hint(typed, among); hint != "" {
		return hint
	}
	if len(among) == 0 {
		return ""
	}
	return they + " " + Listed(among, 8)
}

// Try is the hint that offers a line which works as it stands.
func Try(line string) string { return tried + line }

const tried = "Try: "

// Tried is the line that a hint offers, or "".
func Tried(hint string) string {
	line, ok := strings.CutPrefix(hint, tried)
	if !ok {
		return ""
	}
	return line
}

// Listed joins words with commas, the last of many left out and counted.
func Listed(words []string, most int) string {
	if len(words) > most {
		return strings.Join(words[:most], ", ") + " and others"
	}
	return strings.Join(words, ", ")
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

// Typed is a name as it can be typed: in quotation marks where it needs them.
func Typed(name string) string {
	for _, r := range name {
		if !scan.IsWord(r) {
			return scan.Quoted(name)
		}
	}
	if name == "" {
		return `""`
	}
	return name
}
