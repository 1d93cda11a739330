package say

import (
	"strconv"
	"strings"

	"breakbook/models/verdict"
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
	s := page.Say(Capital(mode) + " goes with " + by)
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

// ModeRange is the share of a level's specimens that broke in a mode, with its range.
type ModeRange struct {
	ModeShare
	Share float64
	Range verdict.Range
}

// ModesShared tells how often each level broke in its commonest mode. Under is the load the
// shares are taken at, nil for all specimens whatever their load.
func ModesShared(mode string, under page.Sentence, levels []ModeRange, confidence float64) page.Sentence {
	s := page.Say("The commonest " + mode + ": ")
	if under != nil {
		s = page.Say("By ", under, ", the middle one of the loads, "+mode+" had been: ")
	}
	for i, l := range levels {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, page.Say(l.Mode+" in ", page.Num{Value: l.Share, Style: page.Fraction}, " of the ", l.N, plural(l.N, " specimen", " specimens")+" with "+l.Level)...)
		if !l.Range.Known() {
			continue
		}
		s = append(s, page.Word(" ("))
		if i == 0 {
			s = append(s, page.Num{Value: confidence, Style: page.Fraction}, page.Word(" range "))
		}
		s = append(s, page.Span{Low: l.Range.Low, High: l.Range.High, Style: page.Fraction}, page.Word(")"))
	}
	return append(s, page.Word("."))
}

// TakenAsWhole says which levels were taken for specimens that did not break.
func TakenAsWhole(mode string, levels []string, n int) page.Sentence {
	return page.Say(n, plural(n, " specimen", " specimens")+" of "+mode+" "+strings.Join(levels, " or ")+
		plural(n, " is", " are")+" taken as unbroken: the load at which the test ended is only a lower bound.")
}

// ModesAlt tells what a picture of the shares of the ways of breaking shows.
func ModesAlt(mode string, shares []ModeRange) page.Sentence {
	s := page.Say("The share of each " + mode + " at each level, with its exact range")
	last := ""
	for i, m := range shares {
		lead := ", "
		if m.Level != last {
			lead = "; "
			if i == 0 {
				lead = ": "
			}
			lead, last = lead+m.Level+" ("+strconv.Itoa(m.N)+"): ", m.Level
		}
		s = append(s, page.Say(lead+m.Mode+" ", page.Num{Value: m.Share, Style: page.Fraction})...)
	}
	return append(s, page.Word("."))
}
