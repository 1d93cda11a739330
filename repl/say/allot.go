package say

import (
	"strings"

	"breakbook/repl/page"
)

// Allotted tells how closely the blanks given to each level match.
func Allotted(blanks int, levels, columns []string, gap float64) page.Sentence {
	return page.Say(blanks, " blanks go to "+listed(levels)+", as many to each as can be. In mean "+listed(columns)+" no two of these differ by more than ",
		page.Num{Value: gap, Style: page.Fraction}, " of what single blanks differ by (their sd).")
}

// AllottedWritten tells where the blanks stand with their levels.
func AllottedWritten(file string, blanks int, factor, look string) page.Sentence {
	return page.Say("All ", blanks, " blanks are written to "+file+" with "+factor+" as a new column; type open "+file+" to go on with it ("+look+" beside it keeps what a CSV cannot hold).")
}

// BlanksAside names blanks that were set aside in the file.
func BlanksAside(names []string) page.Sentence {
	return page.Say("Not given out, for they are set aside in the file: " + shortList(names) + ".")
}

func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
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
	return page.Say("Left out for want of a value to match by: " + shortList(names) + ".")
}
