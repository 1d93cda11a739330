// Package help makes what people read of the bench language from the phrase table: the help,
// the manual page, the completion scripts for shells, and the calls and flags of the
// program. In goes the table; out comes text, or help entries for the session to show.
package help

import (
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
)

// Entry is what help says about one command or one notion of the language.
type Entry struct {
	Name    string
	Group   phrase.Group
	Phrase  string   // as a person would write it: compare Y by A
	Options []string // what may follow, the options before the clauses
	Text    string   // one line; several for a notion
	Example string   // on the user's own columns where that can be
}

// Notions is the heading of what is common to many commands.
const Notions phrase.Group = "Words common to many commands"

// notions are the help texts that belong to no one command.
var notions = []Entry{
	{Name: "condition", Phrase: "for CONDITION", Example: "pins is not none and load > 300 N",
		Text: "picks specimens: `is`, `is not`, `is other than`, `among A, B`, `<`, `<=`, `>`, `>=`, `is missing`,\n" +
			"joined by `and`, `or`, `not` and brackets; a number may carry a unit, which is converted"},
	{Name: "expression", Phrase: "NAME = EXPRESSION", Example: `"yes" if load > 300 N, otherwise "no"`,
		Text: "works out one value per specimen: `+ - * / ^` and brackets, `ln`, `log10`, `exp`, `sqrt`, `abs`, " +
			"`round`,\n`smallest(A, B)` and `largest(A, B)`, and `A if CONDITION, otherwise B`; units go through " +
			"it, so kgf * mm is a moment\nand a load plus a length is an error; a plain number added to a column " +
			"is in the column's unit;\na quoted text is text, and `column \"…\"` names an odd column"},
	{Name: "terms", Phrase: "on TERM, TERM, …", Example: "density curved, together(pins, thickness)",
		Text: "the factors of a fit, commas between: a column; `density curved` adds its square;\n" +
			"`together(pins, thickness)` adds both and what they do in company;\n" +
			"`ln(density)`, `log10`, `sqrt`, `exp`, `abs` and `density^3` are terms too;\n" +
			"`step(cure_temp)` looks for the place of a jump, `kink(cure_temp)` for that of another slope (in fit)"},
	{Name: "clauses", Phrase: "for, from, as, to, each of, confidence, worth",
		Example: "for pins is not none, confidence 90%, as strong",
		Text: "what may follow a command's own words, in any order:\n`for CONDITION` these specimens only; `from " +
			"SERIES` instead of the current one; `as NAME` names the result;\n`to FILE` says where it goes; `each " +
			"of COLUMN` once per level; `confidence 90%` how sure an interval is meant to be;\n`worth 10%` the " +
			"smallest difference that matters"},
	{Name: "columns", Phrase: "COLUMN", Example: `"Break load (kgf)"`,
		Text: "a column may be typed as its plain name, with `_` or blanks, or as its header in quotation marks;\n" +
			"load, failure, specimen, block and weight stand for the column marked so"},
	{Name: "levels", Phrase: "LEVEL", Example: `"glued twice"`,
		Text: "a value of a column with levels: bare, or in quotation marks; the first level is the baseline"},
	{Name: "units", Phrase: "18 mm", Example: "thickness >= 18 mm",
		Text: "a number may carry a unit; without one it is in the column's. An inch is `inch`"},
	{Name: "results", Phrase: "of NAME", Example: "of fit1",
		Text: "a result is called after its kind and numbered, or by `as NAME`; left out, it is the latest that fits"},
	{Name: "lines", Phrase: "COMMAND; COMMAND", Example: "look; rows 5  # two commands",
		Text: "`;` separates commands, a comma at the end goes on with the next line, `#` starts a comment"},
}

// Lookup lists every command in table order and then the notions; with a word, the
// commands that start with it or hold it as a word of their own, or the notion of
// that name. An unknown word is a *phrase.Error (unknown-word). k may be nil.
func Lookup(word string, k phrase.Known) ([]Entry, error) {
	word = strings.Join(strings.Fields(strings.ToLower(word)), " ")
	var own, inside []Entry
	var names []string
	for _, d := range parser.Describe(phrase.Standard(), k) {
		full := strings.Join(d.Lead, " ")
		names = lists.With(names, d.Lead[0])
		h := Entry{Name: d.Name, Group: d.Group, Phrase: d.Shown, Text: d.Help, Example: d.Tailored, Options: d.Follow}
		switch {
		case word == "" || word == full || word == d.Lead[0] || word == d.Name || strings.HasPrefix(full, word+" "):
			own = append(own, h)
		case slices.Contains(d.Words, word):
			inside = append(inside, h)
		}
	}
	for _, n := range notions {
		n.Group = Notions
		names = append(names, n.Name)
		if word == "" || word == n.Name || word+"s" == n.Name || word == n.Name+"s" {
			own = append(own, n)
		}
	}
	if len(own) == 0 {
		own = inside
	}
	if len(own) == 0 {
		return nil, &phrase.Error{Code: "unknown-word", Message: "there is no help on " + inQuotes(word),
			Hint: phrase.Meant(word, names, "there is help on")}
	}
	return own, nil
}

func inQuotes(s string) string { return `"` + s + `"` }
