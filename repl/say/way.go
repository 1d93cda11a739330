package say

import (
	"strings"

	"breakbook/repl/page"
)

// BlockShare is what one column of blocks adds to the scatter.
type BlockShare struct {
	Name       string
	SD         float64 // 0: estimated as zero
	Proportion float64
}

// Scatter tells how much of what the terms leave lies between blocks.
func Scatter(blocks []BlockShare, unit string) []page.Sentence {
	var some, none []BlockShare
	for _, b := range blocks {
		if b.SD > 0 {
			some = append(some, b)
		} else {
			none = append(none, b)
		}
	}
	var out []page.Sentence
	if len(some) > 0 {
		s := page.Say("Of what the terms leave, ")
		for i, b := range some {
			if i > 0 {
				s = append(s, page.Word(" and "))
			}
			s = append(s, page.Say(page.Num{Value: b.Proportion, Style: page.Fraction}, " lies between one "+b.Name+" and the next (sd ",
				page.Num{Value: b.SD, Unit: unit}, ")")...)
		}
		out = append(out, append(s, page.Word(".")))
	}
	for _, b := range none {
		out = append(out, page.Say("One "+b.Name+" differs from the next by no more than single specimens do: its variance was estimated as zero, and the fit goes on without it."))
	}
	return out
}

// FewBlocks warns that the scatter between a few blocks is hardly known.
func FewBlocks(name string, levels int) page.Sentence {
	return page.Say("There are only ", levels, " values of "+name+", so how much it scatters is hardly known.")
}

// LeftOut counts the specimens that a weight of 0 leaves out.
func LeftOut(n int, weight string) page.Sentence {
	return page.Say(n, plural(n, " specimen has ", " specimens have ")+"the "+weight+" 0 and "+plural(n, "was", "were")+" left out.")
}

// Alone names specimens that nothing but themselves tells of, in a fit that takes each
// specimen's spread from how far it lies off.
func Alone(names []string) page.Sentence {
	return page.Say(plural(len(names), "Specimen ", "Specimens ") + strings.Join(names, ", ") + plural(len(names), " is", " are") +
		" alone on " + plural(len(names), "its", "their") + " level: nothing tells how such specimens scatter, so with uneven spread what rests on " +
		plural(len(names), "it", "them") + " has no range.")
}

// FewForResistance warns that a resistant fit of few specimens is trusted too much.
func FewForResistance(n int) page.Sentence {
	return page.Say("A resistant fit of ", n, " specimens: with fewer than 20 its ranges are often too narrow.")
}

// Unresisted names specimens whose place among the terms gives them a pull that a
// resistant fit does not resist.
func Unresisted(names []string, more int) page.Sentence {
	s := strings.Join(names, ", ")
	if more > 0 {
		return page.Say("Specimens "+s+" and ", more, " more stand so far out among the terms that they pull the fit to themselves; a resistant fit does not resist that.")
	}
	return page.Say(plural(len(names), "Specimen ", "Specimens ") + s + plural(len(names), " stands", " stand") +
		" so far out among the terms that " + plural(len(names), "it pulls the fit to itself", "they pull the fit to themselves") +
		"; a resistant fit does not resist that.")
}

// Unsettled says that a resistant fit's scale had to be held.
func Unsettled() page.Sentence {
	return page.Say("The scatter that decides which specimens are played down went round in circles and was held in the end: another choice would play down others.")
}

// WithBlocks is the line to accept after a caution about blocks.
func WithBlocks(line string) page.Sentence {
	return page.Say(" To allow for it, type: " + line)
}

// Reused asks whether one label stands for several blocks.
func Reused(block, label, outer string, times int, line string) page.Sentence {
	return page.Say(block+" "+label+" was met under ", times, " values of "+outer+
		". If these are different pieces that share a name, type: "+line)
}
