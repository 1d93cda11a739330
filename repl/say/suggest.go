package say

import (
	"strings"

	"breakbook/repl/page"
)

// Kind is a kind of joint to make, and how many of it.
type Kind struct {
	N  int
	Of []page.Sentence // "pins pair", "overlap 20 mm"
}

// mostKindsTold is how many kinds of joint a sentence names.
const mostKindsTold = 4

// Suggested tells what to make next and what it would do for a fit's estimates.
func Suggested(n int, kinds []Kind, fit string, narrower float64) page.Sentence {
	s := page.Say("Next, make the ", n, " joints of the table")
	if n == 1 || len(kinds) <= mostKindsTold {
		s = page.Say("Next, make ")
		for i, k := range kinds {
			switch {
			case i > 0 && i == len(kinds)-1:
				s = append(s, page.Word(" and "))
			case i > 0:
				s = append(s, page.Word("; "))
			}
			s = append(s, page.Say(k.N, plural(k.N, " joint", " joints")+" with ")...)
			for j, part := range k.Of {
				if j > 0 {
					s = append(s, page.Word(", "))
				}
				s = append(s, part...)
			}
		}
	}
	return append(s, page.Say(": together with what is measured already, the ranges of the estimates of "+fit+" come out ",
		page.Num{Value: narrower, Style: page.Fraction}, " narrower on the whole, and to exchange "+plural(n, "it", "one of them")+" for a joint of another kind would not do better.")...)
}

// FoundAveraged tells what is made of columns that come with the blank.
func FoundAveraged(found []string) page.Sentence {
	return page.Say(strings.Join(found, " and ") + plural(len(found), " comes with the blank and is", " come with the blank and are") +
		" not chosen: the reckoning averages over the values that the blanks had so far, so take the blanks as they come.")
}

// SuggestedInBlocks tells where new joints are taken to come from.
func SuggestedInBlocks(block string) page.Sentence {
	return page.Say("Each new joint is taken to come from a new " + block + " of its own, and so to vary by what one " + block + " differs from the next as well.")
}

// SuggestedWeighed tells which weight new joints are taken to have.
func SuggestedWeighed(column string, weight float64) page.Sentence {
	return page.Say("Each new joint is taken to have the mean "+column+" of those measured, ", page.Num{Value: weight}, ".")
}
