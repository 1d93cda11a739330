package say

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"breakbook/repl/page"
)

// LevelMean is one level of a picture.
type LevelMean struct {
	Level string
	N     int
	Mean  float64
}

// StripAlt tells what a picture of specimens by level shows.
func StripAlt(measure, unit, by string, levels []LevelMean) page.Sentence {
	s := page.Say("Every specimen's " + measure + " by " + by + ", with the mean of each level and its range: ")
	for i, l := range levels {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, page.Say(l.Level+" mean ", page.Num{Value: l.Mean, Unit: unit}, " (n = ", l.N, ")")...)
	}
	return append(s, page.Word("."))
}

// ScatterAlt tells what a picture of one number against another shows.
func ScatterAlt(measure, unit, against, xUnit string, n int, lo, hi float64, levels []string, line bool) page.Sentence {
	s := page.Say(Capital(measure)+" of ", n, " specimens against "+against+" from ", page.Num{Value: lo, Unit: xUnit}, " to ", page.Num{Value: hi, Unit: xUnit})
	if len(levels) > 0 {
		s = append(s, page.Word(", marked by level: "+strings.Join(levels, ", ")))
	}
	if line {
		s = append(s, page.Word("; with the fitted line and its range"))
	}
	return append(s, page.Word("."))
}

// ResidualAlt tells what a picture of what a fit left over shows.
func ResidualAlt(measure, unit string, n int, sd float64) page.Sentence {
	return page.Say("What the fit left over for ", n, " specimens against the "+measure+" it expected; they scatter about zero by ",
		page.Num{Value: sd, Unit: unit}, " (sd).")
}

// Capital is words with their first letter large, as titles and labels begin.
func Capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(first)) + words[size:]
}
