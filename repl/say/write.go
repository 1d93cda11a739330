package say

import (
	"breakbook/frames"
	"breakbook/repl/page"
)

// Wrote tells which files hold a series now.
func Wrote(series, csv, look string, specimens, columns, aside int) page.Sentence {
	s := page.Say(series+" is written to "+csv+": ", specimens, plural(specimens, " specimen", " specimens"))
	if aside > 0 {
		s = append(s, page.Say(", ", aside, " of them set aside,")...)
	}
	s = append(s, page.Say(" in ", columns, plural(columns, " column", " columns"))...)
	return append(s, page.Word("; "+look+" beside it holds what a CSV cannot say, and open "+csv+" reads both."))
}

// Escaped tells that cells were kept from being run by a spreadsheet.
func Escaped(cells int) page.Sentence {
	return page.Say(cells, plural(cells, " cell", " cells")+" of text that a spreadsheet would run as a formula "+
		plural(cells, "has", "have")+" an apostrophe before "+plural(cells, "it", "them")+"; open takes it off again.")
}

// LookUsed tells that the look beside a file said how to read it.
func LookUsed(look string, aside int) page.Sentence {
	s := page.Say(look + " beside it fits: kinds, units, roles and the order of levels are as they were written")
	if aside > 0 {
		s = append(s, page.Say(", and ", aside, plural(aside, " specimen is", " specimens are")+" set aside as before")...)
	}
	return append(s, page.Word("."))
}

// lookRemark puts a look that was not used into words; nil for another remark.
func lookRemark(r frames.Remark) page.Sentence {
	switch r.Code {
	case "look-other-file":
		return page.Say(r.Word + " beside it was written for other contents than this file now has, so it was not used: kinds, roles and what was set aside are as the file alone says.")
	case "look-broken":
		return page.Say(r.Word + " beside it is damaged, or nothing breakbook wrote, so it was not used: kinds, roles and what was set aside are as the file alone says.")
	case "look-overridden":
		return page.Say(r.Word + " beside it was not used, since the command says how to read the file.")
	}
	return nil
}

// KeptBefore tells where the old contents of a file are.
func KeptBefore(file, before string) page.Sentence {
	return page.Say("The old " + file + " is kept as " + before + ".")
}
