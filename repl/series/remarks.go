package series

import (
	"regexp"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/series/specimens"
)

// remarkWords is how a remark is said: what was met, where, what was made of it, and the way out. Many is for a
// count of more than one, where that is another sentence. {column} and {word} are the remark's own, {force} the
// line that makes a load of a mass, {again} how the file is read in the other way, {encoding} and {header} how with
// another encoding or header; {line}, {count} and {more}, one less than the count, are numbers, and {count:one|many}
// is one of two words.
type remarkWords struct{ one, many string }

// remarksSaid has the words of each code of a remark.
var remarksSaid = map[string]remarkWords{
	// the header, what stands above it, and the encoding
	"decoded-windows-1252": {one: "Line {line} is the first with a letter that is no UTF-8, so the file was read as " +
		"Windows-1252; if letters look wrong, {encoding}"},
	"odd-bytes": {
		one: "{column} has a byte that is in no letter of the file's encoding in line {line}: “{word}”; this cell " +
			"is taken as missing. If the file is in another encoding, {encoding}",
		many: "{column} has a byte that is in no letter of the file's encoding in line {line}: “{word}”; this cell " +
			"and {more} more are taken as missing. If the file is in another encoding, {encoding}",
	},
	"odd-bytes nowhere": {one: "Line {line} is the first with a byte that is in no letter of the file's encoding; " +
		"no cell is affected."},
	"odd-bytes header": {one: "The header “{word}” in line {line} has a byte that is in no letter of the file's " +
		"encoding, shown as \ufffd. For a better name, type rename {column} to and the name."},
	"preamble": {one: "{count} {count:line|lines} above the header from line {line} on (“{word}”) {count:was|were} " +
		"skipped; if the header is another line, {header}"},
	"numbers-in-header": {one: "Line {line} was taken for the header though it has only numbers; if the header is " +
		"another line, {header} If there is none, {again}"},
	"data-in-header": {one: "Line {line} was taken for the header though its cells look like those of a specimen " +
		"(“{word}”); if there is no header, {again}"},
	"duplicate-header": {one: "The header “{word}” in line {line} is there more than once; this one is called " +
		"{column}. For a better name, type rename {column} to and the name."},
	"two-line-header": {one: "The names in line {line} stand under names of groups such as “{word}” and were put " +
		"together with them, as in {column}; for the names of that line alone, {again}"},
	"no-header": {one: "A column has no header in line {line}; it is called {column}. For a better name, type " +
		"rename {column} to and the name."},
	"empty-column": {one: "{column} has a header in line {line} and no value under it."},
	"unknown-unit": {one: "“{word}” in the units of line {line} is no unit known here, so {column} has none; type " +
		"unit {column} is and the unit."},
	"two-units": {one: "{column} has another unit in its header than “{word}” in line {line}; the header's was " +
		"taken, and unit {column} is {word} takes the other."},
	"mass-as-load": {one: "{column} is in {word} (line {line}), a mass and no load. If that is what the gauge " +
		"showed, {force}"},
	"several-orders": {one: "{column} and {word} (header in line {line}) could each be the order of testing, so " +
		"neither was taken for it. Type mark {column} as order, or mark {word} as order, and drift is judged by it."},
	"unsure-order": {one: "{column} (header in line {line}) is called as an order of testing is, but {count} " +
		"{count:row has|rows have} no number of {count:its|their} own there, so it was not taken for it. If it " +
		"is the order all the same, type mark {column} as order."},

	// why a column that could be numbers is read as words
	"stray-word": {
		one: "{column} would be numbers but for “{word}” in line {line}; it is read as words. Type treat {column} " +
			"as number to make such cells missing.",
		many: "{column} would be numbers but for “{word}” in line {line} and {more} more; it is read as words. Type " +
			"treat {column} as number to make such cells missing.",
	},
	"stray-word bound": {
		one: "{column} would be numbers but for “{word}” in line {line}; it is read as words. If a specimen held " +
			"so much and did not break, write the number alone, and held where it says how it failed: its load is " +
			"then a lower bound. Or type treat {column} as number to make the cell missing.",
		many: "{column} would be numbers but for “{word}” in line {line} and {more} more; it is read as words. If " +
			"a specimen held so much and did not break, write the number alone, and held where it says how it " +
			"failed: its load is then a lower bound. Or type treat {column} as number to make such cells missing.",
	},
	"few-numbers": {one: "{column} is read as words, since {count} of its cells are no numbers: {cells}. Put numbers " +
		"in their place in the file, or nothing; then {again}"},
	"leading-zeros": {one: "{column} has numbers with leading zeros such as “{word}” (line {line}) and is read as " +
		"words, so that none is lost; if they are no codes, type treat {column} as number."},
	"big-whole-number": {one: "{column} has whole numbers too long to be kept exactly, such as “{word}” (line " +
		"{line}), and is read as words, so that no digit is lost."},
	"mixed-units": {one: "{column} has numbers in more than one unit, or some without one, from “{word}” (line " +
		"{line}) on; it is read as words. Type treat {column} as number to turn them all into one unit."},
	"other-decimal-mark": {one: "{column} has {count} {count:number|numbers} with another decimal mark than the " +
		"file's, the first “{word}” in line {line}; it is read as words. If that is the file's mark, {again}"},

	// marks in numbers, and dates, that can be read in two ways
	"guessed-thousands": {one: "In {column} “{word}” in line {line} was read as a whole number, its mark parting " +
		"thousands; if it marks the decimals, {again}"},
	"doubtful-decimal": {one: "“{word}” in line {line} was read with a decimal mark, but every such number has " +
		"three digits after it; if the mark parts thousands, {again}"},
	"ambiguous-dates": {one: "“{word}” in line {line} ({column}) could have the day or the month first; the day was " +
		"taken to be first. If it is the month, {again}"},
	"mixed-dates": {one: "The dates {word} (from line {line} on) have the day and the month in different places; " +
		"the day was taken to be first where both fit, and the file needs correcting."},
	"odd-date": {one: "“{word}” in line {line} is not a date in the order given; to have the order found in the " +
		"file, {again}"},

	// rows that were filled up or skipped
	"short-row": {
		one: "Line {line} is short; the cells lacking are missing, so look whether a separator was lost there.",
		many: "{count} lines are short, the first line {line}; the cells lacking are missing, so look whether a " +
			"separator was lost there.",
	},
	"extra-blank-cells": {
		one:  "Line {line} has empty cells beyond the header's; they were skipped.",
		many: "{count} lines have empty cells beyond the header's, the first line {line}; they were skipped.",
	},
	"blank-lines": {
		one:  "Line {line} is blank; nothing was read there.",
		many: "{count} lines are blank, the first line {line}; nothing was read there.",
	},
	"blank-lines-missing": {
		one:  "Line {line} is blank; in a file of one column that is a missing value.",
		many: "{count} lines are blank, the first line {line}; in a file of one column that is a missing value.",
	},
	"empty-rows": {
		one:  "Line {line} has nothing in any cell; nothing was read there.",
		many: "{count} lines have nothing in any cell, the first line {line}; nothing was read there.",
	},

	"block-starts": {one: "{column} is filled in the first row of each block alone: {cells}; the rows under them are " +
		"missing. If it was one cell for the block, write it into every row of the file; then {again}"},

	// a look beside the file that was not used
	"look-other-file": {one: "{word} beside it was written for other contents than this file now has, so it was not " +
		"used: kinds, roles and what was set aside are as the file alone says."},
	"look-broken": {one: "{word} beside it is damaged, or nothing breakbook wrote, so it was not used: kinds, roles " +
		"and what was set aside are as the file alone says."},
	"look-overridden": {one: "{word} beside it was not used, since the command says how to read the file."},

	// what a sheet of a workbook holds that its cells do not show
	"error-cells": {
		one: "{column} shows the error {word} in line {line}; this cell is taken as missing.",
		many: "{column} shows the error {word} in line {line} and {more} more {more:cell shows|cells show} an " +
			"error; they are taken as missing.",
	},
	"no-stored-value": {
		one: "{column} has a formula in line {line} whose value is not stored; it is taken as missing. A " +
			"spreadsheet program works them out when it opens and saves the file.",
		many: "{column} has a formula in line {line} and {more} more {more:cell has|cells have} one, whose value is " +
			"not stored; they are taken as missing. A spreadsheet program works them out when it opens and saves " +
			"the file.",
	},
	"merged-cells": {one: "{count} {count:area|areas} of merged cells, the first in line {line} ({column}): only " +
		"its first cell holds the value, the others are missing."},
	"hidden-rows": {one: "{count} {count:row|rows} that the sheet does not show, the first line {line}, " +
		"{count:is|are} read like the others; set aside leaves specimens out."},
	"hidden-columns": {one: "The sheet does not show {word} (header in line {line}); {count:it is|they are} read " +
		"like the other columns."},
	"workbook-macros": {one: "The workbook has macros, which are not run; its cells are as they were last saved."},
	"workbook-damaged": {one: "The sheet “{word}” is damaged and was not looked at; open it with sheet and its name " +
		"to see what is wrong."},
}

