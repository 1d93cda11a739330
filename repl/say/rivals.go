package say

import (
	"strings"

	"breakbook/repl/page"
)

// Clearly is the share of the support from which one rival is clearly the best. Common
// practice, no source.
const Clearly = 0.9

// BestRival tells which of several fits the data support best.
func BestRival(measure, best, terms string, weight float64, next string, nextWeight float64) page.Sentence {
	share := page.Num{Value: weight, Style: page.Fraction}
	if weight >= Clearly {
		return page.Say("Of these fits of "+measure+" the data support "+best+" ("+terms+") clearly best: ", share, " of the support.")
	}
	return page.Say("Of these fits of "+measure+" "+best+" ("+terms+") has the most support, ", share, "; "+next+" has ",
		page.Num{Value: nextWeight, Style: page.Fraction}, ". The data do not settle between them.")
}

// NoWeights tells that a fit has too few specimens for its terms to be weighed.
func NoWeights(measure string) page.Sentence {
	return page.Say("These fits of " + measure + " cannot be weighed: one has nearly as many figures as specimens.")
}

// Step tells whether the terms that a larger fit has more are worth their keep.
func Step(smaller, larger string, more []string, p float64) page.Sentence {
	what := larger + " has " + strings.Join(more, ", ") + " beyond " + smaller
	if p < Alarm {
		return page.Say(what+", and "+plural(len(more), "it accounts", "they account")+" for more than chance would (", page.Chance(p), ").")
	}
	return page.Say(what+", with no more gained than chance would bring (", page.Chance(p), "); that is no proof of no effect.")
}
