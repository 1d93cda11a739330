package say

import (
	"strings"

	"breakbook/repl/page"
)

// Suggested tells what making the joints named would do for a fit's estimates.
func Suggested(n int, fit string, narrower float64, found []string) page.Sentence {
	s := page.Say("These ", n, plural(n, " joint", " joints")+" would narrow the estimates of "+fit+" most, together with what is measured already: by ",
		page.Num{Value: narrower, Style: page.Fraction}, " on the whole")
	if len(found) > 0 {
		s = append(s, page.Word("; "+strings.Join(found, " and ")+" comes with the blank and is taken at its mean"))
	}
	return append(s, page.Word("."))
}