// remarks puts what was odd about the file of a series into words.
func remarks(f *frames.Frame, remarks []frames.Remark, again reopening) []page.Sentence {
	var out []page.Sentence
	for _, r := range remarks {
		var cells page.Sentence
		if r.Code == "other-decimal-mark" {
			cells = specimens.OtherMark(f, r.Column)
		}
		if cells == nil {
			cells = remark(r, again)
		}
		out = append(out, cells)
	}
	return out
}

// reopening is a command that opened a file, and the name under which its file can be opened once more; nothing
// for a file of readings, of which nobody can say how it is read.
type reopening struct {
	open phrase.Open
	as   string
}

// mendFile is what can be done where a file is not opened by a command of its own.
const mendFile = "correct the file and read it again."

// with tells to open the file again with words that the person has to find.
func (again reopening) with(words string) string {
	if again.as == "" {
		return mendFile
	}
	return "open it again with " + words + ", as " + again.as + "."
}

// line tells to type the command that opens the file as a remark asks for it.
func (again reopening) line(r frames.Remark) string {
	if again.as == "" {
		return mendFile
	}
	line := again.open
	line.As = &phrase.Name{Text: again.as}
	is, other := "point", "comma"
	if strings.ContainsRune(r.Word, ',') {
		is, other = other, is
	}
	switch r.Code {
	case "numbers-in-header", "data-in-header":
		line.Header, line.NoHeader = nil, true
	case "two-line-header":
		line.Header = &phrase.Count{Value: r.Line}
	case "guessed-thousands", "other-decimal-mark":
		line.Decimal, line.Thousands = &phrase.Choice{Word: is}, nil
	case "doubtful-decimal":
		line.Thousands = &phrase.Choice{Word: is}
	case "ambiguous-dates":
		line.Dates = &phrase.Choice{Word: "month-day-year"}
	case "odd-date":
		line.Dates = nil
	}
	return "type: " + phrase.Line(&line)
}

