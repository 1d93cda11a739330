package say

import "breakbook/repl/page"

// SpreadsDiffer warns that reshuffling tests more than the means where spreads differ.
func SpreadsDiffer(low, high float64, unit string) page.Sentence {
	return page.Say("The levels differ in spread (sd ", page.Span{Low: low, High: high, Unit: unit},
		"). Reshuffled specimens are taken as alike in everything, so what shows may be the spread and not the mean; for the means alone, type uneven spread in place of reshuffled.")
}

// FewArrangements warns that no difference could have shown: the clearest arrangement
// has a probability of least.
func FewArrangements(n int, least float64) page.Sentence {
	return page.Say("Of the ", n, " arrangements looked at even the clearest has ", page.Chance(least), ": with so few, no difference could have shown.")
}
