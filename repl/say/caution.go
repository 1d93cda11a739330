package say

import (
	"strings"

	"breakbook/repl/page"
)

// Block is a column of boards, batches or days, with how many there were.
type Block struct {
	Column string
	N      int
}

// Blocks warns that specimens share boards, batches or days.
func Blocks(specimens int, blocks []Block) page.Sentence {
	s, either := sharing(specimens, blocks)
	return append(s, page.Word(", so they count for less than their number: the ranges here are too narrow if "+either+" matters."))
}

// sharing tells that specimens share boards, batches or days and so are alike, and names
// these.
func sharing(specimens int, blocks []Block) (said page.Sentence, either string) {
	s := page.Say("The ", specimens, " specimens share ")
	var names []string
	for i, b := range blocks {
		if i > 0 {
			s = append(s, page.Word(" and "))
		}
		s = append(s, page.Say(b.N, " values of "+b.Column)...)
		names = append(names, b.Column)
	}
	either = strings.Join(names, " or ")
	return append(s, page.Word(". Specimens of one "+either+" are alike")), either
}

// Together warns that two terms of a fit can hardly be told apart.
func Together(first, second string, strength float64) page.Sentence {
	return page.Say(first+" and "+second+" went together in these specimens (strength ", page.Num{Value: strength, Style: page.Ratio},
		" of 1), so the fit can hardly tell which of them did it. More specimens of the same kind would not help; some that part the two would.")
}

// Dependent names a term that cannot be told apart from others.
func Dependent(term string, on []string) page.Sentence {
	if len(on) == 0 {
		return page.Say(term + " has no specimen of its own and was left out.")
	}
	return page.Say(term + " cannot be told apart from " + strings.Join(on, " and ") +
		": in these specimens they always went together. It was left out.")
}

// Never names the levels that no specimen combines.
func Never(rows []string) page.Sentence {
	return page.Say("No specimen combines " + strings.Join(rows, "; nor ") + ", so nothing is said of it.")
}