func remark(r frames.Remark, again reopening) page.Sentence {
	code := r.Code
	switch {
	case code == "odd-bytes" && r.Column == "":
		code = "odd-bytes nowhere"
	case code == "odd-bytes" && r.Count == 0:
		code = "odd-bytes header"
	case code == "stray-word" && strings.IndexAny(r.Word, ">≥") == 0:
		code = "stray-word bound"
	}
	said, known := remarksSaid[code]
	switch {
	case !known:
		return page.Say(strings.TrimSpace(r.Code+" "+r.Column+" "+r.Word)+" (line ", r.Line, ").")
	case r.Count > 1 && said.many != "":
		return filledIn(said.many, r, again)
	}
	return filledIn(said.one, r, again)
}

// cellsListed lists the cells that a remark is about.
func cellsListed(r frames.Remark) string {
	var out []string
	for _, c := range r.Cells {
		out = append(out, "“"+c.Word+"” in line "+strconv.Itoa(c.Line))
	}
	if n := r.Count - len(out); n > 0 {
		return strings.Join(out, ", ") + " and " + strconv.Itoa(n) + " more"
	}
	return strings.Join(out, ", ")
}

// openPlace is a place in the words of a remark that is filled in.
var openPlace = regexp.MustCompile(`\{(\w+)(?::([^|}]*)\|([^}]*))?\}`)

// filledIn is the words of a remark with its own in their open places.
func filledIn(words string, r frames.Remark, again reopening) page.Sentence {
	own := map[string]string{"column": r.Column, "word": r.Word, "force": say.AsForce(r.Column, r.Word),
		"again": again.line(r), "encoding": again.with("encoding and its name"),
		"header": again.with("header row and its number"), "cells": cellsListed(r)}
	numbers := map[string]int{"line": r.Line, "count": r.Count, "more": r.Count - 1}
	var s page.Sentence
	at := 0
	for _, m := range openPlace.FindAllStringSubmatchIndex(words, -1) {
		s = append(s, page.Word(words[at:m[0]]))
		at = m[1]
		name := words[m[2]:m[3]]
		n, isNumber := numbers[name]
		switch {
		case m[4] >= 0:
			s = append(s, page.Word(say.Plural(n, words[m[4]:m[5]], words[m[6]:m[7]])))
		case isNumber:
			s = append(s, page.Say(n)...)
		default:
			s = append(s, page.Word(own[name]))
		}
	}
	return append(s, page.Word(words[at:]))
}
