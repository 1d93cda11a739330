package say

import (
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// Remarks puts what was odd about a file into words.
func Remarks(remarks []frames.Remark) []page.Sentence {
	var out []page.Sentence
	for _, r := range remarks {
		out = append(out, remark(r))
	}
	return out
}

// remark is one sentence: what was met, where, what was made of it, and the way out.
func remark(r frames.Remark) page.Sentence {
	for _, told := range []func(frames.Remark) page.Sentence{lookRemark, headRemark, columnRemark, markRemark, dateRemark, rowRemark} {
		if s := told(r); s != nil {
			return s
		}
	}
	return page.Say(strings.TrimSpace(r.Code+" "+r.Column+" "+r.Word)+" (line ", r.Line, ").")
}

// headRemark tells what was odd about a header, what stands above it, or the encoding.
func headRemark(r frames.Remark) page.Sentence {
	switch r.Code {
	case "decoded-windows-1252":
		return page.Say("Line ", r.Line, " is the first with a letter that is no UTF-8, so the file was read as Windows-1252; if letters look wrong, open it again with encoding and its name.")
	case "odd-bytes":
		return oddBytes(r)
	case "preamble":
		return page.Say(r.Count, plural(r.Count, " line", " lines")+" above the header from line ", r.Line, " on (“"+r.Word+
			"”) "+plural(r.Count, "was", "were")+" passed over; if the header is another line, open it again with header row and its number.")
	case "numbers-in-header":
		return page.Say("Line ", r.Line, " was taken for the header though it holds only numbers; if the header is another line, open it again with header row and its number, and if there is none, write one above it.")
	case "duplicate-header":
		return page.Say("The header “"+r.Word+"” in line ", r.Line, " stands more than once; this one is called "+r.Column+
			". For a better name, type rename "+r.Column+" to and the name.")
	case "no-header":
		return page.Say("A column has no header in line ", r.Line, "; it is called "+r.Column+". For a better name, type rename "+r.Column+" to and the name.")
	case "empty-column":
		return page.Say(r.Column+" has a header in line ", r.Line, " and no value under it.")
	case "unknown-unit":
		return page.Say("“"+r.Word+"” in the units of line ", r.Line, " is no unit known here, so "+r.Column+" has none; type unit "+r.Column+" is and the unit.")
	case "two-units":
		return page.Say(r.Column+" has another unit in its header than “"+r.Word+"” in line ", r.Line, "; the header's was taken, and unit "+r.Column+" is "+r.Word+" takes the other.")
	case "mass-as-load":
		return massAsLoad(r)
	}
	return nil
}

// oddBytes tells of bytes that are in no letter of the file's encoding.
func oddBytes(r frames.Remark) page.Sentence {
	switch {
	case r.Column == "":
		return page.Say("Line ", r.Line, " is the first with a byte that is in no letter of the file's encoding; no cell is affected.")
	case r.Count == 0:
		return page.Say("The header “"+r.Word+"” in line ", r.Line, " holds a byte that is in no letter of the file's encoding, shown as \ufffd. For a better name, type rename "+
			r.Column+" to and the name.")
	}
	s := page.Say(r.Column+" holds a byte that is in no letter of the file's encoding in line ", r.Line, ": “"+r.Word+"”")
	if r.Count == 1 {
		s = append(s, page.Word("; this cell is taken as missing."))
	} else {
		s = append(s, page.Say("; this cell and ", r.Count-1, " more are taken as missing.")...)
	}
	return append(s, page.Word(" If the file is in another encoding, open it again with encoding and its name."))
}

// forces are the units of force whose weights are sold by the unit of mass.
var forces = map[string]string{"kg": "kgf", "lb": "lbf"}

// ForceOf is the unit of force of what a unit of mass weighs, or "".
func ForceOf(mass string) string { return forces[mass] }

func massAsLoad(r frames.Remark) page.Sentence {
	s := page.Say(r.Column+" is in "+r.Word+" (line ", r.Line, "), a mass and no load. If that is what the gauge showed, ")
	return append(s, page.Word(asForce(r.Column, r.Word)))
}

// MassAsForce cautions of a load that was said to be in a unit of mass.
func MassAsForce(column, unit string) page.Sentence {
	return page.Say(column + " is now in " + unit + ", a mass and no load. If that is what the gauge showed, " + asForce(column, unit))
}

// asForce is the line that makes a load of a mass.
func asForce(column, unit string) string {
	if force := ForceOf(unit); force != "" {
		return "type unit " + column + " is " + force + "."
	}
	return "type convert " + column + " to kg, and then unit " + column + " is kgf."
}

// columnRemark tells why a column that could be numbers is kept as words.
func columnRemark(r frames.Remark) page.Sentence {
	kept := page.Say(" (line ", r.Line, ")")
	switch r.Code {
	case "stray-word":
		s := page.Say(r.Column+" would be numbers but for “"+r.Word+"” in line ", r.Line)
		if r.Count > 1 {
			s = append(s, page.Say(" and ", r.Count-1, " more")...)
		}
		return append(s, page.Word("; it is kept as words. Type treat "+r.Column+" as number to make such cells missing."))
	case "leading-zeros":
		s := append(page.Say(r.Column+" has numbers with leading zeros such as “"+r.Word+"”"), kept...)
		return append(s, page.Word(" and is kept as words, so that none is lost; if they are no codes, type treat "+r.Column+" as number."))
	case "big-whole-number":
		s := append(page.Say(r.Column+" has whole numbers too long to be kept exactly, such as “"+r.Word+"”"), kept...)
		return append(s, page.Word(", and is kept as words, so that no digit is lost."))
	case "mixed-units":
		s := append(page.Say(r.Column+" has numbers in more than one unit, or some without one, from “"+r.Word+"”"), kept...)
		return append(s, page.Word(" on; it is kept as words. Type treat "+r.Column+" as number to turn them all into one unit."))
	}
	return nil
}

// markRemark tells of marks in numbers that can be read in two ways.
func markRemark(r frames.Remark) page.Sentence {
	at := page.Say("“"+r.Word+"” in line ", r.Line)
	switch r.Code {
	case "other-decimal-mark":
		s := append(page.Say(r.Column+" has "), page.Say(r.Count, plural(r.Count, " number", " numbers")+" with another decimal mark than the file's, the first ")...)
		return append(append(s, at...), page.Word("; it is kept as words. If that is the file's mark, open it again with decimal comma or decimal point."))
	case "guessed-thousands":
		s := append(page.Say("In "+r.Column+" "), at...)
		return append(s, page.Word(" was read as a whole number, its mark parting thousands; if it marks the decimals, open it again with "+
			otherDecimal(r.Word)+"."))
	case "doubtful-decimal":
		return append(at, page.Word(" was read with a decimal mark, but every such number has three digits after it; if the mark parts thousands, open it again with thousands "+
			markName(r.Word)+"."))
	}
	return nil
}

// markName is the word for the mark in a number such as 1.234.
func markName(number string) string {
	if strings.ContainsRune(number, ',') {
		return "comma"
	}
	return "point"
}

func otherDecimal(number string) string { return "decimal " + markName(number) }

// dateRemark tells of dates whose order is a guess.
func dateRemark(r frames.Remark) page.Sentence {
	switch r.Code {
	case "ambiguous-dates":
		return page.Say("“"+r.Word+"” in line ", r.Line, " ("+r.Column+") could have the day or the month first; the day was taken to be first. If it is the month, open it again with dates as month-day-year.")
	case "mixed-dates":
		return page.Say("The dates "+r.Word+" (from line ", r.Line, " on) have the day and the month in different places; the day was taken to be first where both fit, and the file needs mending.")
	case "odd-date":
		return page.Say("“"+r.Word+"” in line ", r.Line, " is no date in the order given; open it again with dates as day-month-year or another order.")
	}
	return nil
}

// rowRemark tells of rows that were filled up or passed over.
func rowRemark(r frames.Remark) page.Sentence {
	more := func(one, many string) page.Sentence {
		if r.Count == 1 {
			return page.Say("Line ", r.Line, " "+one)
		}
		return page.Say(r.Count, " lines "+many+", the first line ", r.Line)
	}
	switch r.Code {
	case "short-row":
		return append(more("is short", "are short"), page.Word("; the cells lacking are missing, so look whether a separator was lost there."))
	case "extra-blank-cells":
		return append(more("has empty cells beyond the header's", "have empty cells beyond the header's"), page.Word("; they were passed over."))
	case "blank-lines":
		return append(more("is blank", "are blank"), page.Word("; nothing was read there."))
	case "blank-lines-missing":
		return append(more("is blank", "are blank"), page.Word("; in a file of one column that is a missing value."))
	case "empty-rows":
		return append(more("has nothing in any cell", "have nothing in any cell"), page.Word("; nothing was read there."))
	}
	return nil
}
