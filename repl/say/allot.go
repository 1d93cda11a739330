package say

import (
	"strings"

	"breakbook/repl/page"
)

// Allotted tells how closely the blanks given to each level match.
func Allotted(blanks int, levels, columns []string, gap float64) page.Sentence {
	return page.Say(blanks, " blanks go to "+strings.Join(levels, ", ")+". No two of these differ in mean "+strings.Join(columns, " or ")+
		" by more than ", page.Num{Value: gap, Style: page.Ratio}, " of the sd between blanks.")
}

// BlocksSpread tells whether boards and the like are spread over the levels.
func BlocksSpread(blocks []string, uneven int) page.Sentence {
	names := strings.Join(blocks, " and ")
	if uneven == 0 {
		return page.Say("Each value of " + names + " is spread over the levels as evenly as its number of blanks allows.")
	}
	return page.Say("The blanks of some values of "+names+" could not be spread evenly: ", uneven, " more at one level than need be.")
}

// BlanksLeftOut names blanks without a value to match by.
func BlanksLeftOut(names []string) page.Sentence {
	return page.Say("Left out for want of a value to match by: " + strings.Join(names, ", ") + ".")
}
