package say

import (
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// WorkedOut tells what a new column holds.
func WorkedOut(c frames.Column, present, specimens int) page.Sentence {
	s := page.Say(c.Name+" is worked out for ", present, " of ", specimens, " specimens")
	switch {
	case c.Kind != frames.Number:
		s = append(s, page.Word(", a category with the levels "+shortList(c.Levels)))
	case c.Difference:
		s = append(s, page.Word(", a difference of temperatures in "+c.Unit.String()))
	case c.Unit.None():
		s = append(s, page.Word(", a number without a unit"))
	default:
		s = append(s, page.Word(", in "+c.Unit.String()))
	}
	return append(s, page.Word("."))
}

// WordTaken says that a new column's name takes over the word of a role, and from which column.
func WordTaken(word, held string) page.Sentence {
	return page.Say("From here on " + word + " means this new column, no longer " + held + ", which is marked as " + word +
		": type " + held + " by its own name, or give the new column another with rename " + word + " to …")
}

// LogarithmOf says which number a logarithm took.
func LogarithmOf(function, of, unit string) page.Sentence {
	return page.Say(function + " takes " + of + " as a number of " + unit + ".")
}

// NotWorkedOut counts the specimens for which something cannot be worked out.
func NotWorkedOut(column, why string, count int, first string) page.Sentence {
	if count == 1 {
		return page.Say(column + " is missing for specimen " + first + ": it would be " + why + ".")
	}
	return page.Say(column+" is missing for ", count, " specimens, the first of them "+first+": it would be "+why+".")
}

// Merged tells which level took in which.
func Merged(column string, levels []string, into string, specimens int, now []string) page.Sentence {
	return page.Say(shortList(levels)+plural(len(levels), " is", " are")+" now "+into+" in "+column+", ", specimens,
		plural(specimens, " specimen", " specimens")+"; its levels are "+shortList(now)+".")
}

// Banded tells how a number column was cut.
func Banded(column, band string, levels []string) page.Sentence {
	return page.Say(column + " is cut into " + band + ": " + shortList(levels) + ".")
}

// shortList names a few things and says that there are more.
func shortList(names []string) string {
	const most = 12
	if len(names) > most {
		return strings.Join(names[:most], ", ") + " and more"
	}
	return strings.Join(names, ", ")
}

// Treated tells what kind a column is now.
func Treated(column, kind string) page.Sentence {
	article := "a "
	if kind == "text" {
		article = ""
	}
	return page.Say(column + " is now treated as " + article + kind + ".")
}
