package say

import (
	"breakbook/repl/page"
)

// ModeShare is how many of a level's specimens broke in a mode.
type ModeShare struct {
	Level, Mode string // "pins pair", "glue"
	Count, N    int
}

// ModesCounted tells whether the ways of breaking go with a factor, and what most specimens of
// each level did. drawn is the number of random tables that stood in for all, 0 for none.
func ModesCounted(mode, by string, together bool, p, within float64, drawn int, most []ModeShare) page.Sentence {
	s := page.Say(mode + " goes with " + by)
	if !together {
		s = page.Say("These counts do not show that " + mode + " goes with " + by)
	}
	if drawn == 0 {
		s = append(s, page.Say(" (every table with these totals counted, ", page.Chance(p), ")")...)
	} else {
		s = append(s, page.Say(" (", drawn, " random tables with these totals, ", page.Chance(p), ", give or take ",
			page.Num{Value: within, Style: page.P}, ")")...)
	}
	for i, m := range most {
		lead := "; with "
		if i == 0 {
			lead = ": most often, with "
		}
		s = append(s, page.Say(lead+m.Level+", "+m.Mode+" (", m.Count, " of ", m.N, ")")...)
	}
	return append(s, page.Word("."))
}

// RoughChiSquare warns that some expected counts are too small for the chi-square probability.
func RoughChiSquare(least float64) page.Sentence {
	return page.Say("The smallest count to expect, were nothing going on, is ", page.Num{Value: least, Style: page.Ratio},
		", under the 5 that the chi-square probability needs (Cochran 1954): go by the exact one.")
}
