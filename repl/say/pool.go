package say

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// Pooled tells what was put together.
func Pooled(name string, parts []frames.Part, specimens, columns int) page.Sentence {
	s := page.Say(name+" holds ", specimens, " specimens in ", columns, " columns: ")
	for i, p := range parts {
		if i > 0 {
			s = append(s, page.Word(", "))
		}
		s = append(s, page.Say(p.Frame.Len(), " of "+p.Name)...)
	}
	return append(s, page.Word("."))
}

// Mismatched puts what did not match between pooled series into words.
func Mismatched(odd []frames.Mismatch) []page.Sentence {
	var out []page.Sentence
	for i, m := range odd {
		in := strings.Join(m.Series, " and ")
		switch m.Code {
		case "only-in":
			if columns := sameLack(odd, i); columns != nil {
				out = append(out, page.Say("Only in "+in+", and missing for the ", m.Count, plural(m.Count, " other specimen: ", " other specimens: ")+shortList(columns)+"."))
			}
		case "unit-assumed":
			out = append(out, page.Say(m.Column+" has no unit in "+in+" and is taken to be in "+m.Unit+" there."))
		case "kinds-differ":
			out = append(out, page.Say(m.Column+" is numbers in "+in+" and words elsewhere, so it is words now."))
		case "loads-apart":
			out = append(out, page.Say("The loads of "+in+" stay apart: they are called "+m.Other+" there and "+m.Column+
				" before it. To put them together, go back and rename one: rename "+m.Other+" to "+m.Column+"."))
		}
	}
	return out
}

// sameLack lists the columns that only the same series have as the one at i, where that
// is the first of them; else nothing.
func sameLack(odd []frames.Mismatch, i int) []string {
	var columns []string
	for j, m := range odd {
		if m.Code != odd[i].Code || !slices.Equal(m.Series, odd[i].Series) {
			continue
		}
		if j < i {
			return nil
		}
		columns = append(columns, m.Column)
	}
	return columns
}

// NamesShared warns that specimens of several series go by one name.
func NamesShared(n int, column string) page.Sentence {
	return page.Say(n, plural(n, " value", " values")+" of "+column+" "+plural(n, "stands", "stand")+
		" for more than one specimen now; name such a one by its series too, as in for "+column+" is 7 and series is …")
}

// UnitsMixed is the suspicion that two series measured loads in different units.
func UnitsMixed(high, low string, ratio, highMedian, lowMedian float64, unit, explains string) page.Sentence {
	return page.Say("The loads of "+high+" are ", page.Num{Value: ratio, Style: page.Ratio}, " times those of "+low+" (medians ",
		page.Num{Value: highMedian, Unit: unit}, " and ", page.Num{Value: lowMedian, Unit: unit}, "), and "+explains+
			". One of the two may not be in the unit it was read in: look at the gauge, and say unit COLUMN is UNIT before pooling.")
}

// LinedUp tells how many specimens found a partner.
func LinedUp(name string, a, b frames.Part, key string, l *frames.LinedUp, columns int) page.Sentence {
	s := page.Say(name+": ", l.Matched, " of the ", a.Frame.Len(), " specimens of "+a.Name+" have a partner in "+b.Name+" with the same "+key)
	if l.Shared > 0 {
		s = append(s, page.Say("; ", l.Shared, " of "+b.Name+" "+plural(l.Shared, "serves", "serve")+" more than one")...)
	}
	return append(s, page.Say("; ", columns, plural(columns, " column", " columns")+" in all.")...)
}

// WithoutPartner lists what had no partner.
func WithoutPartner(a, b frames.Part, key string, l *frames.LinedUp) []page.Sentence {
	var out []page.Sentence
	if n := len(l.Alone); n > 0 {
		out = append(out, append(page.Say(n, " of "+a.Name+plural(n, " has", " have")+" no partner and "+plural(n, "lacks", "lack")+" the columns of "+b.Name+": "),
			listOf(a.Frame, l.Alone, key, l.Keyless[0])...))
	}
	if n := len(l.LeftOut); n > 0 {
		out = append(out, append(page.Say(n, " of "+b.Name+plural(n, " has", " have")+" no partner and "+plural(n, "is", "are")+" left out: "),
			listOf(b.Frame, l.LeftOut, key, l.Keyless[1])...))
	}
	for _, r := range l.Renamed {
		out = append(out, page.Say("Both have a column "+r[0]+"; that of "+b.Name+" is called "+r[1]+"."))
	}
	if l.AsideToo > 0 {
		out = append(out, page.Say(l.AsideToo, plural(l.AsideToo, " specimen is", " specimens are")+" set aside because "+plural(l.AsideToo, "its partner", "their partners")+" in "+b.Name+" "+plural(l.AsideToo, "was", "were")+"."))
	}
	return out
}

// listOf names rows by their key, the first few; those without one are counted.
func listOf(f *frames.Frame, rows []int, key string, keyless int) page.Sentence {
	var names []string
	for _, row := range rows {
		if cell, ok := f.Cell(key, row); ok {
			names = append(names, cell)
		}
	}
	s := page.Say(shortList(names))
	if keyless > 0 {
		if len(names) > 0 {
			s = append(s, page.Word(", and "))
		}
		s = append(s, page.Say(keyless, " without a "+key)...)
	}
	return append(s, page.Word("."))
}
