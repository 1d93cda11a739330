package say

import "breakbook/repl/page"

// StripNote says what is what on a picture of every specimen by level, with or without means.
func StripNote(conf float64, means bool) page.Sentence {
	s := page.Say("Each mark one specimen")
	if means {
		s = append(s, page.Say("; black: the mean and its ", page.Num{Value: conf, Style: page.Fraction}, " range")...)
	}
	return s
}

// LineNote says what the lines and bands of a fit's picture are.
func LineNote(fit string, conf float64) page.Sentence {
	return page.Say("Each mark one specimen; line: the mean "+fit+" expects; shaded: its ", page.Num{Value: conf, Style: page.Fraction}, " range")
}

// AdjustedNote says what is what on a picture of adjusted means over the specimens.
func AdjustedNote(conf float64) page.Sentence {
	return page.Say("Black: the adjusted mean and its ", page.Num{Value: conf, Style: page.Fraction}, " range; pale: each specimen")
}

// BarsNote says what the marks with bars are, such as "effect" or "share".
func BarsNote(what string, conf float64) page.Sentence {
	return page.Say("Mark: the "+what+"; bar: its ", page.Num{Value: conf, Style: page.Fraction}, " range")
}

// CurvesNote says what the lines and marks of load-slip curves are.
func CurvesNote(drops int) page.Sentence {
	s := page.Say("Each line one specimen")
	if drops > 0 {
		s = append(s, page.Word("; mark: where its load first drops"))
	}
	return s
}
